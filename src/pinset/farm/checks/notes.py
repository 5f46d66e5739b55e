"""Notes: each one an entry speaks of is there as it was written, or was forgotten; no others."""

from __future__ import annotations

from collections.abc import Iterator

from django.db import connections

from pinset.errors import Finding, Severity
from pinset.farm import canonical
from pinset.farm.models import Note

AT_ONCE = 2_000
MOST = 50
_HINT = "Keep the file as it is and take the last backup that checks: pinset restore FILE."
_MISSING = f"""
SELECT e.id FROM farm_entry e LEFT JOIN farm_note n ON n.digest = e.note
WHERE e.note <> '' AND n.digest IS NULL ORDER BY e.id LIMIT {MOST}
"""  # noqa: S608 - our own number
_FOREIGN = f"""
SELECT digest FROM farm_note
WHERE digest NOT IN (SELECT note FROM farm_entry) ORDER BY digest LIMIT {MOST}
"""  # noqa: S608 - our own number


def check_notes(using: str) -> Iterator[Finding]:
    """Yield what is wrong with the texts written with entries."""
    for note in Note.objects.using(using).iterator(AT_ONCE):
        if note.is_forgotten:
            if note.text or note.salt:
                yield _wrong(
                    "ledger.note-changed",
                    f"note {note.digest[:12]}",
                    "This note was forgotten, but there is text in it.",
                )
        elif canonical.note_digest(note.salt, note.text) != note.digest:
            yield _wrong(
                "ledger.note-changed",
                f"note {note.digest[:12]}",
                "The text of this note was changed after it was written.",
            )
    with connections[using].cursor() as cursor:
        cursor.execute(_MISSING)
        for (number,) in cursor.fetchall():
            yield _wrong(
                "ledger.note-lost", f"entry {number}", f"The note of entry {number} is missing."
            )
        cursor.execute(_FOREIGN)
        for (digest,) in cursor.fetchall():
            yield _wrong(
                "ledger.note-foreign",
                f"note {digest[:12]}",
                "No entry was written with this note; it was put in or exchanged.",
            )


def _wrong(name: str, record: str, sentence: str) -> Finding:
    return Finding(name, Severity.WRONG, record, sentence, _HINT)
