"""Work that must be done before vessels are cooked, or inoculated without: soak, boil, mix, fill.

What follows the cook is in :mod:`~pinset.services.jobs.after_cooks`.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, time, timedelta
from types import MappingProxyType

from pinset.chain.register import Preparation, Step
from pinset.planning.building.calendar import days_before
from pinset.planning.building.first_cooks import hours_apart
from pinset.planning.plan import Start
from pinset.planning.reading.shortage_words import is_said
from pinset.services.book_reader import Reader
from pinset.services.jobs.batches_said import batches_by_day
from pinset.services.jobs.records import JobKind, LotAmount, PlannedJob
from pinset.services.loads.begun_in_time import begun_in_time
from pinset.services.loads.in_reach import InReach
from pinset.services.loads.laid_fresh import laid_fresh, with_standing_time
from pinset.services.loads.prepared_said import preparation_in_words
from pinset.services.loads.uncooked import mix_in
from pinset.services.loads.what_waits import Mix, Waiting, mix_of
from pinset.services.words import joined, near_day

INOCULATION_CLOCK = time(9, 0)


def clock_moment(text: str) -> datetime:
    """Return a clock time such as ``10:30`` on a day that stands for any day."""
    hours, minutes = (int(part) for part in text.split(":"))
    return datetime(2000, 1, 1, hours, minutes)  # noqa: DTZ001  (a clock time without a day)


def why_cook(fed: Sequence[Start], reader: Reader) -> str:
    """Return which starts wait for the vessels, in words."""
    if not fed:
        return "Sterile vessels for the coming days."
    return f"Vessels for {joined(batches_by_day(fed, reader))}."


@dataclass(frozen=True, slots=True)
class Stake:
    """What hangs on vessels being ready in time."""

    slack_days: int  # days the cook may slip before anything is lost
    words: str  # what is lost after that; empty: nothing the plan knows of
    serves: tuple[str, ...]  # promises in words


def stake_of(fed: Sequence[Start], cook_day: date | None, reader: Reader) -> Stake:
    """Return what hangs on the vessels of these starts, of those that can wait least."""
    slack: dict[int, list[Start]] = {}
    for start in fed:
        if is_said(start.at_stake, start.at_stake_measure):
            slack.setdefault(slack_of(start, cook_day, reader), []).append(start)
    serves = reader.promise_words(code for start in fed for code in start.serves)
    if not slack:
        return Stake(0, "", serves)
    least = min(slack)
    measure = slack[least][0].at_stake_measure
    amount = sum(s.at_stake for s in slack[least] if s.at_stake_measure == measure)
    return Stake(least, reader.about(amount, measure), serves)


def slack_of(start: Start, cook_day: date | None, reader: Reader) -> int:
    """Return how many days the cook of a start may slip before the start's first promise feels it.

    A start without a cook slips with its own preparation.
    """
    if cook_day is None:
        return start.slack_days
    step = reader.step(start.variety, start.step)
    lead = max((days_before(p) for p in step.preparations if p.task == "cook"), default=1)
    return max(0, (start.day - cook_day).days - lead) + start.slack_days


def cook_lead(step: Step) -> float | None:
    """Return how long before the inoculation the cook of a step begins; None without. In hours."""
    return max((p.lead_hours for p in step.preparations if p.task == "cook"), default=None)


def follows_the_cook(preparation: Preparation, step: Step) -> bool:
    """Say whether vessels are so prepared after their cook: it has less lead than the cook."""
    lead = cook_lead(step)
    if not step.cook or lead is None or preparation.task in {"cook", "cool"}:
        return False
    return preparation.lead_hours < lead


def preparation_jobs(
    fed: Sequence[Start],
    cook_day: date | None,
    load_at: str,
    reader: Reader,
    waiting: Waiting | None = None,
    since: time | None = None,
    wanted: Mapping[Mix, Mapping[date, int]] = MappingProxyType({}),
) -> tuple[PlannedJob, ...]:
    """Return what must be done before, so many hours ahead; the same work for several is one job.

    Hours are counted from the loading of the cook where there is one, otherwise from the
    inoculation. What follows the cook is left out. What is ``waiting``, prepared for a cook that
    slipped or is gone, is taken from it and not asked for again; of what waits for a later day's
    cook only what that cook does not hold (``wanted``: units by mix and day). What must last longer
    than its day holds is begun the day before, if that is not today and ``since``, the hour it is,
    leaves no time for it.
    """
    gathered: dict[tuple[str, str, str, float, date], list[tuple[Start, Preparation]]] = {}
    for start in fed:
        step = reader.step(start.variety, start.step)
        lead = cook_lead(step)
        for preparation in step.preparations:
            if preparation.task == "cook" or (preparation.task == "cool" and step.cook):
                continue  # jobs of the cook: loaded, and opened and set out to cool
            if cook_day is not None and follows_the_cook(preparation, step):
                continue
            reference = datetime.combine(start.day, INOCULATION_CLOCK)
            if cook_day is not None and lead is not None:
                reference = datetime.combine(cook_day, clock_moment(load_at).time())
            day = _laid_on(step, preparation, reference, lead if cook_day else None, reader)
            gathered.setdefault(
                (preparation.task, step.mix, step.vessel, step.fill_moisture, day), []
            ).append((start, preparation))
    jobs = []
    days = Counter(key[:4] for key in gathered)
    for key, items in gathered.items():
        task, day = key[0], key[4]
        count = sum(round(start.count) for start, _ in items)
        if waiting is not None and cook_day is not None:
            step = reader.step(items[0][0].variety, items[0][0].step)
            mix = mix_of(step)
            kept = wanted.get(mix, {})
            count -= waiting.take(mix, task, cook_day, count, kept=kept)
        if count > 0:
            jobs.append(
                _preparation(
                    task,
                    day,
                    count,
                    is_only=days[key[:4]] == 1,
                    items=items,
                    cook_day=cook_day,
                    load_at=load_at,
                    reader=reader,
                )
            )
    if cook_day is None:
        return tuple(jobs)
    load = datetime.combine(cook_day, clock_moment(load_at).time())
    lasts = {job.key: until for job in jobs if waiting and (until := _lasts(job, waiting, reader))}
    laid = begun_in_time(jobs, reader.book, reader.today, load, since, lasts)
    in_reach = (_in_reach(job, reader, cook_day) for job in laid)
    return tuple(with_standing_time(job, load, reader) for job in in_reach)


def _laid_on(
    step: Step, preparation: Preparation, reference: datetime, lead: float | None, reader: Reader
) -> date:
    """Return the last working day on which a task may begin, so long before its load.

    ``reference`` is the loading where ``lead``, the hours from there to the inoculation, is given,
    otherwise the inoculation.
    """
    moment = reference - timedelta(hours=preparation.lead_hours - (lead or 0.0))
    day = reader.working_day_before(moment.date())
    return day if lead is None else laid_fresh(step, preparation, day, reference, reader)


def _lasts(job: PlannedJob, waiting: Waiting, reader: Reader) -> datetime | None:
    """Return until when what was begun before a job for the same cook must last; None: nothing."""
    leads = {
        each.task: each
        for route in reader.book.routes
        for step in route.steps
        if step.cook and mix_of(step) == mix_in(job)
        for each in step.preparations
    }
    own = leads.get(job.task)
    found = [
        began + timedelta(hours=hours_apart(leads[task], own))
        for (mix, task, day), began in waiting.began.items()
        if own is not None and task in leads and (mix, day) == (mix_in(job), job.for_day)
        if leads[task].lead_hours > own.lead_hours
    ]
    return max(found, default=None)


def _in_reach(job: PlannedJob, reader: Reader, cook_day: date) -> PlannedJob:
    """Return what is begun with on a day from which the plan takes the cook to be in reach.

    Laid later it would be put off again every morning.
    """
    day, mix = job.day, mix_in(job)
    while day > reader.today:
        reach = InReach(reader.book, day)
        if not reach.is_begun_with(mix, job.task) or not reach.is_too_soon(mix, cook_day):
            break
        day = max(reader.today, reader.working_day_before(day - timedelta(days=1)))
    return job if day == job.day else replace(job, day=day, due="")


def _preparation(
    task: str,
    day: date,
    count: int,
    *,
    is_only: bool,
    items: Sequence[tuple[Start, Preparation]],
    cook_day: date | None,
    load_at: str,
    reader: Reader,
) -> PlannedJob:
    whole = sum(round(start.count) for start, _ in items)
    first, preparation = items[0]
    step = reader.step(first.variety, first.step)
    feeds: dict[tuple[str, str], int] = defaultdict(int)
    for start, _ in items:
        feeds[reader.varieties[start.variety].route, start.step] += round(start.count)
    parts = [(reader.routes[route].step(code), units) for (route, code), units in feeds.items()]
    for_day = cook_day or first.day
    by_units = sum(p.minutes_per_unit * round(start.count) for start, p in items)
    minutes = preparation.minutes_fixed + by_units * count / whole
    stake = stake_of([start for start, _ in items], cook_day, reader)
    shown = max(day, reader.today)
    water = f"{step.fill_moisture:.0%} water, " if step.fill_moisture else ""
    return PlannedJob(
        key=f"prepare:{task}:{step.mix}:{step.vessel}:{step.fill_moisture}:{for_day}"
        + ("" if is_only else f":{step.stage.value}"),
        kind=JobKind.PREPARE,
        task=task,
        day=shown,
        count=count,
        unit="units",
        what=preparation_in_words(task, parts, count, reader),
        room_kind=preparation.room.value,
        detail=f"{water}for {near_day(for_day, reader.today)}",
        mix=f"{step.mix} {step.vessel}",
        moisture=step.fill_moisture,
        lead_hours=preparation.lead_hours,
        stage=step.stage.value,
        step=first.step,
        minutes=max(1, round(minutes)),
        due=f"before {load_at}" if load_at and cook_day == shown else "",
        why=why_cook([start for start, _ in items], reader),
        serves=stake.serves,
        slack_days=stake.slack_days,
        stake=stake.words,
        cautions=tuple(dict.fromkeys(p.caution for _, p in items if p.caution)),
        for_day=for_day,
        feeds=tuple(LotAmount("", units, code, route) for (route, code), units in feeds.items()),
    )
