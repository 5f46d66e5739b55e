"""Who worked in the grow rooms today carries spores: said before laboratory jobs."""

from __future__ import annotations

from datetime import datetime, timedelta

from pinset.chain.register import FarmBook, RoomKind
from pinset.farm import job_store
from pinset.farm.queries.story import has_picked, rooms_worked_in
from pinset.services.clock import at_clock
from pinset.services.plans import planning_day

WARNING = (
    "You recorded work in the grow rooms today: spores travel on hair and clothes. "
    "Wash and change before laboratory jobs, or leave them to somebody else."
)


def was_in_grow_rooms(person: str, book: FarmBook, day_begins: datetime) -> bool:
    """Say whether a person recorded work in a grow room since a day began."""
    until = day_begins + timedelta(days=2)
    if has_picked(person, day_begins, until):
        return True
    worked = rooms_worked_in(person, day_begins, until)
    return any(room.kind is RoomKind.GROWING and room.code in worked for room in book.rooms)


def warning_after(job: str, person: str) -> str:
    """Return the warning for a person who has just answered a job; empty if none is due.

    It is due where the job is of the laboratory, or was in a grow room while laboratory jobs wait,
    and the person recorded work in the grow rooms today.

    Parameters
    ----------
    job : str
        Code of the job.
    person : str
        Worker code; empty if it is not known.
    """
    row = job_store.job_by_code(job) if person else None
    if row is None:
        return ""
    book, today = planning_day.farm_book()
    day_begins = at_clock(today, "00:00", book.farm.time_zone)
    laboratory = RoomKind.LABORATORY.value
    is_before = row.body.get("room_kind") == laboratory or any(
        each.body.get("room_kind") == laboratory
        for each in job_store.open_jobs()
        if each.day <= today
    )
    return WARNING if is_before and was_in_grow_rooms(person, book, day_begins) else ""
