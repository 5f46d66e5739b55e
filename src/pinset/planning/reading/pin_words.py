"""What is said of pins: what the plan has of each, and what breaks one."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from math import ceil

from numpy import float64
from numpy.typing import NDArray

from pinset.planning.model.columns import Model
from pinset.planning.model.limits_pins import columns_of
from pinset.planning.model.pins import making_of
from pinset.planning.plan import PinKept, PlannedCook
from pinset.planning.problem import Pinned
from pinset.planning.reading.explain import day_in_words, noun_for, units_for
from pinset.planning.reading.lacking_words import full_words
from pinset.planning.reading.pins_broken import Broken

NAMED = 2  # things in the way of one pin
NEARLY = 1e-3


def pins_kept(
    model: Model,
    values: NDArray[float64],
    broken: Mapping[int, Broken],
    cooks: Iterable[PlannedCook] = (),
) -> tuple[PinKept, ...]:
    """Return what the plan has of every pin; the words of one that is kept are empty."""
    cooked = {(each.steriliser, each.kind, each.day): each.cooks for each in cooks}
    problem = model.problem
    found = []
    for number, pin in enumerate(problem.pins):
        planned = pin.done + sum(float(values[column]) for column in columns_of(model, pin))
        words = pin.refused
        if pin.steriliser:
            planned = pin.done + cooked.get((pin.steriliser, pin.step, problem.date_of(pin.day)), 0)
            found.append(_cook_kept(model, pin, planned, broken.get(number)))
            continue
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


def _cook_kept(model: Model, pin: Pinned, planned: float, broken: Broken | None) -> PinKept:
    problem = model.problem
    words = pin.refused
    count = pin.count + pin.done
    if not words and planned < count - NEARLY:
        what = f"{count:.0f} {pin.step} {'cook' if count == 1 else 'cooks'} of {pin.steriliser}"
        has = f"only {planned:.0f}" if planned >= 1 else "none"
        when = day_in_words(problem.date_of(pin.day))
        why = " and ".join(_reasons(model, broken)) if broken else _why_no_cook(model, pin)
        words = f"Of {what} pinned for {when} {has} can be done: {why}."
    return PinKept(
        code=pin.code,
        variety=pin.steriliser,
        step=pin.step,
        day=problem.date_of(pin.day),
        count=count,
        planned=planned,
        words=words,
    )


def _why_no_cook(model: Model, pin: Pinned) -> str:
    """Return why there is no such cook, or nothing to put into it."""
    if pin.day >= model.problem.days or not model.is_by_day(pin.day):
        return "that is further ahead than cooks are planned by the day"
    rows = [r for r in model.problem.resources.sterilisers if r.code == pin.steriliser]
    hours = next((o.hours for r in rows for o in r.cooks if o.kind == pin.step), None)
    if hours is None or any(r.hours[pin.day] < hours or r.count[pin.day] < 1 for r in rows):
        return "it has no time for one that day"
    return "nothing that needs it can be ready for it, or is wanted after it"


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
