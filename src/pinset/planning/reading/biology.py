"""What nature forbids: the first day a new batch can be there, and the parents that are too few."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from pinset.planning.model.columns import Model
from pinset.planning.model.reach import Causes
from pinset.planning.problem import Making, Problem, Recipe
from pinset.planning.reading.explain import day_in_words, noun_for
from pinset.planning.reading.pegging import Key
from pinset.planning.reading.short_reason import Reason, ShortReason

NAMED = 2  # parents named


@dataclass(frozen=True, slots=True)
class Wanting:
    """More usable units of a step that would be needed on a day."""

    r: int
    k: int
    day: int
    units: float


@dataclass(frozen=True, slots=True)
class First:
    """When a new batch of a step can start and be usable at the earliest, and what it waits for."""

    start: int
    ready: int
    waits_for: str = ""  # empty: only for the step's own next day


def first_new(problem: Problem, recipe: Recipe) -> dict[str, First]:
    """Return the earliest new batch of each step; steps of which none can start are left out."""
    found: dict[str, First] = {}
    for making in recipe.makings:
        for t in making.start_days:
            if not _has_vessels(problem, making, t) or not _has_parent(
                problem, recipe, making, t, found
            ):
                continue
            found[making.step] = First(
                t, making.ready(t), _waits_for(problem, recipe, making, t, found)
            )
            break
    return found


def first_pick(problem: Problem, recipe: Recipe, first: First) -> int | None:
    """Return the day a new batch can first be picked, or None if no move day catches it."""
    fruiting = recipe.fruiting
    if fruiting is None or not fruiting.curve:
        return None
    making = recipe.making(fruiting.parent)
    keeps = making.window_days if making is not None else 1
    move = next((day for day in fruiting.move_days if first.ready <= day), None)
    if move is None or move >= first.ready + keeps:
        return None
    return problem.resources.next_staffed(move + min(pick.day for pick in fruiting.borne(move)))


def _has_vessels(problem: Problem, making: Making, day: int) -> bool:
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
        if new is not None and new.ready <= min(days, default=new.ready):
            when = day_in_words(problem.date_of(new.ready))
            said.append((new.ready, _of_parent(parent, when)))
        elif days:
            when = day_in_words(problem.date_of(min(days)))
            said.append((min(days), f"no {noun_for(parent, 1)} is usable before {when}"))
    return min(said)[1] if said else ""


def _of_parent(parent: Making, when: str) -> str:
    if parent.is_purchase:
        return f"the next delivery of {parent.step} that can be had is on {when}"
    return f"no {noun_for(parent, 1)} is usable before {when}"


def why_unavoidable(model: Model, key: Key, wanting: Iterable[Wanting]) -> Reason:
    """Return what forbids more of a promise; the model allows every day."""
    problem = model.problem
    causes = Causes(model)
    recipe = problem.recipes[key[0]]
    when = day_in_words(problem.date_of(max(0, key[2])))
    fruiting = recipe.fruiting
    is_picked = key[1] == "picked"
    code = fruiting.parent if is_picked and fruiting is not None else key[1]
    making = recipe.making(code)
    first = first_new(problem, recipe).get(code)
    day = None
    if first is not None:
        day = first_pick(problem, recipe, first) if is_picked else first.ready
    if making is None or not making.start_days:
        words = f"Nothing alive now gives more {recipe.name} by {when}, and no more can be started."
        return Reason(ShortReason.NO_START, words, (code,))
    if first is None or day is None:
        ends = day_in_words(problem.date_of(recipe.days - 1))
        words = (
            f"What is alive now gives no more {recipe.name} by {when}, whatever is done; a new "
            f"batch takes until after {ends}, where this plan ends."
        )
        return Reason(ShortReason.TOO_SOON, words, (code,))
    ends = "can be picked" if is_picked else "is ready"
    new = day_in_words(problem.date_of(day))
    noun = noun_for(making, 2)
    if day > key[2]:
        since = f", since {first.waits_for}" if first.waits_for else ""
        words = (
            f"What is alive now gives no more {recipe.name} by {when}, whatever is done; "
            f"a new batch of {noun} {ends} on {new} at the earliest{since}."
        )
        return Reason(ShortReason.TOO_SOON, words, (code,))
    few = _too_few(model, causes, key, code, wanting)
    if few:
        words = (
            f"A new batch of {noun} {ends} from {new}, but what is alive now starts too few for "
            f"{when}: {few} would be needed."
        )
        return Reason(ShortReason.FEW_PARENTS, words, (code,))
    words = (
        f"A new batch of {noun} {ends} from {new}, but not enough of it by {when}, whatever is "
        "done."
    )
    return Reason(ShortReason.TOO_LITTLE, words, (code,))


def _too_few(model: Model, causes: Causes, key: Key, code: str, wanting: Iterable[Wanting]) -> str:
    problem = model.problem
    recipe = problem.recipes[key[0]]
    reach = causes.reach(key[0], key[1])
    parts = []
    for each in sorted(wanting, key=lambda one: (one.day, one.k)):
        if each.r != key[0] or recipe.makings[each.k].step == code:
            continue
        span = reach.from_ready(recipe.makings[each.k].step, each.day)
        if span is not None and span[0] <= key[2] <= span[1]:
            number = max(1, round(each.units))
            noun = noun_for(recipe.makings[each.k], number)
            day = day_in_words(problem.date_of(each.day))
            parts.append(f"about {number} more {noun} on {day}")
    return " and ".join(parts[:NAMED])


def needs_parents(model: Model, key: Key) -> bool:
    """Whether a new batch could be there in time, so that only too few parents forbid more."""
    problem = model.problem
    recipe = problem.recipes[key[0]]
    fruiting = recipe.fruiting
    is_picked = key[1] == "picked"
    code = fruiting.parent if is_picked and fruiting is not None else key[1]
    first = first_new(problem, recipe).get(code)
    if first is None:
        return False
    day = first_pick(problem, recipe, first) if is_picked else first.ready
    return day is not None and day <= key[2]
