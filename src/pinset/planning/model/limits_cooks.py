"""What cooks can hold: vessels are cooked, out of the steriliser and cool before they are used."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field

from pinset.planning.model.columns import Given, Model, limit
from pinset.planning.model.cook_days import cookable_days, serves_cooks_of, serving_days
from pinset.planning.model.limits_begun import (
    Made,
    cook_on_its_day,
    limit_too_wet,
    limit_unbegun,
    only_what_was_begun,
    use_what_was_begun,
)
from pinset.planning.model.limits_vessels import Served, fill, keep_apart
from pinset.planning.model.programme import Term
from pinset.planning.problem import Problem
from pinset.planning.recipes import Making
from pinset.planning.resources import CookOption, Sterile, SteriliserDays

# prices of one more unit of a resource, assumed; used to name what is lacking
HOUR_PRICE = 30.0
COOK_PRICE = 20.0
LITRE_PRICE = 0.5  # of vessels made sterile elsewhere: dearer than the steriliser's own hours


@dataclass(slots=True)
class _Kind:
    """What is needed of one kind of cook."""

    need: dict[int, list[Term]] = field(default_factory=lambda: defaultdict(list))  # by cook day
    by_start: dict[tuple[str, int], list[Term]] = field(default_factory=lambda: defaultdict(list))
    days_before: dict[str, int] = field(default_factory=dict)  # of each mix, the least
    users: set[str] = field(default_factory=set)
    starts: list[Served] = field(default_factory=list)

    @property
    def soonest(self) -> int:
        """How many days before a start its cook must be, where that is fewest."""
        return min(self.days_before.values(), default=1)


@dataclass(frozen=True, slots=True)
class _Cooks:
    """Cooks of one kind in one steriliser, on a day or on the days of a far week that hold it."""

    n: int  # the column
    hours: float  # of one
    days: frozenset[int]


def limit_sterilisers(model: Model) -> None:
    """Cooks (5): vessels are cooked before they are used; kinds do not mix in one cook."""
    problem = model.problem
    kinds = _needed(model)
    cooks: dict[tuple[str, int], list[_Cooks]] = {}
    first: dict[tuple[str, int], list[Term]] = defaultdict(list)
    for kind, needed in sorted(kinds.items()):
        made: list[Made] = []
        for steriliser in problem.resources.sterilisers:
            for option in steriliser.cooks:
                if option.kind != kind:
                    continue
                for t in range(min(max(needed.need) + 1, problem.days)):
                    if t != model.bucket(t):
                        continue
                    days = cookable_days(model, steriliser, option, t, needed.days_before)
                    used = serving_days(model, steriliser.code, kind, days)
                    if not (days if model.is_by_day(t) else used):
                        continue
                    n = model.programme.column(option.cost, whole=model.is_whole(t))
                    model.n[steriliser.code, kind, t] = n
                    cooks.setdefault((steriliser.code, t), []).append(
                        _Cooks(n, option.hours, frozenset(used or days))
                    )
                    if used:
                        made += _loads(model, steriliser, option, t, used, needed.soonest, first)
        made = only_what_was_begun(model, kind, needed.days_before, made)
        made = fill(model, kind, needed.starts, made)
        given = _sterile_flow(model, kind, needed, made)
        keep_apart(model, kind, needed.starts)
        limit_unbegun(model, kind, needed.by_start, given, made, needed.days_before)
        limit_too_wet(model, kind, needed.by_start, given, made, needed.days_before)
        use_what_was_begun(model, kind, needed.by_start, needed.days_before, needed.soonest)
        cook_on_its_day(model, kind, made)
    for terms in first.values():
        model.programme.at_most(terms, 1.0)  # one load of a day is its first, of whatever kind
    _limit_days(model, cooks, {who for needed in kinds.values() for who in needed.users})


def _limit_days(
    model: Model, cooks: Mapping[tuple[str, int], Sequence[_Cooks]], varieties: set[str]
) -> None:
    """Limit the cooks of each day; of a far week, each kind to the days that can hold it."""
    for steriliser in model.problem.resources.sterilisers:
        name = f"steriliser {steriliser.code}"
        for t in range(model.problem.days):
            here = cooks.get((steriliser.code, t), ())
            for days in _unions(each.days for each in here):
                inside = [each for each in here if each.days <= days]
                for terms, row, unit, price in (
                    ([(each.n, each.hours) for each in inside], steriliser.hours, "h", HOUR_PRICE),
                    ([(each.n, 1.0) for each in inside], steriliser.count, "cooks", COOK_PRICE),
                ):
                    limit(
                        model,
                        terms,
                        sum(row[day] for day in days),
                        resource=name,
                        day=t,
                        unit=unit,
                        price=price,
                        varieties=varieties,
                    )


def _unions(sets: Iterable[frozenset[int]]) -> list[frozenset[int]]:
    """Return all unions of some sets of days: cooks that find room in each of them fit together."""
    found: dict[frozenset[int], None] = {}
    for each in sets:
        found |= dict.fromkeys([each, *(each | other for other in found)])
    return list(found)


def _loads(
    model: Model,
    steriliser: SteriliserDays,
    option: CookOption,
    day: int,
    days: tuple[int, ...],
    soonest: int,
    first: dict[tuple[str, int], list[Term]],
) -> list[Made]:
    """Return the litres of a day's cooks; the first load may serve sooner than one after it.

    Far ahead a late opening evens out, and what some of the ``days`` of a week can do it can do.
    """
    resources = model.problem.resources
    n = model.n[steriliser.code, option.kind, day]
    serves = serves_cooks_of(model, steriliser.code, option.kind, days, soonest)
    if serves is None:
        return []
    early, late = (
        resources.serves_from(steriliser.code, option.kind, day, is_last=is_last)
        for is_last in (False, True)
    )
    if not model.is_whole(day) or late == early:
        return [Made(day, serves, [(n, option.litres)], days, steriliser.code)]
    begins = model.programme.column(upper=1.0)
    model.programme.at_most([(begins, 1.0), (n, -1.0)], 0.0)
    first[steriliser.code, day].append((begins, 1.0))
    made = [Made(day, serves, [(begins, option.litres)], days, steriliser.code)]
    if late is not None:
        rest = [(n, option.litres), (begins, -option.litres)]
        made.append(Made(day, max(day, late - soonest), rest, days, steriliser.code))
    return made


def _needed(model: Model) -> dict[str, _Kind]:
    """Return litres by kind and latest cook day (negative: ready today), and who needs them."""
    problem = model.problem
    kinds: dict[str, _Kind] = defaultdict(_Kind)
    for (r, k, t), x in model.x.items():
        making = problem.recipes[r].makings[k]
        if not making.cook or making.litres <= 0 or assumes_prepared(problem, making, t):
            continue
        found, latest = kinds[making.cook], t - making.cook_days_before
        day = model.bucket(latest) if latest >= 0 else latest
        found.need[day].append((x, making.litres))
        found.starts.append(Served((r, k, t), making.vessel, making.mix, day, (x, making.litres)))
        found.by_start[making.mix, t].append((x, making.litres))
        least = found.days_before.get(making.mix, making.cook_days_before)
        found.days_before[making.mix] = min(least, making.cook_days_before)
        found.users.add(problem.recipes[r].variety)
    return dict(kinds)


def assumes_prepared(problem: Problem, making: Making, day: int) -> bool:
    """Whether a start comes too soon for a cook, and its vessels are taken as ready."""
    resources = problem.resources
    return bool(
        making.cook
        and making.litres > 0
        and day < making.cook_days_before + resources.first_cook_day(making.cook, making.mix)
        and not resources.is_sterile_counted
    )


def _sterile_flow(
    model: Model, kind: str, needed: _Kind, made: list[Made]
) -> dict[tuple[str, int], list[Term]]:
    """Let starts use what is cooked and stands; return what stands gives, by mix and day."""
    lp, resources = model.programme, model.problem.resources
    keeps = resources.keeps_days(kind, needed.soonest)
    standing, given = _from_what_stands(model, kind, needed)
    days = sorted({-1, *needed.need, *(each.serves for each in made)})
    before: int | None = None
    for i, day in enumerate(days):
        kept = lp.column()
        terms: list[Term] = [(kept, 1.0), *needed.need.get(day, []), *standing.get(day, [])]
        terms += [(n, -most) for each in made if each.serves == day for n, most in each.litres]
        if before is not None:
            terms.append((before, -1.0))
        # slack here is a vessel cooked elsewhere: it tells of a steriliser that is full or missing
        limit(
            model,
            terms,
            0.0,
            resource=f"{'cooks' if day >= 0 else 'prepared vessels'} of kind {kind}",
            day=max(day, 0),
            unit="L",
            price=LITRE_PRICE,
            varieties=needed.users,
        )
        if i + 1 < len(days):
            following = days[i + 1]
            recent = [
                (n, -most)
                for each in made
                if following - keeps <= each.days[-1] and each.serves <= day
                for n, most in each.litres
            ]
            lp.at_most([(kept, 1.0), *recent], 0.0)
        before = kept
    return given


def _from_what_stands(
    model: Model, kind: str, needed: _Kind
) -> tuple[dict[int, list[Term]], dict[tuple[str, int], list[Term]]]:
    """Return what prepared vessels that stand give to starts that want their mix.

    By cook day, in negative terms (they take from the need of that day), and by mix and start day.
    """
    lp = model.programme
    found: dict[int, list[Term]] = defaultdict(list)
    given: dict[tuple[str, int], list[Term]] = defaultdict(list)
    for number, each in enumerate(model.problem.resources.sterile):
        if each.cook != kind or each.litres <= 0:
            continue
        taken: list[Term] = []
        for mix, t in needed.by_start:
            if not _may_serve(each, mix, t):
                continue
            litres = lp.column(upper=each.litres)
            taken.append((litres, 1.0))
            given[mix, t].append((litres, 1.0))
            model.given.append(Given(litres, number, kind, mix, t))
            latest = t - needed.days_before[mix]
            found[model.bucket(latest) if latest >= 0 else latest].append((litres, -1.0))
        lp.at_most(taken, each.litres)
    for key, terms in given.items():
        wanted = needed.by_start[key]
        lp.at_most([*terms, *((x, -litres) for x, litres in wanted)], 0.0)
    return found, given


def _may_serve(sterile: Sterile, mix: str, day: int) -> bool:
    return sterile.mix in {"", mix} and sterile.first_day <= day <= sterile.last_day
