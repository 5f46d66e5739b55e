"""What was measured and woken of cultures that are kept, and what was picked of them."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection
from dataclasses import dataclass
from datetime import date, datetime
from zoneinfo import ZoneInfo

from django.db.models import Max, Sum

from pinset.chain.stages import Stage
from pinset.chain.vigour import Radius
from pinset.farm.about import MEASURED as ABOUT_PLATES
from pinset.farm.entries import Account, Kind, Measure
from pinset.farm.models import Balance, Lot, Mention, Posting
from pinset.farm.trade.cultures import MEASURED, radius_of
from pinset.farm.trade.looking import Verdict


@dataclass(frozen=True, slots=True)
class PlateRead:
    """One reading of one plate, or two that were written down together."""

    entry: str  # client id
    lot: str
    culture: str
    variety: str
    plate: int
    radii: tuple[Radius, ...]
    transfers: int
    temperature_c: float | None  # of the room it stood in; None: not known
    medium: str


@dataclass(frozen=True, slots=True)
class WokenOf:
    """One wake-up test of a lot."""

    entry: str  # client id
    lot: str
    on: date
    of: int
    grew: int
    days: int | None
    is_clean: bool


@dataclass(frozen=True, slots=True)
class TubesGone:
    """A lot of tubes of which none stands any more."""

    code: str
    culture: str
    variety: str
    made_on: date
    on: date  # the day on which the last one went


def plates_read(cultures: Collection[str], since: datetime | None = None) -> tuple[PlateRead, ...]:
    """Return what was measured of these cultures, those of lots long gone too, oldest first.

    Only what was measured since a moment, if one is given.
    """
    rows = Mention.objects.filter(
        role=MEASURED,
        is_cancelled=False,
        entry__kind=Kind.LOOK,
        entry__about=ABOUT_PLATES,
        lot__culture__in=list(cultures),
        **({"entry__happened_at__gte": since} if since else {}),
    )
    told = rows.order_by("entry__happened_at", "entry__client_id").values_list(
        "entry__client_id", "lot__code", "lot__culture", "lot__variety", "entry__details"
    )
    return tuple(
        PlateRead(
            entry=entry,
            lot=lot,
            culture=culture,
            variety=variety,
            plate=int(details.get("plate", 1)),
            radii=tuple(radius_of(each) for each in details["radii"]),
            transfers=int(details.get("transfers", 0)),
            temperature_c=details.get("temperature_c"),
            medium=str(details.get("medium", "")),
        )
        for entry, lot, culture, variety, details in told
    )


def woken_of(lots: Collection[str], zone: ZoneInfo) -> dict[str, tuple[WokenOf, ...]]:
    """Return the wake-up tests of these lots that stand, oldest first."""
    rows = Mention.objects.filter(
        role=Verdict.WOKEN.value, is_cancelled=False, lot__code__in=list(lots)
    )
    found: dict[str, tuple[WokenOf, ...]] = {}
    for entry, lot, at, details in rows.order_by(
        "entry__happened_at", "entry__client_id"
    ).values_list("entry__client_id", "lot__code", "entry__happened_at", "entry__details"):
        said = details["woken"]
        test = WokenOf(
            entry=entry,
            lot=lot,
            on=at.astimezone(zone).date(),
            of=int(said["pieces"]),
            grew=int(said["grew"]),
            days=said.get("days"),
            is_clean=bool(said["clean"]),
        )
        found[lot] = (*found.get(lot, ()), test)
    return found


def tubes_gone(
    cultures: Collection[str], zone: ZoneInfo, since: date | None
) -> tuple[TubesGone, ...]:
    """Return the lots of tubes of these cultures of which none stands any more.

    Only those made since a day, if one is given, are read: an older one replaces no tube that
    stands.
    """
    lots = Lot.objects.filter(
        stage=Stage.TUBE.value,
        culture__in=list(cultures),
        is_void=False,
        is_announced=False,
        **({"made_on__gte": since} if since else {}),
    )
    alive = Balance.objects.filter(account=Account.ALIVE, quantity__gt=0)
    left = Posting.objects.filter(
        account=Account.ALIVE, quantity__lt=0, entry__is_corrected=False, entry__corrects=None
    )
    rows = (
        left.filter(lot__in=list(lots.exclude(id__in=alive.values("lot"))))
        .values_list("lot__code", "lot__culture", "lot__variety", "lot__made_on")
        .annotate(at=Max("entry__happened_at"))
    )
    return tuple(
        TubesGone(code, culture, variety, made_on, at.astimezone(zone).date())
        for code, culture, variety, made_on, at in rows.order_by("lot__code")
    )


def grams_picked(cultures: Collection[str]) -> dict[str, int]:
    """Return the grams that were ever picked of these cultures."""
    rows = Balance.objects.filter(
        account=Account.GROWN, measure=Measure.GRAM, lot__culture__in=list(cultures)
    )
    found: defaultdict[str, int] = defaultdict(int)
    for culture, total in rows.values_list("lot__culture").annotate(total=Sum("quantity")):
        found[culture] -= total
    return dict(found)
