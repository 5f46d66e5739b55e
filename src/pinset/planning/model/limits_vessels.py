"""Reusable vessels in circulation: held from their filling until emptied, whichever start it is."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field, replace

from pinset.planning.model.columns import Fill, Given, Model, limit, stock_of
from pinset.planning.model.limits_begun import Made
from pinset.planning.model.limits_places import check_days, standing
from pinset.planning.model.programme import Term
from pinset.planning.problem import Problem
from pinset.planning.recipes import Making

VESSEL_PRICE = 1.0  # of one more, assumed; used to name what is lacking
STANDING_PRICE = 1e-5  # per litre and day that stands cooked; only so that none is filled too soon
MORNING = -1
"""The day before the first: what is held then stands when the day begins."""

Start = tuple[int, int, int]
"""Recipe, making and day."""


@dataclass(frozen=True, slots=True)
class Served:
    """A start that needs cooked vessels."""

    key: Start
    vessel: str  # empty: of a kind that is not counted
    mix: str
    latest: int  # day, or far week, of its latest cook
    litres: Term

    @property
    def day(self) -> int:
        """The day of the start."""
        return self.key[2]


def fill(model: Model, kind: str, starts: Sequence[Served], made: Sequence[Made]) -> list[Made]:
    """Say of each cook how much of it is filled, kind of vessel by kind, where some are counted.

    A cook has room for vessels that nobody fills: held are only those that somebody does.
    """
    vessels = sorted({each.vessel for each in starts})
    if not any(vessels) or len({(s.mix, s.vessel) for s in starts}) > len({s.mix for s in starts}):
        return list(made)  # none is counted, or a mix does not say which vessels it is in
    found = []
    for each in made:
        own = [
            Fill(model.programme.column(), each.steriliser, kind, vessel, each.day, each.serves)
            for vessel in vessels
        ]
        litres = [(part.column, 1.0) for part in own]
        model.programme.at_most([*litres, *((n, -most) for n, most in each.litres)], 0.0)
        model.fills += own
        found.append(replace(each, litres=litres))
    model.fed |= {each.key for each in starts if each.vessel}
    return found


def keep_apart(model: Model, kind: str, starts: Sequence[Served]) -> None:
    """Serve starts only from vessels of their own kind, where a kind of cook takes several."""
    fills = [each for each in model.fills if each.kind == kind]
    vessels = sorted({each.vessel for each in fills})
    for vessel in vessels if len(vessels) > 1 else ():
        own = [each for each in starts if each.vessel == vessel]
        given = _given_to(model, kind, {each.mix for each in own})
        before: int | None = None
        last: int | None = None
        for day in sorted({each.latest for each in own}):
            kept = model.programme.column()
            now = {each.day for each in own if each.latest == day}
            terms: list[Term] = [(kept, 1.0)]
            terms += [each.litres for each in own if each.latest == day]
            terms += [(each.column, -1.0) for each in given if each.day in now]
            terms += [
                (each.column, -1.0)
                for each in fills
                if each.vessel == vessel
                and each.serves <= day
                and (last is None or each.serves > last)
            ]
            if before is not None:
                terms.append((before, -1.0))
            model.programme.at_most(terms, 0.0)
            before, last = kept, day


def _given_to(model: Model, kind: str, mixes: set[str]) -> list[Given]:
    return [each for each in model.given if each.kind == kind and each.mix in mixes]


@dataclass(slots=True)
class _Held:
    """Vessels of one kind that are held on a day: what decides it, and what is held in any case."""

    terms: list[Term] = field(default_factory=list)
    known: float = 0.0
    least: float = 0.0  # of what the terms say: it stands there today


def limit_vessels(model: Model) -> None:
    """Reusable vessels in circulation: filled for a cook, under way, waiting, and fruiting.

    On a near day those may be filled that stand empty when it begins: one that is emptied on the
    day itself is washed and filled on the next. In a far week it is what is held at its end.
    """
    problem = model.problem
    for vessel in problem.resources.vessels:
        owners = _owners(problem, vessel.code)
        fills = [each for each in model.fills if each.vessel == vessel.code]
        begun = _filled_without_cook(model, owners)
        days = {each.day for each in fills}
        days |= set(begun.values())
        days |= {t for (r, k, t) in model.x if (r, k) in owners and not model.is_whole(t)}
        checked = check_days(model, days)
        at = {day: day - 1 if model.is_whole(day) else day for day in checked}
        cooked = _cooked(model, vessel.code, fills, sorted({*at.values()} - {MORNING}))
        litres = _litres(problem, vessel.code)
        for day in checked:
            held = _held(model, vessel.code, owners, begun, at[day])
            terms = [*held.terms, *cooked[at[day]].terms]
            if model.is_whole(day):
                terms += [
                    (each.column, 1.0 / litres[each.kind]) for each in fills if each.day == day
                ]
                terms += [(model.x[key], 1.0) for key, first in begun.items() if first == day]
            limit(
                model,
                terms,
                vessel.count,
                taken=held.known + cooked[at[day]].known,
                least=held.least + cooked[at[day]].least,
                resource=f"vessels {vessel.code}",
                day=day,
                unit="vessels",
                price=VESSEL_PRICE,
                varieties=[problem.recipes[r].variety for r, _ in owners],
            )


def _owners(problem: Problem, vessel: str) -> dict[tuple[int, int], Making]:
    return {
        (r, k): making
        for r, recipe in enumerate(problem.recipes)
        for k, making in enumerate(recipe.makings)
        if making.vessel == vessel
    }


def _litres(problem: Problem, vessel: str) -> dict[str, float]:
    """Return the litres that one vessel takes in each kind of cook."""
    found: dict[str, float] = {}
    for making in _owners(problem, vessel).values():
        if making.cook and making.litres > 0.0:
            found[making.cook] = min(making.litres, found.get(making.cook, making.litres))
    return found


def _filled_without_cook(model: Model, owners: Iterable[tuple[int, int]]) -> dict[Start, int]:
    """Return the starts whose vessels no planned cook fills, and since when each holds its own."""
    found = {}
    for r, k, t in model.x:
        if (r, k) in owners and (r, k, t) not in model.fed:
            making = model.problem.recipes[r].makings[k]
            found[r, k, t] = max(0, t - making.cook_days_before)
    return found


def _held(
    model: Model,
    vessel: str,
    owners: dict[tuple[int, int], Making],
    begun: dict[Start, int],
    day: int,
) -> _Held:
    """Return what is started, waits and fruits at the end of a day."""
    problem = model.problem
    held = _Held()
    held.known = sum(
        lot.units
        for lot in problem.in_rooms
        if lot.vessel == vessel and max(0, day) < lot.leaves_day
    )
    for (r, k), making in owners.items():
        recipe = problem.recipes[r]
        stock = stock_of(problem, recipe, making)
        if day == MORNING:
            held.known += sum(max(lot.units, lot.alive) for lot in stock)
            continue
        held.terms += [
            (model.x[r, k, t], 1.0)
            for t in making.start_days
            if (r, k, t) in model.x and begun.get((r, k, t), t) <= day < making.ready(t)
        ]
        held.known += sum(max(lot.units, lot.alive) for lot in stock if lot.ready_day > max(0, day))
        waiting, arrived, stays = standing(model, r, k, day)
        held.terms += waiting
        held.known += arrived
        held.least += stays
        fruiting = recipe.fruiting
        if fruiting is not None and fruiting.parent == making.step:
            held.terms += [
                (v, 1.0)
                for (owner, _, t), v in model.v.items()
                if owner == r and t <= day < t + fruiting.room_days_on(t)
            ]
    return held


def _cooked(
    model: Model, vessel: str, fills: Sequence[Fill], days: Sequence[int]
) -> dict[int, _Held]:
    """Return what stands cooked and unused at the end of each day, and as the first one begins."""
    problem, lp = model.problem, model.programme
    found = defaultdict[int, _Held](_Held)
    mixes: dict[str, set[str]] = defaultdict(set)
    for making in _owners(problem, vessel).values():
        mixes[making.cook].add(making.mix)
    for kind, litres in _litres(problem, vessel).items():
        given = _given_to(model, kind, mixes[kind])
        own = [each for each in fills if each.kind == kind]
        starts = [
            (key[2], model.x[key], making.litres)
            for key in model.fed
            for making in [problem.recipes[key[0]].makings[key[1]]]
            if (making.vessel, making.cook) == (vessel, kind)
        ]
        before, last = None, MORNING
        for day in days if own else ():
            column = lp.column(STANDING_PRICE * (day - last))
            terms: list[Term] = [(column, 1.0)]
            terms += [(each.column, -1.0) for each in own if last < each.day <= day]
            terms += [(x, each) for t, x, each in starts if last < t <= day]
            terms += [(each.column, -1.0) for each in given if last < each.day <= day]
            if before is not None:
                terms.append((before, -1.0))
            lp.at_least(terms, 0.0)
            found[day].terms.append((column, 1.0 / litres))
            before, last = column, day
        for number, each in enumerate(problem.resources.sterile):
            if each.cook != kind or not each.mix or each.mix not in mixes[kind]:
                continue
            for day in (MORNING, *days):
                if day <= each.last_day:
                    found[day].known += each.litres / litres
                    found[day].terms += [
                        (use.column, -1.0 / litres)
                        for use in given
                        if use.number == number and use.day <= day
                    ]
    return found
