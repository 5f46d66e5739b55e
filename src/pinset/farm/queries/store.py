"""Which day's picking the weight in the cold store is of, told from what came and went."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from datetime import date, timedelta
from itertools import groupby
from zoneinfo import ZoneInfo

from pinset.farm.entries import Account, Kind, Measure
from pinset.farm.models import Balance, Mention, Posting
from pinset.farm.trade.selling import OF_DAY

_OLDEST_FIRST = frozenset({Kind.WASTE.value, Kind.DRY.value})

_Part = tuple[date | None, int]  # day of picking, grams


@dataclass(frozen=True, slots=True)
class StoredWeight:
    """Grams of one lot at one place in the cold store, picked on one day."""

    lot: str
    variety: str
    place: str
    grams: int
    picked_on: date | None  # None: its picking has not been written down


@dataclass(slots=True)
class _Pile:
    """What of one lot lies at one place, as far as it has been told."""

    parts: list[_Part] = field(default_factory=list)
    owed: int = 0  # taken before it was written down as picked

    def put(self, picked_on: date | None, grams: int) -> None:
        paid = min(self.owed, grams)
        self.owed -= paid
        if grams > paid:
            self.parts.append((picked_on, grams - paid))

    def take_of(self, picked_on: date, grams: int) -> list[_Part]:
        """Take of the picking of one day, as far as some of it is left."""
        own = sum(here for day, here in self.parts if day == picked_on)
        now = min(grams, own)
        if not now:
            return []
        self.parts = [part for part in self.parts if part[0] != picked_on]
        self.parts += [(picked_on, own - now)] if own > now else []
        return [(picked_on, now)]

    def take(self, grams: int, day: date, keeps_days: int, *, oldest: bool) -> list[_Part]:
        """Take the oldest that is still good on a day, then what is past; or just the oldest."""

        def turn(part: _Part) -> tuple[bool, date]:
            picked_on = part[0] or date.max
            is_past = part[0] is not None and part[0] + timedelta(days=keeps_days) < day
            return is_past and not oldest, picked_on

        taken: list[_Part] = []
        left: list[_Part] = []
        for picked_on, here in sorted(self.parts, key=turn):
            now = min(grams, here)
            grams -= now
            taken += [(picked_on, now)] if now else []
            left += [(picked_on, here - now)] if here > now else []
        self.parts = left
        self.owed += grams
        return taken


def stored_weight(
    keeps_days: Mapping[str, int], time_zone: str, *, variety: str = ""
) -> tuple[StoredWeight, ...]:
    """Return the picked grams in store by lot, place and day of picking, the oldest first.

    An entry says of which day's picking it took. Where it does not, what was handed over is taken
    to have been the oldest that was still good on that day; what was thrown away or dried, the
    oldest there was.

    Parameters
    ----------
    keeps_days : mapping of str to int
        How long picked mushrooms of each variety keep, counted from the day after picking. [d]
    time_zone : str
        Of the farm, for the days.
    variety : str
        Only this one, if given.
    """
    balances = Balance.objects.filter(account=Account.STORE.value, quantity__gt=0)
    if variety:
        balances = balances.filter(lot__variety=variety)
    standing = {
        (row.lot.code, row.place.code): row for row in balances.select_related("lot", "place")
    }
    piles = _piles({row.lot_id for row in standing.values()}, keeps_days, ZoneInfo(time_zone))
    found: list[StoredWeight] = []
    for key, row in standing.items():
        one = StoredWeight(row.lot.code, row.lot.variety, row.place.code, row.quantity, None)
        parts = sorted(piles[key].parts, key=lambda part: part[0] or date.max)
        known = sum(grams for _, grams in parts)
        for picked_on, grams in [*parts, (None, row.quantity - known)]:
            if grams > 0:
                found.append(replace(one, grams=grams, picked_on=picked_on))
    return tuple(sorted(found, key=lambda each: (each.picked_on or date.max, each.lot, each.place)))


def _piles(
    lots: set[int], keeps_days: Mapping[str, int], zone: ZoneInfo
) -> defaultdict[tuple[str, str], _Pile]:
    """Return what lies of each lot at each place, told entry by entry as it happened."""
    postings = (
        Posting.objects.filter(
            lot_id__in=lots,
            measure=Measure.GRAM.value,
            account__in=(Account.STORE.value, Account.UNEXPLAINED.value),
            entry__is_corrected=False,
        )
        .exclude(entry__kind=Kind.CORRECT.value)
        .order_by("entry__happened_at", "entry__client_id", "quantity", "id")
        .values_list(
            "entry__client_id",
            "entry__kind",
            "entry__happened_at",
            "lot__code",
            "lot__variety",
            "place__code",
            "quantity",
        )
    )
    said = _days_said(lots)
    piles: defaultdict[tuple[str, str], _Pile] = defaultdict(_Pile)
    for _, rows in groupby(postings, key=lambda row: row[0]):
        carried: dict[str, list[_Part]] = {}
        for entry, kind, at, lot, variety, place, grams in rows:
            day, pile = at.astimezone(zone).date(), piles[lot, place]
            if grams < 0:
                taken: list[_Part] = []
                for of_day, part in said.pop((entry, lot, place), []):
                    taken += pile.take_of(of_day, part)
                left = -grams - sum(part for _, part in taken)
                keeps, oldest = keeps_days.get(variety, 0), kind in _OLDEST_FIRST
                taken += pile.take(left, day, keeps, oldest=oldest)
                carried.setdefault(lot, []).extend(taken)
            elif kind == Kind.PICK.value:
                pile.put(day, grams)
            else:
                for picked_on, part in carried.pop(lot, [(None, grams)]):
                    pile.put(picked_on, part)
    return piles


def _days_said(lots: set[int]) -> dict[tuple[str, str, str], list[tuple[date, int]]]:
    """Return by entry, lot and place of which days' picking grams were taken."""
    rows = (
        Mention.objects.filter(lot_id__in=lots, role=OF_DAY, is_cancelled=False)
        .order_by("id")
        .values_list("entry__client_id", "lot__code", "place__code", "value", "count")
    )
    found: dict[tuple[str, str, str], list[tuple[date, int]]] = {}
    for entry, lot, place, value, count in rows:
        found.setdefault((entry, lot, place), []).append((date.fromisoformat(value), count))
    return found
