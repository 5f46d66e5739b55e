"""What was written down since a plan was made: the reasons why the next one differs."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta

from django.db.models import Max, Sum

from pinset.farm.entries import Account, Kind
from pinset.farm.models import Entry, Posting, RegisterRow


@dataclass(frozen=True, slots=True)
class TakenOut:
    """Units of one lot lost or culled."""

    variety: str
    lot: str
    account: Account
    units: int


def last_entry() -> int:
    """Return the number of the last entry, 0 for an empty ledger."""
    return Entry.objects.aggregate(last=Max("id"))["last"] or 0


def taken_out_since(entry: int) -> tuple[TakenOut, ...]:
    """Return what was lost or culled by entries recorded after that number."""
    rows = (
        Posting.objects.filter(
            entry_id__gt=entry,
            account__in=[Account.LOST, Account.CULLED],
            entry__is_corrected=False,
        )
        .values("lot__variety", "lot__code", "account")
        .annotate(units=Sum("quantity"))
        .order_by("-units", "lot__code")
    )
    return tuple(
        TakenOut(row["lot__variety"], row["lot__code"], Account(row["account"]), row["units"])
        for row in rows
        if row["units"] > 0
    )


def put_off_since(entry: int) -> tuple[tuple[str, str], ...]:
    """Return job codes that were put off or dropped after that entry, with the reason given."""
    rows = Entry.objects.filter(
        id__gt=entry, kind__in=[Kind.PUT_OFF, Kind.DROP], is_corrected=False
    ).values_list("job", "details")
    return tuple((job, str(details.get("reason", ""))) for job, details in rows)


def promises_changed_since(moment: datetime) -> tuple[dict[str, object], ...]:
    """Return the bodies of promise versions written after that moment."""
    rows = RegisterRow.objects.filter(kind="promise", recorded_at__gt=moment, version__gt=0)
    return tuple(row.body for row in rows)


def rooms_of_work(person: str, since: datetime) -> frozenset[str]:
    """Return the kinds of rooms a person recorded work in since that moment."""
    rows = Entry.objects.filter(
        person__code=person, happened_at__gte=since, is_corrected=False
    ).values_list("details", flat=True)
    return frozenset(str(details["room_kind"]) for details in rows if "room_kind" in details)


def delivered_on(first: date, last: date) -> dict[tuple[str, date], int]:
    """Return what was handed over per promise and the day it was due, in grams or units.

    What was handed over up to a week early counts for its due day. A delivery that does not name
    the day it answers counts for the day it happened.
    """
    begin = datetime.combine(first - timedelta(days=7), time(0), UTC)
    rows = Posting.objects.filter(
        entry__kind__in=[Kind.DELIVER, Kind.SELL],
        entry__is_corrected=False,
        entry__happened_at__gte=begin,
        account__in=[Account.DELIVERED, Account.SOLD],
    ).values_list("entry__details", "entry__happened_at", "quantity")
    found: dict[tuple[str, date], int] = {}
    for details, happened_at, quantity in rows:
        promise = str(details.get("promise", ""))
        named = details.get("for_day")
        day = date.fromisoformat(str(named)) if named else happened_at.date()
        if promise and first <= day <= last:
            found[promise, day] = found.get((promise, day), 0) + quantity
    return found
