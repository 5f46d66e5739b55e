"""Where units and grams stand, as recording needs to know before it writes."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection
from dataclasses import dataclass
from datetime import date, datetime

from django.db import connection
from django.db.models import Sum

from pinset.farm.entries import Account, Kind, Measure
from pinset.farm.models import Balance, ChainHead, Entry, Lot, Mention
from pinset.farm.rows import read_moment, select_in

_UNITS = (
    "SELECT l.id, l.code, p.code, b.quantity, l.made_on, l.culture FROM farm_lot l "
    "JOIN farm_balance b ON b.lot_id = l.id JOIN farm_place p ON p.id = b.place_id "
    "WHERE b.account = 'alive' AND b.measure = 'unit' AND b.quantity > 0 AND l.code"
)
_MADE = (
    "SELECT l.code, l.made_on, e.happened_at, e.kind FROM farm_lot l "
    "JOIN farm_entry e ON e.id = l.made_by_id WHERE l.made_on IS NOT NULL AND l.code"
)
_KNOWN = "SELECT 1 FROM farm_entry WHERE client_id = %s"
"""Written in SQL: each stands before every entry, and building such a query costs more than its
answer."""


@dataclass(frozen=True, slots=True)
class Standing:
    """A quantity of one lot at one place."""

    lot: str
    place: str
    quantity: int
    made_on: date | None
    culture: str


@dataclass(frozen=True, slots=True)
class LastFlush:
    """The last flush picked from a lot."""

    flush: int
    on: date  # of its last pick; of the lot's opening, where it was picked before
    is_before: bool  # picked before the lot was written down; nobody said on which day


@dataclass(frozen=True, slots=True)
class Made:
    """When a lot was made, and by which kind of entry that was written down."""

    lot: str
    on: date
    at: datetime
    kind: str


def made_when(codes: Collection[str]) -> tuple[Made, ...]:
    """Return when each of these lots was made, as far as it is written down."""
    with connection.cursor() as cursor:
        rows = sorted(select_in(cursor, _MADE, codes))
    return tuple(Made(lot, on, read_moment(at), kind) for lot, on, at, kind in rows)


def units_of(codes: Collection[str]) -> dict[str, tuple[Standing, ...]]:
    """Return where the units of these lots stand, most first."""
    with connection.cursor() as cursor:
        rows = [(number, Standing(*row)) for number, *row in select_in(cursor, _UNITS, codes)]
    rows.sort(key=lambda row: (row[1].made_on or date.min, row[0], -row[1].quantity, row[1].place))
    found: dict[str, tuple[Standing, ...]] = {}
    for _, row in rows:
        found[row.lot] = (*found.get(row.lot, ()), row)
    return found


def places_of(code: str) -> tuple[str, ...]:
    """Return every place where units of a lot stand or stood."""
    rows = Balance.objects.filter(lot__code=code, account=Account.ALIVE, measure=Measure.UNIT)
    found = rows.exclude(place__code="").order_by("place__code")
    return tuple(found.values_list("place__code", flat=True))


def cultures_of(codes: Collection[str]) -> tuple[str, ...]:
    """Return the cultures these lots come from, each once."""
    rows = Lot.objects.filter(code__in=list(codes)).exclude(culture="").order_by("culture")
    return tuple(rows.values_list("culture", flat=True).distinct())


def flushes_of(codes: Collection[str]) -> dict[str, LastFlush]:
    """Return the last flush picked from each of these lots; a lower one named later is none."""
    rows = (
        Mention.objects.filter(lot__code__in=list(codes), role="flush", is_cancelled=False)
        .order_by("entry__happened_at", "entry__client_id", "id")  # whatever the order of arrival
        .values_list("lot__code", "count", "value", "entry__happened_at")
    )
    found: dict[str, LastFlush] = {}
    for code, flush, value, at in rows:
        last = found.get(code)
        if last is None or flush >= last.flush:
            found[code] = LastFlush(flush, at.date(), value == "before")
    return found


def units_at_places() -> dict[str, int]:
    """Return how many units stand at each place."""
    rows = (
        Balance.objects.filter(account=Account.ALIVE, measure=Measure.UNIT, quantity__gt=0)
        .values("place__code")
        .annotate(units=Sum("quantity"))
    )
    return {row["place__code"]: row["units"] for row in rows}


def owed_at(code: str) -> dict[str, int]:
    """Return the units of a lot that are unexplained, by the place they were taken from."""
    rows = Balance.objects.filter(
        lot__code=code, account=Account.UNEXPLAINED, measure=Measure.UNIT, quantity__lt=0
    ).order_by("place__code")
    return {place: -units for place, units in rows.values_list("place__code", "quantity")}


def wait_for_the_pen() -> None:
    """Hold the head of the chain until the transaction ends: only one writes at a time.

    SQLite's immediate transactions do so by themselves; other databases lock the row.
    """
    if not connection.features.has_select_for_update:
        return
    if ChainHead.objects.select_for_update().first() is None:  # nothing was ever written
        ChainHead.objects.get_or_create(pk=1)
        ChainHead.objects.select_for_update().first()


def entry_known(client_id: str) -> bool:
    """Say whether an entry with this client id is recorded."""
    with connection.cursor() as cursor:
        cursor.execute(_KNOWN, [client_id])
        return cursor.fetchone() is not None


def lots_of_order(start: str) -> tuple[tuple[str, int], ...]:
    """Return the lots counted in for an order, in the order of arrival: code and units counted.

    ``start`` is how the client id of the order begins.
    """
    rows = (
        Entry.objects.filter(kind=Kind.RECEIVE, is_corrected=False, about__startswith=start)
        .order_by("id")
        .values_list("lots_made__code", "details")
    )
    return tuple((code, int(details.get("count", 0))) for code, details in rows if code)


@dataclass(frozen=True, slots=True)
class Underway:
    """Spawn that was ordered and is still expected, all of it or the rest."""

    order: str  # client id
    details: dict[str, object]
    arrived: int  # units of it that were counted in
    left: int  # units that are still expected


def orders_underway() -> tuple[Underway, ...]:
    """Return orders of spawn that have not wholly arrived.

    What is missing is expected until it comes or somebody says that it is not to be received at
    all. A delivery that says it finishes its order ends it, too.
    """
    arrived: dict[str, int] = defaultdict(int)
    ended: set[str] = set()
    answers = Entry.objects.filter(
        kind__in=[Kind.RECEIVE, Kind.DROP], is_corrected=False, about__isnull=False
    )
    for kind, details in answers.values_list("kind", "details"):
        order = str(details["order"])
        if kind == Kind.DROP or details.get("finishes"):
            ended.add(order)
        if kind == Kind.RECEIVE:
            arrived[order] += int(details.get("count", 0))
    rows = (
        Entry.objects.filter(kind=Kind.ORDER, is_corrected=False)
        .order_by("id")
        .values_list("client_id", "details")
    )
    return tuple(
        Underway(client_id, details, arrived[client_id], left)
        for client_id, details in rows
        if client_id not in ended
        and (left := int(details.get("count", 0)) - arrived[client_id]) > 0
    )
