"""The line in which questions wait for the worker."""

from __future__ import annotations

from datetime import datetime
from typing import Any

from pinset.errors import RefusedError
from pinset.farm import question_store
from pinset.services.clock import now_utc

MOST_OPEN = 5


def put_in_line(body: dict[str, Any], person: str, now: datetime | None = None) -> int:
    """Put a question in line and return its number; the same one that waits already is shared.

    Raises
    ------
    RefusedError
        If so many questions wait that one more would only keep the plan from its turn.
    """
    waiting = question_store.open_ones()
    same = next((each for each in waiting if each.question == body), None)
    if same is not None:
        return same.number
    if len(waiting) >= MOST_OPEN:
        raise RefusedError(
            f"{MOST_OPEN} questions wait already.", "Give one of them up, or wait for its answer."
        )
    return question_store.ask(person, body, now or now_utc())
