"""Taking back what one tap on lots in hand wrote down."""

from __future__ import annotations

from collections.abc import Sequence

from django.db import transaction

from pinset.services.answers import taking_back
from pinset.services.floor.records import WrittenDown
from pinset.services.floor.taps import By
from pinset.services.words import plural


def take_back(entries: Sequence[str], *, person: str, client_id: str, reason: str) -> WrittenDown:
    """Take back all that one tap wrote down, the last entry first; all of it, or nothing.

    Raises
    ------
    RefusedError
        If one of the entries was taken back already, or something stands on it.
    """
    by = By(person, client_id, None, "")
    with transaction.atomic():
        done = [
            taking_back.undo(entry, person=person, client_id=by.id_of(number), reason=reason)
            for number, entry in enumerate(reversed(entries))
        ]
    return WrittenDown(
        entries=tuple(each.entry for each in done),
        already=all(each.already for each in done),
        sentence=f"Taken back: {plural(len(done), 'entry', 'entries')}, which stay visible.",
        findings=tuple(finding for each in done for finding in each.findings),
    )
