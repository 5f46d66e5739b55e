"""The farm as it stands when a day is laid out, and the jobs of a plan laid into it."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, time, timedelta
from zoneinfo import ZoneInfo

from pinset.chain.living import LivingLot
from pinset.chain.looks_wanted import look_wanted_since
from pinset.chain.readiness import keeps_until
from pinset.chain.register import FarmBook
from pinset.chain.stages import Stage
from pinset.chain.vessel_keys import VesselKey, vessel_key
from pinset.chain.who_is_here import here_on
from pinset.farm.queries.looks import looked_without_job
from pinset.planning.building.from_book import WHOLE_DAYS, Picked
from pinset.planning.building.from_resources import prepared_until
from pinset.planning.building.taken import Taken
from pinset.planning.model.staffed import Staffed
from pinset.planning.plan import Plan
from pinset.services.book_reader import Reader
from pinset.services.clock import at_clock
from pinset.services.cooks.judge.short_cooks import undecided
from pinset.services.day.hours_left import HoursLeft, hours_left
from pinset.services.day.minutes_left import (
    NOTHING_TAKEN,
    MinutesLeft,
    done_today,
    minutes_left,
)
from pinset.services.jobs.after_cooks import LOOKED_BACK_DAYS, after_cooks
from pinset.services.jobs.from_plan import FromPlan, Standing, jobs_from_plan, units_counted_on
from pinset.services.jobs.from_state import jobs_from_state
from pinset.services.jobs.in_grow_rooms import expected_today, round_key
from pinset.services.jobs.into_store import SOON_DAYS
from pinset.services.jobs.known import Settled, known_jobs, settled_today
from pinset.services.jobs.matching import CARRIED_DAYS, KnownJob
from pinset.services.jobs.moves_said import with_standing
from pinset.services.jobs.records import JobKind
from pinset.services.jobs.rest_of_lot import with_the_rest
from pinset.services.jobs.throwing_out import throwing_out_wet
from pinset.services.jobs.to_decide import deciding
from pinset.services.jobs.to_judge import Cooked, cooks_to_judge, judging
from pinset.services.loads.loaded import Loaded, loaded_since
from pinset.services.loads.uncooked import cooked_mixes, waiting_for_a_cook
from pinset.services.loads.unopened import still_shut
from pinset.services.loads.vessels import standing_vessels
from pinset.services.loads.vessels_cool import cool_from, usable_days
from pinset.services.loads.what_waits import Waiting
from pinset.services.looking.looked_since import looked_since
from pinset.services.plans.stock_now import delivered_on, living_now, store_now
from pinset.services.promises.allotment import Allotment, allot
from pinset.services.promises.counted import counted_from
from pinset.services.promises.due_deliveries import DueDelivery, due_on
from pinset.services.promises.late_deliveries import (
    LONGEST_PAUSE,
    Due,
    SaidOfDeliveries,
    is_asked_again,
    said_of_deliveries,
)
from pinset.services.promises.picked_today import pick_key
from pinset.services.promises.promised_then import promised_then
from pinset.services.store.declined import declined_store
from pinset.services.upkeep.minutes import minutes_taken, put_off_until

DAYS_AHEAD = 7
"""Promises are looked for this many days ahead: early ones that are packed today, a weekend before,
and those that today's picking goes to."""

DAYS_LAID = 8
"""Days from today for which jobs are laid out; preparation seldom starts earlier."""

LOADED_DAYS = 3
"""A load that was not opened on its day is still asked for during this many days."""


@dataclass(frozen=True, slots=True)
class DayNow:
    """Everything a day is laid out from, beside the plan."""

    book: FarmBook
    today: date
    living: tuple[LivingLot, ...]
    delivered: Mapping[Due, int]  # grams or units; all of it where it is not to be delivered at all
    late: tuple[DueDelivery, ...]  # deliveries of earlier days that are asked for again
    store: tuple[Picked, ...]
    known: tuple[KnownJob, ...]
    settled: Settled
    loaded: tuple[Loaded, ...]  # cooks that were loaded and may still be followed by work
    loaded_keys: frozenset[str]  # keys of cooks that were loaded in the last days, or are still in
    waiting: Waiting
    left: HoursLeft
    minutes: MinutesLeft | None  # of people and the bench; None before work begins
    upkeep: tuple[Taken, ...]  # minutes that chores and tubes take of the near days
    cooked: tuple[Cooked, ...]  # cooks that were opened and not judged
    looked: frozenset[str]  # lots that may be ready and were or will be looked at for it
    seen_today: frozenset[str]  # lots that were looked over today without being asked for
    declined: frozenset[str]  # lots that are not to be carried into the cold store
    warm: Mapping[str, date]  # prepared lots that wait to be open and cool, and their first day


