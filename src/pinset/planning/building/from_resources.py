"""From the farm's rooms, benches, sterilisers and people to what each day can hold."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import replace
from datetime import date, datetime, time, timedelta
from math import floor
from types import MappingProxyType

from pinset.chain.day_hours import clock_minute
from pinset.chain.in_use import benches_on, can_cook, loaded_on
from pinset.chain.living import LivingLot
from pinset.chain.register import FarmBook, RoomKind, Step, StepKind, Steriliser
from pinset.chain.stages import Stage
from pinset.chain.vessel_keys import mix_words
from pinset.chain.who_is_here import Here, here_on, hours_on
from pinset.planning.building.calendar import WorkDays
from pinset.planning.building.everybody import everybody_there
from pinset.planning.building.first_cooks import first_cooks
from pinset.planning.building.from_route import COST_PER_MINUTE
from pinset.planning.building.places_by_day import grow_rooms, shelf_places
from pinset.planning.building.prepared_keeps import prepared_days, short_keeping
from pinset.planning.building.step_numbers import making_code
from pinset.planning.building.wet_standing import too_wet_days
from pinset.planning.model.cook_times import is_never_ready
from pinset.planning.model.staffed import Staffed
from pinset.planning.recipes import Recipe
from pinset.planning.resources import (
    Begun,
    CookOption,
    CookReady,
    Loading,
    Resources,
    Sterile,
    SteriliserDays,
    VesselCount,
)

COOK_COST_PER_HOUR = 1.5  # assumed: steam, to weigh plans
DAY_HOURS = 24.0
SECONDS = 3600.0
NEARLY = 1e-6


def reckon_resources(
    book: FarmBook,
    living: Iterable[LivingLot],
    recipes: tuple[Recipe, ...],
    work: WorkDays,
    days: int,
    *,
    ready: tuple[CookReady, ...] = (),
    not_before: Mapping[str, date] = MappingProxyType({}),
    assume_prepared: bool = True,
    begun: Iterable[Begun] = (),
    since_hours: float = 0.0,
) -> tuple[Resources, tuple[str, ...]]:
    """Return what the days can hold, and which resource is missing, in words.

    With ``assume_prepared``, and where no prepared vessels are counted, the starts that come too
    soon for a cook are taken to have theirs; without it they wait for the first cook. ``ready``
    says when cooks may be used, ``not_before`` from when on prepared lots may be, ``since_hours``
    from which hour of today work can begin.
    """
    remarks: list[str] = []
    makings = [making for recipe in recipes for making in recipe.makings]
    working = work.working[:days]
    if makings and not any(working):
        remarks.append("No working day in the whole horizon: nothing can be started.")
    vessels = [lot for lot in living if lot.stage is Stage.PREPARED]
    prepared = [lot for lot in vessels if not lot.held]
    remarks += [
        f"Prepared vessels {lot.code} are held back ({lot.held}), so the plan does not use them."
        for lot in vessels
        if lot.held
    ]
    sterilisers = tuple(
        SteriliserDays(
            code=each.code,
            cooks=tuple(
                CookOption(
                    kind.code,
                    kind.hours,
                    kind.litres,
                    kind.hands_minutes,
                    COOK_COST_PER_HOUR * kind.hours + COST_PER_MINUTE * kind.hands_minutes,
                )
                for kind in each.cooks
                if kind.litres > 0
            ),
            hours=tuple(hours for hours, _ in runs),
            count=tuple(count for _, count in runs),
        )
        for each in book.sterilisers
        for runs in [_runs(book, each, work, working)]
    )
    cookable = {
        option.kind
        for each in sterilisers
        for option in each.cooks
        if max(each.hours, default=0.0) >= option.hours and max(each.count, default=0.0) >= 1
    }
    remarks += [
        f"No steriliser has time for a {kind} cook, so vessels that need one cannot be made ready."
        for kind in sorted({making.cook for making in makings if making.cook} - cookable)
    ]
    remarks += [
        f"Vessels of a {kind} cook are not open and cool while they keep, so none is planned: load "
        "earlier, or say in opened_until how late somebody comes to open the steriliser."
        for kind in sorted(cookable & {making.cook for making in makings})
        if is_never_ready(ready, kind)
    ]
    if makings and not is_known_sterile(vessels, makings):
        remarks.append(
            "No prepared vessels are counted, so those for today's starts are taken as ready."
            if assume_prepared
            else "No prepared vessels are counted, so the first starts wait for the first cooks."
        )
    resources = Resources(
        bench_minutes=_bench(book, work, working, remarks, is_needed=bool(makings)),
        laboratory_minutes=_laboratory(book, work, working),
        hands_minutes=_hands(book, work, working, remarks, is_needed=bool(makings)),
        works=working,
        sterilisers=sterilisers,
        sterile=_sterile(book, prepared, work, not_before, remarks),
        is_sterile_counted=bool(vessels) or not assume_prepared,
        short_keeping=short_keeping(book),
        ready=ready,
        first_cook=first_cooks(book, work.start, since_hours),
        first_cook_always=first_cooks(everybody_there(book), work.start, since_hours),
        too_wet=too_wet_days(book, work.start, days),
        loadings=_loadings(book, work, working),
        begun=tuple(begun),
        places=shelf_places(book, living, work.start, days),
        rooms=grow_rooms(book, work.start, days),
        vessels=tuple(
            VesselCount(vessel.code, max(0.0, vessel.in_circulation - _held(living, vessel.code)))
            for vessel in book.vessels
            if vessel.in_circulation is not None
        ),
    )
    return resources, tuple(remarks)


def _runs(
    book: FarmBook, steriliser: Steriliser, work: WorkDays, working: tuple[bool, ...]
) -> tuple[tuple[float, float], ...]:
    """Return the hours and the number of cooks of a steriliser, day by day.

    Each load after the first goes in while somebody is there, those that take longest last.
    """
    staffed = Staffed(book)
    lengths = [kind.hours for kind in steriliser.cooks if kind.litres > 0 and kind.hours > 0]

    def run(day: int) -> tuple[float, float]:
        then = work.date_of(day)
        own = loaded_on(book, steriliser, then)
        if not working[day] or own is None or not can_cook(book, steriliser, then):
            return 0.0, 0.0
        most, hours = steriliser.cooks_per_day, steriliser.hours_per_day
        if most <= 1 or not lengths or not staffed.works_on(then):
            return hours, float(most)
        loaded = datetime.combine(then, time(0)) + timedelta(minutes=clock_minute(own.load_at))
        window = (staffed.loads_until(steriliser, then) - loaded).total_seconds() / SECONDS
        more = max(0, floor(window / min(lengths) + NEARLY))
        return min(hours, max(0.0, window) + max(lengths)), float(min(most, 1 + more))

    return tuple(run(day) for day in range(len(working)))


def _held(living: Iterable[LivingLot], vessel: str) -> float:
    """Return how many vessels of a kind stand full in lots held back before they fruit."""
    return float(
        sum(
            lot.alive
            for lot in living
            for step in lot.route.steps
            if lot.held
            and step.vessel == vessel
            and step.code == (making_code(lot.route, lot.step) or lot.step)
            and lot.now_step().kind is not StepKind.FRUIT
        )
    )


def _loadings(book: FarmBook, work: WorkDays, working: tuple[bool, ...]) -> tuple[Loading, ...]:
    """Return the minutes there are for filling, until each kind's last loading.

    A steriliser that cooks twice a day is loaded a second time, so there is more time to fill.
    """
    if not book.workers:
        return ()
    last: dict[str, list[float]] = {}
    for each in book.sterilisers:
        own = [loaded_on(book, each, work.date_of(day)) for day in range(len(working))]
        for kind in each.cooks:
            cooks = max(1, min(each.cooks_per_day, int(each.hours_per_day // max(kind.hours, 0.1))))
            by_day = last.setdefault(kind.code, [0.0] * len(working))
            for day, here in enumerate(own):
                if here is not None:
                    loaded = clock_minute(here.load_at) + (cooks - 1) * kind.hours * 60.0
                    by_day[day] = max(by_day[day], loaded)
    return tuple(
        Loading(
            cook,
            tuple(
                _minutes_until(here_on(book, work.date_of(day)), until[day]) if on else 0.0
                for day, on in enumerate(working)
            ),
        )
        for cook, until in sorted(last.items())
    )


def _minutes_until(here: Here, minute: float) -> float:
    """Return the minutes that people are here up to a minute of the day, each counted."""
    return sum(max(0.0, min(each.ends, minute) - each.begins) for each in here.spans)


def is_known_sterile(prepared: list[LivingLot], makings: Iterable[object]) -> bool:
    """Whether prepared vessels are counted, or none are needed."""
    return bool(prepared) or not any(getattr(making, "cook", "") for making in makings)


def _bench(
    book: FarmBook,
    work: WorkDays,
    working: tuple[bool, ...],
    remarks: list[str],
    *,
    is_needed: bool,
) -> tuple[float, ...]:
    if not book.benches:
        if is_needed:
            remarks.append("No clean bench is listed, so bench time is not limited.")
        return ()
    table = float(sum(bench.minutes_per_day for bench in book.benches))
    people = [worker for worker in book.workers if worker.laboratory]
    if table <= 0 and is_needed:
        remarks.append("The clean bench has no minutes, so no transfer is planned.")
    if book.workers and not people and is_needed:
        remarks.append("Nobody may work in the laboratory, so no transfer is planned.")
    return tuple(
        float(sum(bench.minutes_per_day for bench in benches_on(book, work.date_of(day))))
        if on
        else 0.0
        for day, on in enumerate(working)
    )


def _laboratory(book: FarmBook, work: WorkDays, working: tuple[bool, ...]) -> tuple[float, ...]:
    if not book.workers:
        return ()
    people = [worker for worker in book.workers if worker.laboratory]
    return tuple(
        60.0 * sum(hours_on(book, worker, work.date_of(day)) for worker in people) if on else 0.0
        for day, on in enumerate(working)
    )


def _hands(
    book: FarmBook,
    work: WorkDays,
    working: tuple[bool, ...],
    remarks: list[str],
    *,
    is_needed: bool,
) -> tuple[float, ...]:
    if not book.workers:
        if is_needed:
            remarks.append("No person's hours are listed, so hand work is not limited.")
        return ()
    rounds = book.farm.morning_round_minutes * sum(
        room.kind is RoomKind.GROWING for room in book.rooms
    )

    def minutes(day: int) -> float:
        if not working[day]:
            return 0.0
        hours = sum(hours_on(book, worker, work.date_of(day)) for worker in book.workers)
        return max(0.0, 60.0 * hours - rounds)

    row = tuple(minutes(day) for day in range(len(working)))
    if is_needed and max(row, default=0.0) <= 0:
        remarks.append("Nobody has hours left after the morning round: nothing can be started.")
    return row


def prepared_until(book: FarmBook, lot: LivingLot, cook: str) -> date:
    """Return the last day on which prepared vessels may be used."""
    return lot.made_on + timedelta(days=prepared_days(book, cook))


def _sterile(
    book: FarmBook,
    prepared: list[LivingLot],
    work: WorkDays,
    not_before: Mapping[str, date],
    remarks: list[str],
) -> tuple[Sterile, ...]:
    steps: dict[str, Step] = {}
    for route in book.routes:
        for step in route.steps:
            steps.setdefault(step.code, step)
    vessels = {vessel.code: vessel.litres for vessel in book.vessels}
    found: dict[Sterile, float] = defaultdict(float)
    for lot in prepared:
        own = next((step for step in lot.route.steps if step.code == lot.step), None)
        meant = own or steps.get(lot.step)
        if meant is not None and meant.cook:
            litres = vessels.get(meant.vessel, meant.fill_g * 1.6 / 1000.0)
            last = (prepared_until(book, lot, meant.cook) - work.start).days
            if last < 0:
                remarks.append(
                    f"Prepared vessels {lot.code} are older than {meant.cook} vessels keep, so the "
                    "plan does not use them."
                )
                continue
            first = max(0, (not_before.get(lot.code, work.start) - work.start).days)
            found[Sterile(meant.cook, 0.0, last, first, mix_words(meant))] += litres * lot.alive
    alike = sorted(found.items(), key=lambda each: (each[0].cook, each[0].last_day, each[0].mix))
    return tuple(replace(each, litres=litres) for each, litres in alike)
