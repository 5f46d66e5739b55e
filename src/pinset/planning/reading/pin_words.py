"""What is said of pins: what the plan has of each, and what breaks one."""

from __future__ import annotations

from collections.abc import Mapping
from math import ceil

from numpy import float64
from numpy.typing import NDArray

from pinset.planning.model.columns import Model
from pinset.planning.model.limits_pins import columns_of
from pinset.planning.model.pins import making_of
from pinset.planning.plan import PinKept
from pinset.planning.problem import Pinned
from pinset.planning.reading.explain import day_in_words, noun_for, units_for
from pinset.planning.reading.pins_broken import Broken
from pinset.planning.reading.shortage_words import full_words

NAMED = 2  # things in the way of one pin


def pins_kept(
    model: Model, values: NDArray[float64], broken: Mapping[int, Broken]
) -> tuple[PinKept, ...]:
    """Return what the plan has of every pin; the words of one that is kept are empty."""
    problem = model.problem
    found = []
    for number, pin in enumerate(problem.pins):
        planned = pin.done + sum(float(values[column]) for column in columns_of(model, pin))
        words = pin.refused
        if number in broken:
            words = _why_broken(model, pin, broken[number], planned)
        found.append(
            PinKept(
                code=pin.code,
                variety=pin.variety,
                step=pin.step,
                day=problem.date_of(pin.day),
                count=pin.count + pin.done,
                planned=0.0 if pin.refused else planned,
                words=words,
            )
        )
    return tuple(found)


def _why_broken(model: Model, pin: Pinned, broken: Broken, planned: float) -> str:
    problem = model.problem
    recipe = problem.recipe(pin.variety)
    making = making_of(recipe, pin) if recipe is not None else None
    count = ceil(pin.count)
    what = units_for(making, count) if making is not None else f"{count} of {pin.step}"
    is_move = making is not None and making.step != pin.step
    done = "moved in" if is_move else "ordered" if making and making.is_purchase else "started"
    has = f"only {round(planned)}" if round(planned) > 0 else "none"
    when = day_in_words(problem.date_of(pin.day))
    sentence = f"Of {what} of {pin.name} pinned for {when} {has} can be {done}"
    return f"{sentence}: {' and '.join(_reasons(model, broken))}."


def _reasons(model: Model, broken: Broken) -> list[str]:
    problem, said = model.problem, []
    for each in broken.missing[:1]:
        making = problem.recipes[each.recipe].makings[each.making]
        units = max(1, ceil(each.units - 1e-6))
        when = day_in_words(problem.date_of(each.day))
        verb = "is" if units == 1 else "are"
        said.append(f"{units} more {noun_for(making, units)} {verb} needed by {when}")
    resources: dict[str, list[int]] = {}
    for lack in broken.lacks:
        resources.setdefault(lack.resource, []).append(lack.day)
    for resource, days in list(resources.items())[: NAMED - len(said)]:
        said.append(f"{full_words(resource)} on {day_in_words(problem.date_of(min(days)))}")
    return said or ["whole units and whole batches leave no room for the rest"]
