"""What was named at the bench: vessels by their labels, and parts of vessels that stay alive."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace

from pinset.chain.stages import Stage
from pinset.errors import InputError
from pinset.farm.entries import Measure
from pinset.farm.trade import ParentShare
from pinset.services.building.suitable import settle
from pinset.services.building.task import Task
from pinset.services.loads.vessels import Vessels
from pinset.services.words import joined

MOST_AMOUNT = 1_000_000

_MEASURES = {
    Stage.TUBE: Measure.UNIT,
    Stage.PLATE: Measure.UNIT,
    Stage.LIQUID: Measure.MILLILITRE,
}
"""In what a part of a vessel is counted: pieces of agar, millilitres; of everything else grams."""


def measure_of(stage: Stage) -> Measure:
    """Return in what a part taken of a vessel of that stage is counted."""
    return _MEASURES.get(stage, Measure.GRAM)


def with_amounts(
    parents: Sequence[ParentShare],
    amounts: Sequence[tuple[str, int]],
    stages: Mapping[str, Stage],
) -> list[ParentShare]:
    """Return parents with how much was taken of each of which a part was taken.

    Parameters
    ----------
    parents : sequence of ParentShare
        The parents that went in; a lot may stand at several places.
    amounts : sequence of (lot code, amount)
        Pieces, millilitres or grams by lot.
    stages : mapping of str to Stage
        What each lot is.

    Raises
    ------
    InputError
        If an amount cannot be, or is of a lot that is no parent.
    """
    left = dict(amounts)
    for lot, amount in left.items():
        if not 0 <= amount <= MOST_AMOUNT:
            raise InputError("amount", amount, f"0 to {MOST_AMOUNT:,} of lot {lot}")
        if all(each.lot != lot for each in parents):
            named = joined(sorted({each.lot for each in parents}))
            raise InputError("amount", lot, f"a part of a lot that is used: {named or 'none'}")
    found = []
    for each in parents:
        amount = left.pop(each.lot, 0)
        measure = measure_of(stages[each.lot])
        found.append(replace(each, amount=amount, measure=measure) if amount else each)
    return found


def named_first(
    task: Task, standing: Sequence[Vessels], serves: Callable[[Vessels], bool]
) -> list[Vessels]:
    """Return the prepared vessels that stand, those that were named before all others.

    Raises
    ------
    RefusedError
        If none of a lot that was named stands, or it does not serve, and no reason is given.
    """
    named = task.answer.vessels
    there = {each.lot.code for each in standing}
    against = [
        f"No vessel of lot {code} stands ready in the books." for code in named if code not in there
    ]
    against += [
        f"Vessels {code} hold another mix than {task.job.step} wants, or are too old."
        for code in named
        if code in there and not any(serves(e) for e in standing if e.lot.code == code)
    ]
    alive = sum(each.lot.alive for each in standing if each.lot.code in named)
    if named and not against and task.count > alive:
        against.append(
            f"{task.count} were made, and {alive} vessels of {joined(named)} stand there in the "
            "books."
        )
    settle(task, against)
    order = {code: number for number, code in enumerate(named)}
    return sorted(standing, key=lambda each: order.get(each.lot.code, len(order)))
