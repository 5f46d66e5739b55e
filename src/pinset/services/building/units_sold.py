"""Which living units go to a buyer: the usable ones that keep least; others only with a reason."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from pinset.chain.living import LivingLot
from pinset.chain.readiness import LotState, state
from pinset.chain.register import StepKind
from pinset.chain.stages import noun_of
from pinset.errors import RefusedError
from pinset.farm.queries.alive import living
from pinset.farm.trade import Taken
from pinset.services.building.parts_taken import keeping_least, places
from pinset.services.building.suitable import (
    against_use,
    ask_about_missing,
    held_among,
    settle,
)
from pinset.services.building.task import Task, from_shelves, looked_up
from pinset.services.promises.units_there import is_of_step

NAMED_LOTS = 4


@dataclass(frozen=True, slots=True)
class _Part:
    """Living units of one lot at one place, and why they are not usable; empty if they are."""

    lot: LivingLot
    why_not: str


def units_to_sell(task: Task, count: int) -> list[Taken]:
    """Return which units are handed over, from where.

    Without lots named, those that are ready, within their time, not held back and of a cleared
    culture go, first those that keep least long where they stand. With a reason the others follow,
    in the same order.

    Raises
    ------
    RefusedError
        If too few are usable, or a lot named is not, and no reason is given; if fewer are alive.
    """
    if task.answer.lots:
        return _named(task)
    parts = [
        _judged(lot, task)
        for lot in keeping_least(living(task.day))
        if is_of_step(lot, task.job.variety, task.job.step)
    ]
    what = f"{task.job.step} of {task.job.variety_name}"
    if not parts:
        raise RefusedError(f"No {what} is alive to hand over.", "Say which lots were handed over.")
    alive = sum(part.lot.alive for part in parts)
    noun = _noun(parts[0].lot, alive, task)
    are = "is" if alive == 1 else "are"
    asked = f"{count} {'is' if count == 1 else 'are'} to be handed over"
    if count > alive:
        raise RefusedError(
            f"Only {alive} {noun} of {task.job.variety_name} {are} alive, and {asked}.",
            "If more stand there, say so at their lot first.",
        )
    usable = [part for part in parts if not part.why_not]
    others = [part for part in parts if part.why_not]
    good = sum(part.lot.alive for part in usable)
    if good < count:
        few = f"Of {task.job.variety_name} only {good} of {alive} living {noun} {are} usable"
        gone = {each.lot for each in _in_turn(count, [*usable, *others])}
        held = {part.lot.code for part in others if part.lot.held} & gone
        settle(task, [f"{few}, and {asked}; the others: {_said(others)}."], held=held)
    return _in_turn(count, [*usable, *others])


def _judged(lot: LivingLot, task: Task) -> _Part:
    if lot.held:
        return _Part(lot, f"held back ({lot.held})")
    if lot.now_step().kind is StepKind.FRUIT:
        return _Part(lot, "in a grow room")
    now = state(lot, task.day)
    said = now.words.removeprefix(f"{now.state.value}: ")
    return _Part(
        lot,
        {
            LotState.READY: "",
            LotState.NOT_READY: f"not ready yet ({said})",
            LotState.PAST: f"past their time ({said})",
            LotState.DEAD_COLD: f"too cold ({said})",
        }[now.state],
    )


def _noun(lot: LivingLot, count: int, task: Task) -> str:
    return noun_of(lot.stage, count, is_bought=task.reader.is_bought(lot.variety, lot.step))


def _said(others: Sequence[_Part]) -> str:
    units: dict[tuple[str, str], int] = {}
    for part in others:
        key = (part.lot.code, part.why_not)
        units[key] = units.get(key, 0) + part.lot.alive
    said = [f"{count} of {code} {why}" for (code, why), count in units.items()]
    more = sum(list(units.values())[NAMED_LOTS:])
    if more:
        said = [*said[:NAMED_LOTS], f"{more} of other lots"]
    return ", ".join(said)


def _in_turn(count: int, parts: Sequence[_Part]) -> list[Taken]:
    """Return what is taken of parts in their order, one amount for each lot and place."""
    taken: dict[tuple[str, str], int] = {}
    left = count
    for part in parts:
        units = min(left, part.lot.alive)
        if units > 0:
            key = (part.lot.code, part.lot.place)
            taken[key] = taken.get(key, 0) + units
            left -= units
    return [Taken(lot, units, place) for (lot, place), units in taken.items()]


def _named(task: Task) -> list[Taken]:
    """Return units of the lots a person named: of each the usable ones that keep least first.

    More than the books know of are written down as they were said: the ledger asks about them.
    """
    lots = [each for code, units in task.answer.lots for each in from_shelves(task, code, units)]
    looked_up(task, lots)
    ask_about_missing(task, lots)
    alive = keeping_least(living(task.day, lots=[lot.lot for lot in lots]))
    parts = [_judged(part, task) for part in alive]
    against: list[str] = []
    taken: list[Taken] = []
    for lot in lots:
        own = sorted(
            (
                part
                for part in parts
                if part.lot.code == lot.lot and lot.place in {"", part.lot.place}
            ),
            key=lambda part: bool(part.why_not),
        )
        if lot.units > sum(part.lot.alive for part in own if not part.why_not):
            against += [said for part in own for said in _against(part.lot, task)]
        if lot.units > sum(part.lot.alive for part in own):
            taken += places(task, [lot])
        else:
            taken += _in_turn(lot.units, own)
    settle(task, against, held=held_among(alive, against))
    return taken


def _against(lot: LivingLot, task: Task) -> list[str]:
    if lot.now_step().kind is StepKind.FRUIT:
        return [f"Lot {lot.code} stands in a grow room."]
    return against_use(lot, task.day)