def day_now(book: FarmBook, today: date, since: time | None) -> DayNow:
    """Return the farm as it stands; ``since`` is the hour it is now, None before work begins."""
    zone = book.farm.time_zone
    followed = loaded_since(today - timedelta(days=LOOKED_BACK_DAYS), zone)
    loaded = tuple(e for e in followed if e.at.date() >= today - timedelta(days=LOADED_DAYS))
    living, known = living_now(book, today), known_jobs()
    said = said_of_deliveries(today)
    settled = settled_today(today, at_clock(today, "00:00", zone), cooked_mixes(book))
    delivered = _delivered(book, today, said)
    away = dict.fromkeys(settled.keys, today + timedelta(days=1)) | put_off_until()
    upkeep = minutes_taken(Reader(book, today), WHOLE_DAYS, away)
    return DayNow(
        book=book,
        today=today,
        living=living,
        delivered=delivered,
        late=_late(book, today, delivered, said),
        store=store_now(book, today),
        known=known,
        settled=settled,
        loaded=followed,
        loaded_keys=still_shut().union(each.job.key for each in loaded),
        waiting=waiting_for_a_cook(book, today, loaded),
        left=hours_left(book, today, since, loaded),
        minutes=_minutes(book, today, since, settled, upkeep),
        upkeep=upkeep,
        cooked=cooks_to_judge(book, today, since, {each.job.cook for each in known}),
        looked=_looked(living, known, today, ZoneInfo(zone)),
        seen_today=_seen_today(living, today, zone),
        declined=declined_store(living, book, today),
        warm=_warm(book, _moment(book, today, since)),
    )


def _warm(book: FarmBook, moment: datetime) -> dict[str, date]:
    vessels = standing_vessels()
    return usable_days(cool_from(vessels, book, moment), vessels, book)


def _moment(book: FarmBook, today: date, since: time | None) -> datetime:
    """Return the moment a day is laid out from."""
    clock = f"{since:%H:%M}" if since else here_on(book, today).begins_at
    return at_clock(today, clock, book.farm.time_zone)


def _minutes(
    book: FarmBook,
    today: date,
    since: time | None,
    settled: Settled,
    upkeep: Sequence[Taken],
) -> MinutesLeft | None:
    if since is None:
        return None
    is_walked = round_key(today) in settled.keys
    done = done_today(today, book.farm.time_zone, is_round_walked=is_walked)
    taken = next((each for each in upkeep if each.day == 0), NOTHING_TAKEN)
    return minutes_left(book, today, since, done, taken)


def _delivered(book: FarmBook, today: date, said: SaidOfDeliveries) -> dict[Due, int]:
    """Return what was handed over by promise and due day; of what was dropped nothing is open."""
    first, last = today - timedelta(days=LONGEST_PAUSE), today + timedelta(days=DAYS_AHEAD)
    found = delivered_on(first, last, book.farm.time_zone)
    amounts = {promise.code: promise.amount for promise in book.promises}
    for code, day in said.dropped:
        if code in amounts:
            found[code, day] = max(found.get((code, day), 0), amounts[code])
    return found


def _late(
    book: FarmBook, today: date, delivered: Mapping[Due, int], said: SaidOfDeliveries
) -> tuple[DueDelivery, ...]:
    """Return the deliveries of earlier days to ask for again.

    Nothing of them was handed over, or a part, and it was said that the rest is to come.
    """
    reader = Reader(book, today)
    since, then = counted_from(book.farm.time_zone), promised_then(book, today)
    days = [today - timedelta(days=back) for back in range(1, LONGEST_PAUSE + 1)]
    return tuple(
        each
        for day in days
        for each in due_on(then.on(day), day, dict(delivered))
        if (not each.delivered or (each.promise.code, each.day) in said.rest_open)
        and since[each.promise.code] <= each.day
        and is_asked_again((each.promise.code, each.day), said, reader)
    )


def _looked(
    living: Sequence[LivingLot], known: Sequence[KnownJob], today: date, zone: ZoneInfo
) -> frozenset[str]:
    """Return the lots that somebody should look at and did since, or that wait for another look.

    A look of today does not count: its job stands on the page until the day is over. Where somebody
    said that it is not to be looked at at all, that holds.
    """
    waiting = {
        lot.lot
        for each in known
        if each.job.kind is JobKind.LOOK
        and not each.job.is_daily
        and 0 < (today - (each.job.first_day or each.job.day)).days <= CARRIED_DAYS
        for lot in each.job.lots
    }
    may_be = {lot.code for lot in living if look_wanted_since(lot, today) is not None}
    begins = at_clock(today, "00:00", zone.key)
    return looked_since(living, today, zone, begins) | (waiting & may_be)


