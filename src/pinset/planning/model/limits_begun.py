"""What is soaked or filled: no mix is cooked before it can be ready, none is left to spoil."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

from pinset.planning.model.columns import Model
from pinset.planning.model.programme import Term

By = Mapping[tuple[str, int], Sequence[Term]]
"""Litres by mix and day of the start."""


@dataclass(frozen=True, slots=True)
class Made:
    """Litres of cooks of one day, or of a far week."""

    day: int  # of a far week the first
    serves: int  # the latest cook day of the soonest start they may go into: the day or later
    litres: list[Term]
    days: tuple[int, ...]  # on which they may be loaded
    steriliser: str = ""


def only_what_was_begun(
    model: Model, kind: str, mixes: Iterable[str], made: Sequence[Made]
) -> list[Made]:
    """Let a cook too soon for new preparation of any mix hold no more than was begun for it.

    So with a cook for which every mix would have to be soaked too long before.
    """
    resources = model.problem.resources
    own = tuple(mixes)
    too_soon: dict[int, list[Made]] = defaultdict(list)
    found = []
    for each in made:
        if own and not any(_can_be_begun(model, kind, mix, each.days) for mix in own):
            if any(resources.begun_litres(kind, None, day) > 0.0 for day in each.days):
                too_soon[each.day].append(each)
        else:
            found.append(each)
    filled: dict[int, list[Term]] = defaultdict(list)
    for day, loads in too_soon.items():
        for each in loads:
            begun = max(resources.begun_litres(kind, None, loaded) for loaded in each.days)
            column = model.programme.column(upper=begun)
            model.programme.at_most([(column, 1.0), *((n, -most) for n, most in each.litres)], 0.0)
            filled[day].append((column, 1.0))
            found.append(replace(each, litres=[(column, 1.0)]))
    days = sorted(filled)
    for i, day in enumerate(days):
        for until in days[i:]:
            terms = [term for d in days if day <= d <= until for term in filled[d]]
            if len(terms) > 1:
                model.programme.at_most(terms, _begun_between(model, kind, None, day, until))
    return found


def limit_unbegun(
    model: Model,
    kind: str,
    needed: By,
    given: By,
    made: Sequence[Made],
    cook_days: Mapping[str, int],
) -> None:
    """Serve a mix only from what was begun of it and from cooks for which it can be ready.

    Parameters
    ----------
    model, kind : Model, str
        The programme and the kind of cook.
    needed : mapping of (mix, day) to terms
        Litres that the starts of a day need of a mix.
    given : mapping of (mix, day) to terms
        Litres of it that vessels which stand prepared give.
    made : sequence of Made
        The cooks.
    cook_days : mapping of str to int
        How many days before its start each mix is cooked at the latest. [d]
    """
    resources = model.problem.resources
    first = {mix: resources.first_cook_day(kind, mix) for mix, _ in needed}
    for soonest in sorted({day for day in first.values() if day > 0}):
        late = {mix for mix, day in first.items() if day >= soonest}
        until = soonest + resources.sterile_keeps_days + max(cook_days[mix] for mix in late)
        days = sorted({t for mix, t in needed if mix in late and t <= until})
        for day in days:
            terms: list[Term] = []
            for mix in late:
                own = [t for of, t in needed if of == mix and t <= day]
                terms += [term for t in own for term in needed[mix, t]]
                terms += [(x, -a) for t in own for x, a in given.get((mix, t), ())]
            latest = {mix: day - cook_days[mix] for mix in late}
            terms += [
                (n, -most)
                for each in made
                if each.days[-1] >= soonest and each.serves <= max(latest.values())
                for n, most in each.litres
            ]
            serves: dict[int, int] = {}
            for each in (each for each in made if each.days[-1] < soonest):
                serves[each.day] = min(each.serves, serves.get(each.day, each.serves))
            ready = {mix: [d for d, s in serves.items() if s <= latest[mix]] for mix in late}
            begun = sum(
                batch.litres
                for batch in resources.begun
                if any(
                    batch.is_for(kind, mix)
                    and any(batch.first_day <= d <= batch.last_day for d in ready[mix])
                    for mix in late
                )
            )
            model.programme.at_most(terms, begun)


def limit_too_wet(
    model: Model,
    kind: str,
    needed: By,
    given: By,
    made: Sequence[Made],
    cook_days: Mapping[str, int],
) -> None:
    """Serve a mix from no cook for which it would have to be soaked too long before.

    Where other mixes may go into such a cook, it is there all the same; of this one it holds what
    was begun in time. Starts of some days together are served by the other cooks they can wait for.
    """
    resources = model.problem.resources
    keeps = resources.keeps_days(kind, min(cook_days.values(), default=1))
    for mix in sorted({mix for mix, _ in needed}):
        shut = {each.day for each in made if not _can_be_begun(model, kind, mix, each.days)} - set(
            range(resources.first_cook_day(kind, mix))
        )
        starts = sorted(t for of, t in needed if of == mix)
        served = {t: range(t - cook_days[mix] - keeps, t - cook_days[mix] + 1) for t in starts}
        starts = [t for t in starts if shut & {model.bucket(day) for day in served[t]}]
        for i, first in enumerate(starts):
            for last in starts[i:]:
                if last - first > keeps + 1:
                    break
                days = [t for t in starts if first <= t <= last]
                terms = [term for t in days for term in needed[mix, t]]
                terms += [(x, -a) for t in days for x, a in given.get((mix, t), ())]
                terms += [
                    (n, -most)
                    for each in made
                    if each.day not in shut and each.serves <= last - cook_days[mix]
                    if each.days[-1] >= served[first].start
                    for n, most in each.litres
                ]
                begun = sum(
                    batch.litres
                    for batch in resources.begun
                    if batch.is_for(kind, mix)
                    and any(batch.first_day <= d <= batch.last_day for d in shut)
                )
                model.programme.at_most(terms, begun)


def _can_be_begun(model: Model, kind: str, mix: str, days: Iterable[int]) -> bool:
    """Say whether a cook of one of these days may hold new vessels of a mix."""
    return any(model.problem.resources.can_be_begun(kind, mix, day) for day in days)


def use_what_was_begun(
    model: Model, kind: str, needed: By, cook_days: Mapping[str, int], soonest: int
) -> None:
    """Wish (softly) that what stands in the soak is cooked while it keeps, and then used."""
    resources, weights = model.problem.resources, model.problem.weights
    keeps = resources.keeps_days(kind, soonest)
    for each in resources.begun:
        if each.cook != kind or each.litres <= 0:
            continue
        served = [
            term
            for (mix, t), terms in needed.items()
            if each.is_for(kind, mix)
            and each.first_day <= t - cook_days[mix] <= each.last_day + keeps
            for term in terms
        ]
        spoiled = model.programme.column(weights.spoiled_litre, upper=each.litres)
        model.wishes.append(spoiled)
        model.programme.at_least([*served, (spoiled, 1.0)], each.litres)


def cook_on_its_day(model: Model, kind: str, made: Sequence[Made]) -> None:
    """Wish (more softly) that what stands in the soak is cooked on the day it was begun for."""
    price = model.problem.weights.moved_litre
    begun: dict[int, float] = defaultdict(float)
    for each in model.problem.resources.begun:
        if each.cook == kind:
            meant = each.first_day if each.meant_day is None else each.meant_day
            begun[max(0, meant)] += each.litres
    for day, litres in begun.items():
        loads = [term for each in made if each.day == day for term in each.litres]
        if litres <= 0 or not loads:
            continue
        moved = model.programme.column(price, upper=litres)
        model.programme.at_least([*loads, (moved, 1.0)], litres)


def _begun_between(model: Model, kind: str, mix: str | None, first: int, last: int) -> float:
    """Return the litres that cooks of some days together can take of what is begun."""
    return sum(
        each.litres
        for each in model.problem.resources.begun
        if each.is_for(kind, mix) and each.first_day <= last and each.last_day >= first
    )
