"""Work in a steady week: the clean bench, cooks, and people's minutes by what they do."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass
from math import ceil

from pinset.chain.day_hours import hours_count
from pinset.chain.register import FarmBook, RoomKind, Steriliser
from pinset.planning.model.programme import Programme, run
from pinset.planning.sizing.chain import NO_FLOW, WEEK, Days, Flow, added, next_working

PACK_MINUTES_PER_KG = 2.0  # weighing, boxing, labels; common practice, no source
WORKPLACE_M = 1.2  # of clean bench for one person; common practice, no source
WORKPLACE_MINUTES = 360.0  # a person works there a day, where no bench is listed; assumed
SOLVER_SECONDS = 2.0
GRAMS_PER_KG = 1000.0
TASKS = ("bench", "preparation", "cooks", "moving", "picking", "packing", "rounds")
"""What people's time goes into, in the order it is shown."""


@dataclass(frozen=True, slots=True)
class CookNeed:
    """What one kind of cook must do in a week."""

    kind: str
    litres: float  # [L a week] of filled vessels
    batches: float  # [a week] starts that want it
    litres_each: float | None  # [L] in the largest steriliser that does it; None: none does
    hours_each: float | None  # [h] there
    hands_minutes: float  # [min] of a person, each

    @property
    def cooks(self) -> float | None:
        """Cooks a week, if every one were full; None where no steriliser does this kind."""
        return self.litres / self.litres_each if self.litres_each else None

    @property
    def whole_cooks(self) -> float | None:
        """Cooks a week, a part load counted as one; fewer only where starts are rarer than that."""
        if self.cooks is None or self.batches <= 0.0:
            return self.cooks
        often = min(1.0, self.batches)
        return often * ceil(self.cooks / often - 1e-9)

    def done(self, *, is_whole: bool) -> float:
        """Return the cooks a week that are reckoned with."""
        return (self.whole_cooks if is_whole else self.cooks) or 0.0


def cook_needs(book: FarmBook, flows: Iterable[Flow]) -> tuple[CookNeed, ...]:
    """Return what every kind of cook must do, by its name."""
    litres: dict[str, float] = {}
    batches: dict[str, float] = {}
    for flow in flows:
        for step in flow.steps:
            kind = step.making.cook
            if kind and step.started > NO_FLOW:
                litres[kind] = litres.get(kind, 0.0) + step.started * step.making.litres
                batches[kind] = batches.get(kind, 0.0) + step.batches
    found = []
    for kind in sorted(litres):
        can = [
            option
            for each in book.sterilisers
            for option in each.cooks
            if option.code == kind and option.litres > 0.0 and _fits(each, option.hours)
        ]
        best = max(can, key=lambda option: option.litres, default=None)
        found.append(
            CookNeed(
                kind,
                litres[kind],
                batches[kind],
                best.litres if best else None,
                best.hours if best else None,
                float(best.hands_minutes) if best else 0.0,
            )
        )
    return tuple(found)


def _fits(steriliser: Steriliser, hours: float) -> bool:
    return steriliser.cooks_per_day >= 1 and steriliser.hours_per_day >= hours


def steriliser_share(
    book: FarmBook, needs: Iterable[CookNeed], days: int, *, by: str, is_whole: bool
) -> float | None:
    """Return the share of their week that sterilisers are busy, kinds shared out evenly.

    Parameters
    ----------
    book : FarmBook
        Sterilisers with their kinds of cook.
    needs : iterable of CookNeed
        What must be cooked in a week; kinds that no steriliser does are left aside.
    days : int
        Days a week on which cooks are loaded. [d]
    by : str
        ``hours`` of the sterilisers, or number of ``cooks``.
    is_whole : bool
        Reckon with whole cooks.

    Returns
    -------
    float or None
        1 is full; of the busiest steriliser. None: there is none, or no working day.
    """
    wanted = {
        need.kind: need.done(is_whole=is_whole) * (need.litres_each or 0.0)
        for need in needs
        if need.cooks is not None
    }
    if not book.sterilisers or not days:
        return None
    ways = [
        _Way(each.code, option.code, option.litres, option.hours if by == "hours" else 1.0)
        for each in book.sterilisers
        for option in each.cooks
        if option.code in wanted and option.litres > 0.0 and _fits(each, option.hours)
    ]
    has = {
        each.code: days * float(each.hours_per_day if by == "hours" else each.cooks_per_day)
        for each in book.sterilisers
    }
    if len({way.kind for way in ways}) == len(ways):  # nothing to choose
        taken = dict.fromkeys(has, 0.0)
        for way in ways:
            taken[way.steriliser] += wanted[way.kind] / way.litres * way.takes
        return max((taken[code] / has[code] for code in has if has[code] > 0.0), default=0.0)
    return _least_busy(ways, wanted, has)


