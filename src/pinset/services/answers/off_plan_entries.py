"""Writing down, once, what happened without a job."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime
from typing import Any

from django.db import transaction

from pinset.errors import InputError
from pinset.farm import door
from pinset.farm.entries import NewEntry
from pinset.farm.queries import story
from pinset.services.answers.same_answer import keep_answer, refuse_another
from pinset.services.answers.shown_doubts import refuse_unseen, written_although
from pinset.services.bounds import MOST_GRAMS
from pinset.services.views import Done
from pinset.services.words import kilograms


def weighed(grams: int) -> int:
    """Return a weight from the scale that can be.

    Raises
    ------
    InputError
        If it is nothing, or more than any farm picks.
    """
    if not 0 < grams <= MOST_GRAMS:
        raise InputError("weight", kilograms(grams), "more than nothing and at most 10,000 kg")
    return grams


def is_known(client_id: str, said: Mapping[str, Any]) -> bool:
    """Say whether this tap was written down.

    Raises
    ------
    RefusedError
        If what was written down is something else.
    """
    known = story.entry(client_id)
    if known is None:
        return False
    if known.job and known.details.get("grams") == said["grams"]:
        return True  # it answered a job that is finished since
    refuse_another(known.details, said)
    return True


def write_down(
    entry: NewEntry,
    said: Mapping[str, Any],
    now: datetime,
    sentence: str,
    shown: str | None = None,
) -> Done:
    """Write an entry down with what was said, and return what it came to.

    ``shown`` are the doubts that were shown to whoever gave a reason; None if it may overrule all.
    """
    refuse_unseen(entry.details, shown)
    keep_answer(entry, said)
    with transaction.atomic():
        [recorded] = door.record([entry], now=now)
    return Done(
        entry=entry.client_id,
        already=recorded.already,
        sentence=sentence,
        findings=(
            *(f"{f.record}: {f.sentence} {f.hint}".strip() for f in recorded.findings),
            *written_although(entry.details),
        ),
    )
