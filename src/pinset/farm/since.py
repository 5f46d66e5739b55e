"""What was written down since a plan was made: the reasons why the next one differs."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime

from django.db.models import Sum

from pinset.farm.entries import Account, Measure
from pinset.farm.models import Lot, Posting, RegisterRow


@dataclass(frozen=True, slots=True)
class TakenOut:
    """Units of one lot lost or culled."""

    variety: str
    lot: str
    account: Account
    units: int


def taken_out_since(entry: int) -> tuple[TakenOut, ...]:
    """Return what was lost or culled by entries recorded after that number."""
    rows = (
        Posting.objects.filter(
            entry_id__gt=entry,
            account__in=[Account.LOST, Account.CULLED],
            entry__is_corrected=False,
            entry__corrects_client="",
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


_COMES_AND_GOES = (Account.MADE, Account.RECEIVED, Account.GROWN, Account.SOLD, Account.SPENT)


@dataclass(frozen=True, slots=True)
class Recorded:
    """Units or grams of one lot that came or went."""

    variety: str
    lot: str
    account: Account
    measure: Measure
    quantity: int


def recorded_since(entry: int) -> tuple[Recorded, ...]:
    """Return what was made, received, picked, sold and spent by entries after that number."""
    rows = (
        Posting.objects.filter(
            entry_id__gt=entry,
            account__in=_COMES_AND_GOES,
            entry__is_corrected=False,
            entry__corrects_client="",
        )
        .values("lot__variety", "lot__code", "account", "measure")
        .annotate(total=Sum("quantity"))
        .order_by("lot__code", "account")
    )
    return tuple(
        Recorded(
            row["lot__variety"],
            row["lot__code"],
            Account(row["account"]),
            Measure(row["measure"]),
            abs(row["total"]),
        )
        for row in rows
        if row["total"]
    )


@dataclass(frozen=True, slots=True)
class MadeAs:
    """What a lot was made as."""

    stage: str
    variety: str
    step: str
    route: str  # code


def made_as(lots: Iterable[str]) -> dict[str, MadeAs]:
    """Return what these lots were made as, by code."""
    rows = Lot.objects.filter(code__in=set(lots)).select_related("route")
    return {
        row.code: MadeAs(row.stage, row.variety, row.step, row.route.code if row.route else "")
        for row in rows
    }


def pins_changed_since(moment: datetime) -> tuple[dict[str, object], ...]:
    """Return the bodies of pins written or taken off after that moment."""
    rows = RegisterRow.objects.filter(kind="pin", recorded_at__gt=moment)
    return tuple(row.body for row in rows)


@dataclass(frozen=True, slots=True)
class OutageChanged:
    """An outage that was written or ended."""

    bodies: tuple[dict[str, object], ...]  # what held before, if anything, and each version since
    is_ended: bool


def outages_changed_since(moment: datetime) -> tuple[OutageChanged, ...]:
    """Return the outages written or ended after that moment, by code.

    What was both written and ended after it is left out.
    """
    outages = RegisterRow.objects.filter(kind="outage")
    codes = set(outages.filter(recorded_at__gt=moment).values_list("code", flat=True))
    versions: dict[str, list[RegisterRow]] = {}
    for row in outages.filter(code__in=codes).order_by("code", "version"):
        known = versions.setdefault(row.code, [])
        if row.recorded_at <= moment:
            known.clear()
            if row.is_retired:
                continue
        known.append(row)
    return tuple(
        OutageChanged(tuple(row.body for row in rows), rows[-1].is_retired)
        for rows in versions.values()
        if not (rows[0].recorded_at > moment and rows[-1].is_retired)
    )


def are_outlets_changed_since(moment: datetime) -> bool:
    """Say whether an outlet was written or ended after that moment."""
    return RegisterRow.objects.filter(kind="outlet", recorded_at__gt=moment).exists()


def promises_changed_since(moment: datetime) -> tuple[dict[str, object], ...]:
    """Return the bodies of promise versions written after that moment."""
    rows = RegisterRow.objects.filter(kind="promise", recorded_at__gt=moment, version__gt=0)
    return tuple(row.body for row in rows)
