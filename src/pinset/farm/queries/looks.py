"""Every look at a lot with its age, how many were looked at and how many showed something.

What statistics of losses read: a lot on which nothing was seen at an age is not known to be clean.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Iterable
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any
from zoneinfo import ZoneInfo

from django.db.models import OuterRef, Q, QuerySet, Subquery

from pinset.farm.entries import Account, Kind, Measure
from pinset.farm.models import Entry, Lot, Mention, Posting

ROLE = "looked"
AT_ONCE = 10_000  # numbers of lots that one question names
TAKEN_OUT = (Account.LOST, Account.CULLED)


@dataclass(frozen=True, slots=True)
class LookAt:
    """One lot at one look."""

    entry: str  # client id
    lot: str
    variety: str
    stage: str
    made_on: date | None
    at: datetime
    age_days: int | None  # from the day it was made; below 0: the look is dated before that
    places: tuple[str, ...]
    of: int  # units that were looked at
    seen: int  # of them, units that showed one of the signs
    signs: tuple[str, ...]  # keys of the table of signs
    where: str  # key of a place in the vessel; empty: not said
    lost: int  # units taken out in the same tap as contaminated
    culled: int  # units taken out in the same tap for another cause
    job: str
    photo: str  # digest
    lots: int = 1  # looked at in the same tap, this one among them

    @property
    def is_empty(self) -> bool:
        """Whether nothing was seen."""
        return not self.seen


def looks(
    zone: ZoneInfo,
    *,
    lots: Iterable[str] | None = None,
    rooms: Iterable[str] | None = None,
    since: datetime | None = None,
    until: datetime | None = None,
) -> tuple[LookAt, ...]:
    """Return the looks that stand, by lot and in the order in which they happened.

    A look over several lots at once says of each that nothing was seen.

    Parameters
    ----------
    zone : ZoneInfo
        Of the farm's clock: an age is counted in its days.
    lots : iterable of str, optional
        Only these lot codes.
    rooms : iterable of str, optional
        Only units on shelves of these rooms.
    since, until : datetime, optional
        Only looks from one moment on, and before another.
    """
    rows = _standing()
    if lots is not None:
        rows = rows.filter(lot__code__in=list(lots))
    if rooms is not None:
        rows = rows.filter(place__room__in=list(rooms))
    if since is not None:
        rows = rows.filter(entry__happened_at__gte=since)
    if until is not None:
        rows = rows.filter(entry__happened_at__lt=until)
    return _told(rows, zone)


def last_looks(zone: ZoneInfo, lots: Iterable[str]) -> dict[str, LookAt]:
    """Return the last look that stands at each of these lots, and reads no other.

    Parameters
    ----------
    zone : ZoneInfo
        Of the farm's clock.
    lots : iterable of str
        Codes; lots nobody looked at are left out.
    """
    own = _standing().filter(lot=OuterRef("pk"))
    newest = own.order_by("-entry__happened_at", "-entry__client_id").values("entry_id")[:1]
    found = Lot.objects.filter(code__in=list(lots)).annotate(look=Subquery(newest))
    pairs = {number: entry for number, entry in found.values_list("pk", "look") if entry}
    rows = Mention.objects.filter(
        role=ROLE, is_cancelled=False, lot_id__in=list(pairs), entry_id__in=set(pairs.values())
    )
    return {look.lot: look for look in _told(rows, zone)}  # of each lot the last


def _standing() -> QuerySet[Mention]:
    return Mention.objects.filter(role=ROLE, is_cancelled=False, entry__kind=Kind.LOOK)


def _told(rows: QuerySet[Mention], zone: ZoneInfo) -> tuple[LookAt, ...]:
    """Return looks by lot and in the order in which they happened."""
    units: defaultdict[tuple[int, int], int] = defaultdict(int)
    places: defaultdict[tuple[int, int], dict[str, None]] = defaultdict(dict)
    for entry, lot, place, count in rows.order_by("id").values_list(
        "entry_id", "lot_id", "place__code", "count"
    ):
        units[entry, lot] += count
        places[entry, lot][place] = None
    entries, known = _entries(rows), _lots(rows)
    out = _taken_out({lot for _, lot in units})
    found = []
    for (number, lot), of in units.items():
        client_id, at, job, details, lots_of = entries[number]
        code, variety, stage, made_on = known[lot]
        said = details if lots_of == 1 else {}
        found.append(
            LookAt(
                entry=client_id,
                lot=code,
                variety=variety,
                stage=stage,
                made_on=made_on,
                at=at,
                age_days=(at.astimezone(zone).date() - made_on).days if made_on else None,
                places=tuple(places[number, lot]),
                of=of,
                seen=int(said.get("seen", 0)),
                signs=tuple(said.get("signs", ())),
                where=str(said.get("where", "")),
                lost=out[client_id, code, Account.LOST],
                culled=out[client_id, code, Account.CULLED],
                job=job,
                photo=str(said.get("photo", "")),
                lots=lots_of,
            )
        )
    return tuple(sorted(found, key=lambda look: (look.lot, look.at, look.entry)))


def _entries(
    rows: QuerySet[Mention],
) -> dict[int, tuple[str, datetime, str, dict[str, Any], int]]:
    """Return id, moment, job, details and how many lots each of these entries looks at."""
    numbers = rows.order_by().values("entry_id")
    lots: defaultdict[int, set[int]] = defaultdict(set)
    mentioned = Mention.objects.filter(entry_id__in=numbers, role=ROLE)
    for number, lot in mentioned.values_list("entry_id", "lot_id"):
        lots[number].add(lot)
    found = Entry.objects.filter(pk__in=numbers)
    return {
        number: (client_id, at, job, details, len(lots[number]))
        for number, client_id, at, job, details in found.values_list(
            "id", "client_id", "happened_at", "job", "details"
        )
    }


def _lots(rows: QuerySet[Mention]) -> dict[int, tuple[str, str, str, date | None]]:
    found = Lot.objects.filter(pk__in=rows.order_by().values("lot_id"))
    return {
        number: (code, variety, stage, made_on)
        for number, code, variety, stage, made_on in found.values_list(
            "id", "code", "variety", "stage", "made_on"
        )
    }


def _taking_out() -> QuerySet[Entry]:
    return Entry.objects.filter(
        kind__in=(Kind.LOSE, Kind.CULL), is_corrected=False, corrects_client=""
    )


def _taken_out(lots: Collection[int]) -> defaultdict[tuple[str, str, Account], int]:
    """Return the units taken out in the taps of looks, by the look's id, lot and account.

    Only what was taken of these lots is read: a database that is asked for them by another question
    may read everything that was ever taken out.
    """
    found: defaultdict[tuple[str, str, Account], int] = defaultdict(int)
    numbers = sorted(lots)
    for i in range(0, len(numbers), AT_ONCE):
        out = Posting.objects.filter(
            lot_id__in=numbers[i : i + AT_ONCE],
            account__in=TAKEN_OUT,
            measure=Measure.UNIT,
            entry__is_corrected=False,
            entry__corrects_client="",
            entry__details__has_key="look",
        )
        for kind, details, code, account, quantity in out.values_list(
            "entry__kind", "entry__details", "lot__code", "account", "quantity"
        ):
            if kind in {Kind.LOSE, Kind.CULL}:
                found[str(details["look"]), code, Account(account)] += quantity
    return found


def tied_to(entry: str) -> tuple[str, ...]:
    """Return the ids of the entries that took units out in the tap of another and still stand.

    That is a look, or the opening of a cook of which not all came out. Both happened in one moment.
    """
    same_moment = Entry.objects.filter(client_id=entry).values("happened_at")
    rows = _taking_out().filter(
        Q(details__look=entry) | Q(details__tap=entry), happened_at__in=same_moment
    )
    return tuple(rows.order_by("id").values_list("client_id", flat=True))


def looks_of_photo(digest: str) -> tuple[str, ...]:
    """Return the lots of the looks a photo was taken at."""
    taken = Mention.objects.filter(role=ROLE, entry__kind=Kind.LOOK, entry__details__photo=digest)
    return tuple(taken.order_by("id").values_list("lot__code", flat=True))


def looked_without_job(since: datetime, until: datetime) -> dict[str, int]:
    """Return the units of each lot that were looked over between two moments for no job."""
    rows = Mention.objects.filter(
        role=ROLE,
        is_cancelled=False,
        entry__kind=Kind.LOOK,
        entry__job="",
        entry__happened_at__gte=since,
        entry__happened_at__lt=until,
    )
    found: defaultdict[str, int] = defaultdict(int)
    for lot, count in rows.values_list("lot__code", "count"):
        found[lot] += count
    return dict(found)
