"""Throwing out what stands wet and goes into no cook: work of the preparation room."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date

from pinset.chain.register import FarmBook, RoomKind
from pinset.services.book_reader import Reader
from pinset.services.jobs.records import JobKind, PlannedJob
from pinset.services.loads.standing_wet import Wet, no_cook_takes
from pinset.services.loads.uncooked import THROW_OUT, wet_key
from pinset.services.words import near_day

FIXED_MINUTES, MINUTES_PER_UNIT = 5, 0.5
"""Minutes to carry out what was prepared for one unit and clean up; common practice, no source."""


def throwing_out_wet(
    planned: Iterable[PlannedJob], book: FarmBook, today: date
) -> tuple[PlannedJob, ...]:
    """Return the work of throwing out what none of the planned cooks takes, one job a mix and day.

    It is asked for on the last day on which it may be cooked, or the working day before that: until
    then a cook may still take it, which takes the job off the list. Today's notes speak of it from
    the first day on.
    """
    reader = Reader(book, today)
    return tuple(_job(each, reader) for each in no_cook_takes(planned, book, today))


def _job(wet: Wet, reader: Reader) -> PlannedJob:
    today = reader.today
    mix, moisture = wet.mix
    noun = "unit" if wet.units == 1 else "units"
    last = near_day(wet.keeps_until, today)
    is_late = today > wet.keeps_until
    return PlannedJob(
        key=wet_key(wet.mix, wet.for_day) + (f":{wet.tasks[-1]}" if wet.not_done else ""),
        kind=JobKind.PREPARE,
        task=THROW_OUT,
        day=max(today, reader.working_day_before(wet.keeps_until)),
        count=wet.units,
        unit="units",
        what=f"{noun} of {wet.step.mix or 'what was prepared'}, wet and not cooked: throw out",
        room_kind=RoomKind.PREPARATION.value,
        detail=f"Too old to be cooked: its last day was {last}"
        if is_late
        else f"Its last day is {last}; no cook takes it",
        stage=wet.step.stage.value,
        step=wet.step.code,
        mix=mix,
        moisture=moisture,
        undoes=wet.tasks if wet.not_done else (),
        minutes=round(FIXED_MINUTES + MINUTES_PER_UNIT * wet.units),
        why=f"{wet.words} was prepared for the cook of {near_day(wet.for_day, today)}, and no cook "
        f"takes it; {wet.keeps}.",
        cautions=("lifting",),
    )