@dataclass(frozen=True, slots=True)
class _Way:
    """A kind of cook in one steriliser."""

    steriliser: str
    kind: str
    litres: float  # [L] a cook
    takes: float  # [h] a cook, or 1 cook


def _least_busy(
    ways: Iterable[_Way], wanted: Mapping[str, float], has: Mapping[str, float]
) -> float | None:
    """Return the share of the busiest steriliser if litres are shared out best."""
    programme = Programme()
    share = programme.column(1.0)
    taken = {code: [(share, -hours)] for code, hours in has.items()}
    loads: dict[str, list[tuple[int, float]]] = {}
    for way in ways:
        column = programme.column()
        loads.setdefault(way.kind, []).append((column, way.litres))
        taken[way.steriliser].append((column, way.takes))
    for row in taken.values():
        programme.at_most(row, 0.0)
    for kind, terms in loads.items():
        programme.at_least(terms, wanted[kind])
    found = run(programme, time_limit_s=SOLVER_SECONDS)  # with the plan's threads: one pool for all
    return found.objective if found.is_proven else None


def bench_minutes(flows: Iterable[Flow]) -> Days:
    """Return minutes at the clean bench by weekday."""
    rows = []
    for flow in flows:
        for step in flow.steps:
            making = step.making
            if step.started > NO_FLOW:
                each = making.bench_minutes
                each += making.bench_setup_minutes * step.batches / step.started
                rows.append(tuple(each * count for count in step.by_start()))
    return added(rows)


def people_minutes(
    book: FarmBook,
    flows: Collection[Flow],
    cooks: Iterable[CookNeed],
    working: Collection[int],
    *,
    is_whole: bool,
) -> dict[str, Days]:
    """Return people's minutes by weekday, for each of ``TASKS``; cooks are spread evenly."""
    rows: dict[str, list[Days]] = {task: [] for task in TASKS}
    rows["bench"].append(bench_minutes(flows))
    for flow in flows:
        _add_starts(flow, rows, working)
        fruiting = flow.recipe.fruiting
        if fruiting is not None:
            rows["moving"].append(tuple(fruiting.hands_minutes * moved for moved in flow.moves))
            picks = added([flow.picks])
            rows["picking"].append(
                tuple(fruiting.pick_minutes_per_kg * grams / GRAMS_PER_KG for grams in picks)
            )
            rows["packing"].append(
                tuple(PACK_MINUTES_PER_KG * grams / GRAMS_PER_KG for grams in picks)
            )
    minutes = sum(need.done(is_whole=is_whole) * need.hands_minutes for need in cooks)
    rows["cooks"].append(_evenly(minutes, working))
    grow_rooms = sum(room.kind is RoomKind.GROWING for room in book.rooms)
    rounds = float(book.farm.morning_round_minutes * grow_rooms)
    rows["rounds"].append(_evenly(rounds * len(working), working))
    return {task: added(all_rows) for task, all_rows in rows.items()}


def _add_starts(flow: Flow, rows: Mapping[str, list[Days]], working: Collection[int]) -> None:
    """Add the minutes of starts outside the bench, preparation on the day it is done."""
    for step in flow.steps:
        making = step.making
        if step.started <= NO_FLOW:
            continue
        by_start = step.by_start()
        rows["moving"].append(tuple(making.hands_minutes * count for count in by_start))
        for each in making.preparations:
            per_unit = each.minutes_per_unit + each.minutes_fixed * step.batches / step.started
            days = [0.0] * WEEK
            for weekday, count in enumerate(by_start):
                if count > NO_FLOW:
                    day = next_working((weekday - each.days_before) % WEEK, working, -1)
                    days[day] += per_unit * count
            rows["preparation"].append(tuple(days))


def _evenly(amount: float, weekdays: Collection[int]) -> Days:
    return tuple(amount / len(weekdays) if day in weekdays else 0.0 for day in range(WEEK))


def people_hours(book: FarmBook, working: Collection[int], *, is_laboratory: bool) -> Days:
    """Return the minutes people are here by weekday; of those who may work in the laboratory."""
    return tuple(
        60.0
        * sum(
            hours_count(worker.hours[day])
            for worker in book.workers
            if day in working and (worker.laboratory or not is_laboratory)
        )
        for day in range(WEEK)
    )
