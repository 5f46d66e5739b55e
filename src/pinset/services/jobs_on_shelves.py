"""Jobs on the shelves: shaking and looking at their ages, arrivals, what is past its time."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Sequence
from datetime import date, timedelta

from pinset.chain.living import LivingLot
from pinset.chain.register import RoomKind, StepKind
from pinset.chain.stages import Stage, noun_of
from pinset.services.book_reader import Reader
from pinset.services.job_records import JobKind, LotAmount, PlannedJob
from pinset.services.jobs_of_lots import age_of, lot_job, lots_in_words
from pinset.services.words import joined, short_day

LOOK_MINUTES_PER_UNIT = 0.15
"""Minutes to look a unit over; common practice, no source."""

LONGEST_PAUSE = 7
"""Days off in a row over which work due by age is still caught up."""

DISCARD_MINUTES_PER_UNIT = 0.5
"""Minutes to judge and carry out one unit; common practice, no source."""


def _falls_today(age: int, days: Sequence[int], reader: Reader) -> bool:
    """Say whether work due at certain ages falls on today; from days off it moves to the next day.

    On a day off nothing falls.
    """
    if not reader.works_on(reader.today):
        return False
    back = 0
    while True:
        if age - back in days:
            return True
        back += 1
        if back > LONGEST_PAUSE or reader.works_on(reader.today - timedelta(days=back)):
            return False


def by_age(living: Sequence[LivingLot], reader: Reader, kind: JobKind) -> tuple[PlannedJob, ...]:
    """Return shaking or looking over that falls due today by age, one job a variety and step."""
    groups: dict[tuple[str, str], list[LivingLot]] = defaultdict(list)
    for lot in living:
        if lot.stage is Stage.PREPARED or lot.order:
            continue
        step = lot.now_step()
        days = step.shake_days if kind is JobKind.SHAKE else step.look_days
        if _falls_today(age_of(lot, reader.today), days, reader):
            groups[lot.variety, lot.step].append(lot)
    jobs = []
    for (variety, code), lots in groups.items():
        step = lots[0].now_step()
        count = sum(lot.alive for lot in lots)
        noun = noun_of(step.stage, count, is_bought=step.kind is StepKind.BUY)
        each = step.hands_minutes if kind is JobKind.SHAKE else LOOK_MINUTES_PER_UNIT
        verb = "to shake" if kind is JobKind.SHAKE else "to look over"
        places = sorted({lot.place for lot in lots if lot.place})
        ages = sorted({age_of(lot, reader.today) for lot in lots})
        jobs.append(
            PlannedJob(
                key=f"{kind.value}:{variety}:{code}:{reader.today}",
                kind=kind,
                task=kind.value,
                day=reader.today,
                count=count,
                unit="units",
                what=f"{noun} {verb}, {lots_in_words(lots)}",
                room_kind=RoomKind.INCUBATION.value,
                detail=f"{reader.name(variety)}, day {joined([str(age) for age in ages])}",
                stage=step.stage.value,
                step=code,
                variety=variety,
                variety_name=reader.name(variety),
                place=joined(places),
                lots=tuple(LotAmount(lot.code, lot.alive, code) for lot in lots),
                minutes=max(3, round(each * count)),
                why="The route of this variety says so at this age.",
                cautions=("mouldy-units",) if kind is JobKind.LOOK else (),
            )
        )
    return tuple(jobs)


def arrivals(living: Sequence[LivingLot], reader: Reader) -> tuple[PlannedJob, ...]:
    """Return spawn that was ordered and should arrive today or should have."""
    jobs = []
    for lot in living:
        if not lot.order or lot.made_on > reader.today:
            continue
        supplier = lot.now_step().supplier or "the supplier"
        noun = noun_of(lot.stage, lot.alive, is_bought=True)
        jobs.append(
            lot_job(
                lot,
                reader,
                JobKind.RECEIVE,
                key=f"receive:{lot.order}",
                what=f"{noun} from {supplier}: count them in",
                room_kind=RoomKind.PACKING.value,
                detail=reader.name(lot.variety),
                place="",
                lots=(),
                minutes=10,
                why="It was ordered for today; look at it before it goes into the cold store.",
                order=lot.order,
            )
        )
    return tuple(jobs)


def past_their_time(
    living: Sequence[LivingLot],
    reader: Reader,
    keeps_until: Callable[[LivingLot], date | None],
) -> tuple[PlannedJob, ...]:
    """Return lots that keep no longer by their route."""
    jobs = []
    for lot in living:
        if lot.stage in {Stage.PREPARED, Stage.TUBE} or lot.order:
            continue
        step = lot.now_step()
        last = keeps_until(lot)
        if step.kind is StepKind.FRUIT or last is None or reader.today <= last:
            continue
        noun = noun_of(step.stage, lot.alive, is_bought=step.kind is StepKind.BUY)
        jobs.append(
            lot_job(
                lot,
                reader,
                JobKind.DISCARD,
                what=f"{noun} {lot.code}: past their time, judge and throw out",
                room_kind=RoomKind.INCUBATION.value,
                detail=f"{reader.name(lot.variety)}, usable until {short_day(last)}",
                minutes=max(3, round(DISCARD_MINUTES_PER_UNIT * lot.alive)),
                why="The route says they keep no longer; a person may judge otherwise.",
                cautions=("mouldy-units",),
            )
        )
    return tuple(jobs)
