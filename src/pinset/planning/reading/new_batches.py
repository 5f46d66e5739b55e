"""When a batch that is not started yet can be there at the earliest, and what it waits for."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import floor

from pinset.planning.problem import Problem
from pinset.planning.reading.explain import day_in_words, noun_for, units_for
from pinset.planning.reading.pegging import NOTHING
from pinset.planning.recipes import Fruiting, Making, Recipe

PICKED = "picked"


@dataclass(frozen=True, slots=True)
class First:
    """When a new batch of a step can start and be usable at the earliest, and what it waits for."""

    start: int
    ready: int
    waits_for: str = ""  # empty: only for the step's own next day


def first_new(problem: Problem, recipe: Recipe) -> dict[str, First]:
    """Return the new batch of each step that is usable first; steps of which none can start lack.

    It need not be the one that starts first: in another month a step may take fewer days.
    """
    found: dict[str, First] = {}
    for making in recipe.makings:
        first: First | None = None
        for batch in _batches(problem, recipe, making, found):
            if first is None or batch.ready < first.ready:
                first = batch
            if batch.start >= first.ready:
                break  # nothing from here on is ready before it
        if first is not None:
            found[making.step] = first
    return found


def _batches(
    problem: Problem, recipe: Recipe, making: Making, new: dict[str, First]
) -> Iterator[First]:
    """Yield the new batches of a step that have vessels and a parent, by their start.

    Each with what the first of them waits for.
    """
    waits_for: str | None = None
    for t in making.start_days:
        if has_vessels(problem, making, t) and _has_parent(problem, recipe, making, t, new):
            if waits_for is None:
                waits_for = _waits_for(problem, recipe, making, t, new)
            yield First(t, making.ready(t), waits_for)


def first_pick(problem: Problem, recipe: Recipe, first: First) -> int | None:
    """Return the day a new batch can first be picked, or None if no move day catches it in time."""
    fruiting = recipe.fruiting
    if fruiting is None or not fruiting.curve:
        return None
    moves = _moves(recipe, fruiting, first)
    return min(
        (day for move in moves for day, _ in problem.gathered(fruiting.borne(move), move)),
        default=None,
    )


def _moves(recipe: Recipe, fruiting: Fruiting, batch: First) -> list[int]:
    making = recipe.making(fruiting.parent)
    keeps = making.window_days if making is not None else 1
    return [day for day in fruiting.move_days if batch.ready <= day < batch.ready + keeps]


@dataclass(frozen=True, slots=True)
class Earliest:
    """The first day on which anything new is there, and what an earlier one would have needed."""

    day: int
    waits_for: str = ""


def earliest_new(problem: Problem, recipe: Recipe, code: str) -> Earliest | None:
    """Return when a unit of a step is ready at the earliest that is not started yet; None: never.

    ``code`` is that of the step, or ``picked``: then it is when it is picked. That need not be of
    the batch that is ready first: what that bears may ripen while nobody works, and what is started
    later be picked sooner.
    """
    new = first_new(problem, recipe)
    if code != PICKED:
        first = new.get(code)
        return Earliest(first.ready, first.waits_for) if first is not None else None
    fruiting = recipe.fruiting
    making = recipe.making(fruiting.parent) if fruiting is not None else None
    if fruiting is None or making is None:
        return None
    best: Earliest | None = None
    spoilt: list[bool] = []
    for batch in _batches(problem, recipe, making, new):
        if best is not None and batch.start >= best.day:
            break
        if best is not None and batch.ready >= best.day:
            continue
        day = first_pick(problem, recipe, batch)
        if day is not None and (best is None or day < best.day):
            is_for_them = bool(spoilt) and all(spoilt)
            best = Earliest(day, _spoils(problem, batch) if is_for_them else batch.waits_for)
        spoilt.append(_is_spoilt(problem, recipe, fruiting, batch))
    return best


def _is_spoilt(problem: Problem, recipe: Recipe, fruiting: Fruiting, batch: First) -> bool:
    """Whether the first of what a batch bears hangs until it is spoilt, whenever it is moved."""
    moves = _moves(recipe, fruiting, batch) if fruiting.curve else []
    return bool(moves) and all(
        problem.resources.picked_on(move + fruiting.borne(move)[0].day) is None for move in moves
    )


def _spoils(problem: Problem, batch: First) -> str:
    when = day_in_words(problem.date_of(batch.start))
    return f"the first mushrooms of what is started before {when} ripen while nobody works"


def has_vessels(problem: Problem, making: Making, day: int) -> bool:
    """Say whether vessels can be prepared for a start on a day, or are."""
    resources = problem.resources
    if not making.cook or not resources.is_sterile_counted:
        return True
    cook_day = day - making.cook_days_before
    if any(
        resources.can_be_ready(making.cook, making.mix, each)
        and _may_serve(problem, making, each, day)
        for each in range(max(0, cook_day + 1))
    ):
        return True
    return any(
        each.cook == making.cook
        and each.mix in {"", making.mix}
        and each.first_day <= day <= each.last_day
        for each in resources.sterile
    )


def _may_serve(problem: Problem, making: Making, cook_day: int, day: int) -> bool:
    """Whether a cook of a day may be inoculated by another, as far as the hours say."""
    served = [
        problem.resources.serves_from(each.code, making.cook, cook_day, is_last=False)
        for each in problem.resources.sterilisers
        for option in each.cooks
        if option.kind == making.cook
    ]
    return not served or any(first is not None and first <= day for first in served)


def _has_parent(
    problem: Problem, recipe: Recipe, making: Making, day: int, found: dict[str, First]
) -> bool:
    if not making.arcs:
        return True
    parents = {arc.parent for arc in making.arcs}
    return any(first.ready <= day for step, first in found.items() if step in parents) or any(
        lot.ready_day <= day <= lot.last_day and lot.units > 0
        for lot in problem.stock
        if lot.variety == recipe.variety and lot.step in parents
    )


def _waits_for(
    problem: Problem, recipe: Recipe, making: Making, day: int, found: dict[str, First]
) -> str:
    """Return why an earlier day of the step would not do."""
    earlier = [t for t in making.start_days if t < day]
    without = [t for t in earlier if not _has_parent(problem, recipe, making, t, found)]
    if not without:
        return "no vessels are prepared for an earlier one" if earlier else ""
    said = []
    for arc in making.arcs:
        parent = recipe.making(arc.parent)
        if parent is None:
            continue
        days = [
            max(0, lot.ready_day)
            for lot in problem.stock
            if lot.variety == recipe.variety
            and lot.step == arc.parent
            and lot.last_day > without[-1]
        ]
        new = found.get(arc.parent)
        over = _over_before(problem, recipe, parent, without[-1])
        if new is not None and new.ready <= min(days, default=new.ready):
            when = day_in_words(problem.date_of(new.ready))
            said.append((new.ready, over + _of_parent(parent, when, is_other=bool(over))))
        elif days:
            when = day_in_words(problem.date_of(min(days)))
            said.append((min(days), over + _usable_from(parent, when, is_other=bool(over))))
    return min(said)[1] if said else ""


def _over_before(problem: Problem, recipe: Recipe, parent: Making, day: int) -> str:
    """Return why none of the parents here whose time is over by a day can be used until then.

    Starts are possible on every day here, so that vessels are what is missing.
    """
    here = [
        lot
        for lot in problem.stock
        if (lot.variety, lot.step) == (recipe.variety, parent.step)
        and lot.place
        and floor(lot.units + NOTHING) > 0
        and max(0, lot.ready_day) <= lot.really_keeps <= day
    ]
    if not here:
        return ""
    last = max(lot.really_keeps for lot in here)
    units = sum(floor(lot.units + NOTHING) for lot in here)
    keep = f"{'keeps' if units == 1 else 'keep'} (until {day_in_words(problem.date_of(last))})"
    return f"no vessels are prepared while the {units_for(parent, units)} here {keep}, and "


def _of_parent(parent: Making, when: str, *, is_other: bool) -> str:
    if parent.is_purchase:
        return f"the next delivery of {parent.step} that can be had is on {when}"
    return _usable_from(parent, when, is_other=is_other)


def _usable_from(parent: Making, when: str, *, is_other: bool) -> str:
    return f"no {'other ' if is_other else ''}{noun_for(parent, 1)} is usable before {when}"
