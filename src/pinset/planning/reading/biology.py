"""What nature forbids: a new batch is there too late, or its parents are too few."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

from pinset.planning.model.columns import Model
from pinset.planning.model.reach import Causes, is_in_time
from pinset.planning.problem import Problem
from pinset.planning.reading.early_hours import along_words, counted_words, is_early
from pinset.planning.reading.explain import day_in_words, noun_for
from pinset.planning.reading.new_batches import PICKED, Earliest, earliest_new
from pinset.planning.reading.pegging import Key
from pinset.planning.reading.short_reason import Reason, ShortReason
from pinset.planning.recipes import Recipe

NAMED = 2  # parents named


@dataclass(frozen=True, slots=True)
class Wanting:
    """More usable units of a step that would be needed on a day."""

    r: int
    k: int
    day: int
    units: float


def why_unavoidable(
    model: Model, key: Key, wanting: Iterable[Wanting], told: Problem | None = None
) -> Reason:
    """Return what forbids more of a promise; the model allows every day.

    Of an early delivery it also says what the plan does not count on for it. Days are told by what
    is to be had and cooked on the farm as it is, which ``told`` says, if that is too late as well.
    """
    reason = _forbidden(model, key, wanting, told or model.problem)
    if not is_early(key):
        return reason
    along = along_words(model.problem, key)
    return replace(reason, words=f"{reason.words} {along}" if along else reason.words)


def _forbidden(model: Model, key: Key, wanting: Iterable[Wanting], told: Problem) -> Reason:
    problem = model.problem
    causes = Causes(model)
    recipe = problem.recipes[key[0]]
    when = day_in_words(problem.date_of(max(0, key[2])))
    fruiting = recipe.fruiting
    is_picked = key[1] == PICKED
    code = fruiting.parent if is_picked and fruiting is not None else key[1]
    making = recipe.making(code)
    ever = ", picked as it ripens" if is_picked else ", whatever is done"
    gives = f"What is alive now gives no more {recipe.name} by {when}{ever}"
    if is_early(key):
        gives = f"{counted_words(problem, key)}, and there is no more {recipe.name} by then"
        ever = f". {counted_words(problem, key)}"
    if making is None or not making.start_days:
        words = f"Nothing alive now gives more {recipe.name} by {when}, and no more can be started."
        if is_early(key):
            words = f"{gives}; no more can be started."
        return Reason(ShortReason.NO_START, words, (code,))
    first = earliest_new(told, told.recipes[key[0]], key[1])
    every_day = _on_every_day(problem, recipe, key[1])
    if every_day is not None and every_day.day <= key[2]:
        first = every_day  # late only because nobody works: that is told for itself
    if first is None:
        ends = day_in_words(problem.date_of(recipe.days - 1))
        words = f"{gives}; a new batch takes until after {ends}, where this plan ends."
        return Reason(ShortReason.TOO_SOON, words, (code,))
    ends = "can be picked" if is_picked else "is ready"
    new = day_in_words(problem.date_of(first.day))
    noun = noun_for(making, 2)
    if first.day > key[2]:
        since = f", since {first.waits_for}" if first.waits_for else ""
        words = f"{gives}; a new batch of {noun} {ends} on {new} at the earliest{since}."
        return Reason(ShortReason.TOO_SOON, words, (code,))
    few = _too_few(model, causes, key, code, wanting)
    if few:
        words = (
            f"A new batch of {noun} {ends} from {new}, but what is alive now starts too few for "
            f"{when}: {few} would be needed."
        )
        return Reason(ShortReason.FEW_PARENTS, words, (code,))
    words = f"A new batch of {noun} {ends} from {new}, but not enough of it by {when}{ever}."
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
        if span is not None and is_in_time(span, key):
            number = max(1, round(each.units))
            noun = noun_for(recipe.makings[each.k], number)
            day = day_in_words(problem.date_of(each.day))
            parts.append(f"about {number} more {noun} on {day}")
    return " and ".join(parts[:NAMED])


def needs_parents(model: Model, key: Key) -> bool:
    """Whether a new batch could be there in time, so that only too few parents forbid more."""
    first = _on_every_day(model.problem, model.problem.recipes[key[0]], key[1])
    return first is not None and first.day <= key[2]


def _on_every_day(problem: Problem, recipe: Recipe, code: str) -> Earliest | None:
    """Return when something new is there at the earliest if it is picked whenever it is ripe."""
    always = replace(problem.resources, hands_minutes=(), works=())
    return earliest_new(replace(problem, resources=always), recipe, code)
