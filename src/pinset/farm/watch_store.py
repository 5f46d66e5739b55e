"""Cooks that are watched and what was read of them: working papers beside the ledger."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any

from django.db import transaction
from django.db.models import Max, Min

from pinset.errors import InputError
from pinset.farm.models import SensorKey, WatchedCook, WatchedReading
from pinset.farm.trouble import plain_words
from pinset.farm.validation import check_text

MOST_READINGS = 200_000  # of one cook
LONGEST_BY = 80


@dataclass(frozen=True, slots=True)
class WatchRow:
    """A cook that is watched, or was."""

    code: str
    steriliser: str  # code
    cook_kind: str
    job: str
    cook: str  # code in the books; empty: not known
    load: Mapping[str, Any]
    rule: str
    began_at: datetime
    begun_by: str  # code
    ended_at: datetime | None
    ended_by: str
    instruments: Mapping[str, str] = field(default_factory=dict)  # what is read: code
    heated_since: datetime | None = None  # where somebody said it


@dataclass(frozen=True, slots=True)
class ReadingRow:
    """One value read at one moment."""

    client_id: str
    at: datetime
    what: str
    value: float
    source: str  # typed, file, sensor
    by: str


def begin(client_id: str, row: WatchRow) -> WatchRow:
    """Keep a cook that somebody begins to watch; the same tap again is the same cook.

    A code that is taken gets a number behind it.
    """
    for name in ("steriliser", "cook_kind", "cook", "rule"):
        check_text(name, getattr(row, name), 60)
    with plain_words(), transaction.atomic():
        known = WatchedCook.objects.filter(client_id=client_id).first()
        if known is not None:
            return _row(known)
        code, number = row.code, 1
        while WatchedCook.objects.filter(code=code).exists():
            number += 1
            code = f"{row.code}-{number}"
        made = WatchedCook.objects.create(
            code=code,
            client_id=client_id,
            steriliser=row.steriliser,
            cook_kind=row.cook_kind,
            job=row.job,
            cook=row.cook,
            load=dict(row.load),
            instruments=dict(row.instruments),
            rule=row.rule,
            began_at=row.began_at,
            heated_since=row.heated_since,
            begun_by=row.begun_by,
        )
    return _row(made)


def find(code: str) -> WatchRow | None:
    """Return a watched cook by its code."""
    found = WatchedCook.objects.filter(code=code).first()
    return _row(found) if found else None


def going_on() -> tuple[WatchRow, ...]:
    """Return the cooks that are being watched, the newest first."""
    return tuple(map(_row, WatchedCook.objects.filter(ended_at=None).order_by("-began_at", "-id")))


def is_begun(client_id: str) -> bool:
    """Return whether this tap has begun a watch already."""
    return WatchedCook.objects.filter(client_id=client_id).exists()


def ended(most: int) -> tuple[WatchRow, ...]:
    """Return cooks whose watch has ended, the newest first."""
    found = WatchedCook.objects.exclude(ended_at=None).order_by("-ended_at", "-id")[:most]
    return tuple(map(_row, found))


def end(code: str, by: str, now: datetime) -> None:
    """Note that the watch has ended; one that has stays as it is."""
    with plain_words():
        WatchedCook.objects.filter(code=code, ended_at=None).update(ended_at=now, ended_by=by)


def heated_since(code: str, moment: datetime) -> None:
    """Note since when a cook is heated; what was read from then on counts."""
    with plain_words(), transaction.atomic():
        watched = WatchedCook.objects.select_for_update().get(code=code)
        watched.heated_since = moment
        watched.began_at = min(watched.began_at, moment)
        watched.save(update_fields=["heated_since", "began_at"])


def forget_ended(before: datetime) -> int:
    """Forget cooks whose watch ended before a moment, with their readings; return how many.

    What a cook was judged by is kept with its verdict.
    """
    with plain_words():
        old = WatchedCook.objects.filter(ended_at__lt=before)
        count = old.count()
        old.delete()
    return count


def add(code: str, readings: Iterable[ReadingRow], now: datetime) -> int:
    """Keep readings and return how many are new; one sent again counts once.

    Raises
    ------
    InputError
        If there is no such cook, or it has more readings than any cook needs.
    """
    with plain_words(), transaction.atomic():
        watched = WatchedCook.objects.select_for_update().filter(code=code).first()
        if watched is None:
            raise InputError("cook", code, "a cook that is being watched")
        before = WatchedReading.objects.filter(watched=watched).count()
        rows = [
            WatchedReading(
                watched=watched,
                client_id=each.client_id,
                at=each.at,
                what=each.what,
                value=each.value,
                source=each.source,
                by=each.by[:LONGEST_BY],
                recorded_at=now,
            )
            for each in readings
        ]
        if before + len(rows) > MOST_READINGS:
            raise InputError("readings", before + len(rows), f"at most {MOST_READINGS} of one cook")
        WatchedReading.objects.bulk_create(rows, ignore_conflicts=True, batch_size=500)
        return WatchedReading.objects.filter(watched=watched).count() - before


def remove(code: str, client_id: str) -> bool:
    """Let a typed reading count no more; say whether there was one."""
    with plain_words():
        changed = WatchedReading.objects.filter(
            watched__code=code, client_id=client_id, source="typed"
        ).update(is_removed=True)
    return bool(changed)


def readings(code: str) -> tuple[ReadingRow, ...]:
    """Return what was read of a cook and counts, by time and in the order it came."""
    found = WatchedReading.objects.filter(watched__code=code, is_removed=False)
    names = ("client_id", "at", "what", "value", "source", "by")
    return tuple(ReadingRow(*row) for row in found.order_by("at", "id").values_list(*names))


def span_from(code: str, source: str, by: str) -> tuple[datetime, datetime] | None:
    """Return the moments of the first and last reading from a source, such as a file."""
    found = WatchedReading.objects.filter(watched__code=code, source=source, by=by[:LONGEST_BY])
    ends = found.aggregate(oldest=Min("at"), newest=Max("at"))
    return (ends["oldest"], ends["newest"]) if ends["newest"] else None


def recorded_since(source: str, moment: datetime, by: str | None = None) -> int:
    """Return how many readings of a source came in since a moment, of all cooks."""
    found = WatchedReading.objects.filter(source=source, recorded_at__gte=moment)
    return (found if by is None else found.filter(by=by)).count()


def set_key(digest: str, by: str, now: datetime) -> None:
    """Let a key count from now on; the one before counts no more."""
    with plain_words(), transaction.atomic():
        SensorKey.objects.all().delete()
        if digest:
            SensorKey.objects.create(digest=digest, made_at=now, made_by=by)


def key() -> tuple[str, datetime] | None:
    """Return the digest of the key that counts, and when it was made."""
    found = SensorKey.objects.order_by("-made_at").first()
    return (found.digest, found.made_at) if found else None


def _row(watched: WatchedCook) -> WatchRow:
    return WatchRow(
        code=watched.code,
        steriliser=watched.steriliser,
        cook_kind=watched.cook_kind,
        job=watched.job,
        cook=watched.cook,
        load=watched.load,
        rule=watched.rule,
        began_at=watched.began_at,
        begun_by=watched.begun_by,
        ended_at=watched.ended_at,
        ended_by=watched.ended_by,
        instruments=watched.instruments,
        heated_since=watched.heated_since,
    )
