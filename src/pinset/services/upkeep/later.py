"""Putting a chore off, with a reason."""

from __future__ import annotations

from pinset.errors import RefusedError
from pinset.services.answers.putting_off import not_today
from pinset.services.plans import planning_day
from pinset.services.upkeep.doing import chore_of
from pinset.services.upkeep.in_step import open_job
from pinset.services.upkeep.jobs import chore_key
from pinset.services.views import Done


def put_off(code: str, reason: str, *, days: int, person: str, client_id: str) -> Done:
    """Put a chore off for some days.

    Raises
    ------
    InputError
        If no reason is given, or the days cannot be.
    RefusedError
        If there is no such chore, or it is not on the day's list.
    """
    book, _ = planning_day.farm_book()
    row = open_job(chore_key(chore_of(code, book).code))
    if row is None:
        raise RefusedError("It is not on the day's list, so there is nothing to put off.")
    return not_today(row.code, person=person, client_id=client_id, reason=reason, days=days)
