"""Photos: each one a look speaks of is there as it was taken, or was forgotten; no others."""

from __future__ import annotations

from collections.abc import Iterator

from pinset.errors import Finding, Severity
from pinset.farm import photo_store
from pinset.farm.entries import Kind
from pinset.farm.models import Entry

_HINT = "Keep the file as it is and take the last backup that checks: pinset restore FILE."


def check_photos(using: str) -> Iterator[Finding]:
    """Yield what is wrong with the photos that looks speak of."""
    named: dict[str, list[int]] = {}
    looks = Entry.objects.using(using).filter(kind=Kind.LOOK).order_by("id")
    for number, details in looks.values_list("id", "details").iterator():
        if digest := str(details.get("photo", "")):
            named.setdefault(digest, []).append(number)
    kept: set[str] = set()
    for digest, is_forgotten, is_whole in photo_store.judged(using):
        kept.add(digest)
        if not is_whole:
            said = (
                "This photo was forgotten, but there is a picture in it."
                if is_forgotten
                else "This photo was changed after it was taken."
            )
            yield _wrong("ledger.photo-changed", f"photo {digest[:12]}", said)
        if digest not in named:
            said = "No look was written with this photo; it was put in or exchanged."
            yield _wrong("ledger.photo-foreign", f"photo {digest[:12]}", said)
    for digest, numbers in named.items():
        for number in numbers if digest not in kept else ():
            said = f"The photo of entry {number} is missing."
            yield _wrong("ledger.photo-lost", f"entry {number}", said)


def _wrong(name: str, record: str, sentence: str) -> Finding:
    return Finding(name, Severity.WRONG, record, sentence, _HINT)
