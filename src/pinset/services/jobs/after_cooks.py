"""Work on vessels that follows their cook: agar is poured once it has been cooked.

A preparation whose lead is shorter than that of the cook comes after the opening. If its lead is
nearer to the cook's than to the transfer it goes with the cook, however early that is done: agar
that was cooked sets. Otherwise it is asked for on the day its lead hours before the transfer fall
on. It is asked for from cooks that are planned and from those that were loaded, until it is done.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from pinset.chain.in_use import loaded_on
from pinset.chain.register import Preparation, RoomKind, Step
from pinset.chain.stages import noun_of
from pinset.farm import job_store
from pinset.planning.model.staffed import Staffed
from pinset.services.book_reader import Reader
from pinset.services.clock import hour_is_known
from pinset.services.day.fitting import NEXT_DAY, clock_of
from pinset.services.jobs.preparing import (
    INOCULATION_CLOCK,
    clock_moment,
    cook_lead,
    follows_the_cook,
)
from pinset.services.jobs.records import JobKind, LotAmount, PlannedJob
from pinset.services.loads.loaded import Loaded
from pinset.services.loads.opening_hour import will_open
from pinset.services.promises.late_deliveries import next_working_day
from pinset.services.words import near_day

ASKED_DAYS = 3
"""What follows a cook and was not done on its day is still asked for during this many days."""

LOOKED_BACK_DAYS = 10
"""Cooks that were loaded within this many days may still be followed by work."""


@dataclass(frozen=True, slots=True)
class Cooked:
    """A cook, planned or loaded, with the vessels it holds."""

    job: PlannedJob  # of its loading
    feeds: tuple[LotAmount, ...]
    loaded: datetime  # by the farm's clock
    hours: float  # until it may be opened

    @property
    def opens(self) -> datetime:
        """Return when it may be opened."""
        return self.loaded + timedelta(hours=self.hours)


def after_cooks(
    planned: Iterable[PlannedJob], loaded: Iterable[Loaded], reader: Reader, last: date
) -> tuple[PlannedJob, ...]:
    """Return the work that follows cooks, from today to ``last``.

    Parameters
    ----------
    planned : iterable of PlannedJob
        Jobs of a plan; those that load a cook count, with what is still to be loaded.
    loaded : iterable of Loaded
        What was loaded in the last days.
    reader : Reader
        The farm's book today.
    last : date
        Last day of interest.
    """
    by_cook: dict[str, list[Cooked]] = defaultdict(list)
    for each in loaded:
        by_cook[each.job.key].append(_of_loaded(each, reader))
    for job in planned:
        if job.kind is JobKind.COOK:
            at = _loading_hour(job, reader)
            by_cook[job.key].append(Cooked(job, job.feeds, at, _hours(job, reader)))
    return tuple(
        job
        for cooks in by_cook.values()
        for job in _follow(cooks, reader)
        if job.day <= last and not _is_settled(job)
    )


def _is_settled(job: PlannedJob) -> bool:
    """Say whether it was done or dropped."""
    return any(row.is_closed for row in job_store.jobs_by_key(JobKind.PREPARE.value, job.key))


def _hours(job: PlannedJob, reader: Reader) -> float:
    return next(
        (
            kind.hours
            for steriliser in reader.book.sterilisers
            if steriliser.code == job.steriliser
            for kind in steriliser.cooks
            if kind.code == job.cook_kind
        ),
        0.0,
    )


def _loading_hour(job: PlannedJob, reader: Reader) -> datetime:
    """Return when a cook is to be loaded."""
    found = next((s for s in reader.book.sterilisers if s.code == job.steriliser), None)
    own = found and (loaded_on(reader.book, found, job.day) or found)
    usual = clock_moment(own.load_at if own else "00:00").time()
    at = clock_of(job.fixed_at.removesuffix(NEXT_DAY)) or usual
    return datetime.combine(job.day, at) + timedelta(days=job.fixed_at.endswith(NEXT_DAY))


def _of_loaded(loaded: Loaded, reader: Reader) -> Cooked:
    """Return a cook as it was loaded, with the vessels that were in it."""
    job = loaded.job
    at = loaded.at.replace(tzinfo=None) if hour_is_known() else _loading_hour(job, reader)
    return Cooked(job, loaded.feeds, at, _hours(job, reader))


def _follow(cooks: Sequence[Cooked], reader: Reader) -> Iterable[PlannedJob]:
    """Return what follows one cook; a cook that was loaded in parts is one."""
    units: dict[tuple[str, str], int] = defaultdict(int)
    for cook in cooks:
        for feed in cook.feeds:
            units[feed.route, feed.step] += feed.units
    gathered: dict[tuple[str, str, str, str, float], list[tuple[Step, Preparation, int]]] = {}
    feeds: dict[tuple[str, str, str, str, float], list[LotAmount]] = defaultdict(list)
    for (route, code), count in units.items():
        described = reader.routes.get(route)
        step = next((s for s in described.steps if s.code == code), None) if described else None
        if step is None or count < 1:
            continue
        for each in step.preparations:
            if follows_the_cook(each, step):
                key = (each.task, step.stage.value, step.mix, step.vessel, step.fill_moisture)
                gathered.setdefault(key, []).append((step, each, count))
                feeds[key].append(LotAmount("", count, code, route))
    last = max(cooks, key=lambda cook: cook.opens)
    for key, items in gathered.items():
        job = _job(last, items, tuple(feeds[key]), reader)
        if job is not None:
            yield job


def _asked(step: Step, preparation: Preparation, for_day: date, loaded: datetime) -> datetime:
    """Return when the route asks for it: counted from the loading or the transfer."""
    after_loading = (cook_lead(step) or 0.0) - preparation.lead_hours
    if after_loading <= preparation.lead_hours:
        return loaded + timedelta(hours=after_loading)
    return datetime.combine(for_day, INOCULATION_CLOCK) - timedelta(hours=preparation.lead_hours)


def _when_somebody_can(opens: datetime, preparation: Preparation, reader: Reader) -> datetime:
    """Return from when on it can be done: open, and somebody is there who may work in its room."""
    is_clean = preparation.room is RoomKind.LABORATORY
    found = Staffed(reader.book).first_from(opens, in_laboratory=is_clean)
    if found is not None and (is_clean or found.date() > opens.date()):
        return found
    return datetime.combine(next_working_day(opens.date(), reader), opens.time())


def _job(
    cooked: Cooked,
    items: Sequence[tuple[Step, Preparation, int]],
    feeds: tuple[LotAmount, ...],
    reader: Reader,
) -> PlannedJob | None:
    step, preparation, _ = items[0]
    cook = cooked.job
    opens = will_open(reader.book, cook.steriliser, cooked.opens) or cooked.opens
    count = sum(units for *_, units in items)
    for_day = cook.for_day or cook.day
    asked = _asked(step, preparation, for_day, cooked.loaded)
    soonest = _when_somebody_can(opens, preparation, reader)
    day = max(reader.working_day_before(asked.date()), soonest.date())
    if (reader.today - day).days > ASKED_DAYS:
        return None
    minutes = sum(p.minutes_per_unit * units for _, p, units in items)
    minutes += max(p.minutes_fixed for _, p, _ in items)
    noun = noun_of(step.stage, count)
    return PlannedJob(
        key=f"after:{preparation.task}:{step.mix}:{step.vessel}:{step.fill_moisture}:"
        f"{step.stage.value}:{cook.key}",
        kind=JobKind.PREPARE,
        task=preparation.task,
        day=max(day, reader.today),
        count=count,
        unit="units",
        what=f"{noun}: {preparation.task}{' ' + step.mix if step.mix else ''}",
        room_kind=preparation.room.value,
        detail=f"After the cook of {near_day(opens.date(), reader.today)} is open and cool enough",
        mix=f"{step.mix} {step.vessel}",
        moisture=step.fill_moisture,
        lead_hours=preparation.lead_hours,
        stage=step.stage.value,
        step=step.code,
        minutes=max(1, round(minutes)),
        due=f"after {soonest:%H:%M}" if max(day, reader.today) == soonest.date() else "",
        why=cook.why,
        serves=cook.serves,
        slack_days=cook.slack_days,
        stake=cook.stake,
        cautions=tuple(dict.fromkeys(p.caution for _, p, _ in items if p.caution)),
        for_day=for_day,
        steriliser=cook.steriliser,
        cook_kind=cook.cook_kind,
        feeds=feeds,
    )