def _seen_today(living: Sequence[LivingLot], today: date, zone: str) -> frozenset[str]:
    """Return the lots all of which were looked over today though no job asked for it."""
    begin, end = (at_clock(today + timedelta(days=days), "00:00", zone) for days in (0, 1))
    looked = looked_without_job(begin, end)
    alive: dict[str, int] = defaultdict(int)
    for lot in living:
        alive[lot.code] += lot.alive
    return frozenset(code for code, units in looked.items() if units >= alive.get(code, 0))


def in_sight(day: DayNow, ordered: Iterable[Due]) -> tuple[DueDelivery, ...]:
    """Return every delivery the day and the plan know of: missed ones, today's, all to come.

    ``ordered`` are promises and the days they are due, as the plan was made for them.
    """
    promises = {promise.code: promise for promise in day.book.promises}
    asked = {(each.promise.code, each.day): each for each in _due(day)}
    for code, due in ordered:
        if code in promises and (code, due) not in asked:
            handed = day.delivered.get((code, due), 0)
            asked[code, due] = DueDelivery(promises[code], due, handed)
    return tuple(asked.values())


def allotment_of(day: DayNow, plan: Plan, due: Iterable[DueDelivery]) -> Allotment:
    """Return which delivery gets what of the store and of what the plan expects to be picked."""
    reader = Reader(day.book, day.today)
    offered = [lot for lot in day.living if lot.alive > 0]
    expected = {
        variety: grams
        for variety, grams in expected_today(plan.picks, offered, reader).items()
        if pick_key(variety, day.today) not in day.settled.keys  # what was picked is in the store
    }
    return allot(due, day.store, expected, reader, plan.picks, day.left.since)


def laid_jobs(day: DayNow, plan: Plan, allotted: Allotment) -> FromPlan:
    """Return every job of the coming days, from the plan and from what is alive."""
    reader = Reader(day.book, day.today)
    prepared: dict[VesselKey, list[Standing]] = defaultdict(list)
    for lot in day.living:
        is_prepared = lot.stage is Stage.PREPARED and not lot.held
        if is_prepared and prepared_until(day.book, lot, lot.now_step().cook) >= day.today:
            lots = prepared[vessel_key(lot.now_step())]
            lots.append(Standing(lot.code, lot.alive, day.warm.get(lot.code, day.today)))
    laid = jobs_from_plan(
        plan,
        day.book,
        day.today,
        day.today + timedelta(days=DAYS_LAID),
        prepared,
        day.left,
        day.waiting.copied(),
        day.settled.covers,
        {lot.code: lot.culture for lot in day.living},
    )
    counted_on = units_counted_on(plan)
    from_state = jobs_from_state(
        reader,
        day.living,
        plan.picks,
        _due(day),
        keeps_until,
        allotted=allotted,
        store=day.store,
        looked=day.looked,
        counted_on=counted_on,
        used_soon=units_counted_on(plan, day.today + timedelta(days=SOON_DAYS)),
        declined=day.declined,
        seen_today=day.seen_today,
        kept_cold=plan.kept_cold,
        short=plan.short,
        settled=day.settled.keys,
    )
    if not Staffed(day.book).works_on(day.today):  # what waits is laid on the next day of work
        from_state = tuple(job for job in from_state if job.kind is JobKind.DELIVER)
    jobs = with_the_rest(laid.jobs, day.living, counted_on, reader)
    laid = replace(laid, jobs=with_standing(jobs, day.living, reader))
    last = day.today + timedelta(days=DAYS_LAID)
    follow = after_cooks(laid.jobs, day.loaded, reader, last)
    to_judge = judging(day.cooked, day.book, day.today)
    wet = throwing_out_wet(laid.jobs, day.book, day.today)
    to_decide = deciding(undecided(), day.living, reader)
    return FromPlan((*laid.jobs, *follow, *to_judge, *wet, *to_decide, *from_state), laid.too_late)


def _due(day: DayNow) -> tuple[DueDelivery, ...]:
    """Return what is asked for again, what is due today, and the next days'."""
    promises, today, delivered = day.book.promises, day.today, dict(day.delivered)
    ahead = [
        each
        for days in range(1, DAYS_AHEAD + 1)
        for each in due_on(promises, today + timedelta(days=days), delivered)
    ]
    return (*day.late, *due_on(promises, today, delivered), *ahead)
