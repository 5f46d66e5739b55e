"""Which units of lots that stand were seen contaminated and not taken out since.

Of most lots nobody saw that, or all of it was taken out: their looks and losses say so, and only of
the others everything that happened is read.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime

from pinset.chain.seen_contaminated import LeftStanding, contaminating
from pinset.farm.entries import Account, Kind, Measure
from pinset.farm.models import Balance, Entry, Mention, Posting
from pinset.farm.queries.looks import ROLE, TAKEN_OUT

_GONE = frozenset({Kind.LOSE.value, Kind.CULL.value, Kind.SPEND.value})


@dataclass(slots=True)
class _Event:
    """What one entry says of one lot."""

    at: datetime
    entry: str
    kind: str
    change: int = 0  # of the units alive
    looked: Counter[str] = field(default_factory=Counter)  # units, by place
    seen: int = 0
    signs: tuple[str, ...] = ()

    @property
    def turn(self) -> tuple[datetime, bool, str]:
        """What was taken out in the tap of a look comes after it."""
        return self.at, self.kind != Kind.LOOK.value, self.entry


def left_standing(rows: Sequence[Balance]) -> defaultdict[tuple[int, str], LeftStanding]:
    """Return what was seen contaminated and stands, by row number of the lot and place.

    Parameters
    ----------
    rows : sequence of Balance
        Where units of which lots stand; each lot with all its places.
    """
    standing: defaultdict[int, dict[str, int]] = defaultdict(dict)
    for row in rows:
        standing[row.lot_id][row.place.code] = row.quantity
    found: defaultdict[tuple[int, str], LeftStanding] = defaultdict(LeftStanding)
    for number, left in _left(standing).items():
        for place, here in left.at_places(standing[number]).items():
            found[number, place] = here
    return found


@dataclass(frozen=True, slots=True)
class SeenBad:
    """Units of one lot that were seen contaminated and not taken out."""

    units: int
    alive: int  # of the whole lot
    signs: tuple[str, ...]  # keys of the table of signs


def seen_bad(lots: Collection[str]) -> dict[str, SeenBad]:
    """Return what was seen contaminated and stands of these lots, by code; of others nothing."""
    rows = _alive(lots)
    codes = {row.lot_id: row.lot.code for row in rows}
    alive: Counter[int] = Counter()
    for row in rows:
        alive[row.lot_id] += row.quantity
    found: dict[str, SeenBad] = {}
    for (number, _), here in left_standing(rows).items():
        before = found.get(codes[number])
        units = here.units + (before.units if before else 0)
        found[codes[number]] = SeenBad(units, alive[number], here.signs)
    return found


def seen_bad_at(lots: Collection[str]) -> dict[tuple[str, str], int]:
    """Return how many units of these lots were seen contaminated and stand, by lot and place."""
    rows = _alive(lots)
    codes = {row.lot_id: row.lot.code for row in rows}
    return {
        (codes[number], place): here.units for (number, place), here in left_standing(rows).items()
    }


def _alive(lots: Collection[str]) -> list[Balance]:
    alive = Balance.objects.filter(
        account=Account.ALIVE.value, quantity__gt=0, lot__code__in=list(lots)
    )
    return list(alive.select_related("lot", "place"))


def _left(numbers: Collection[int]) -> dict[int, LeftStanding]:
    looks = _looks(numbers)
    at_most = _with_changes(looks, (*TAKEN_OUT, Account.SPENT)) if looks else {}
    looks = {lot: looks[lot] for lot, each in at_most.items() if _told(each, at_most=True).units}
    exact = _with_changes(looks, (Account.ALIVE,)) if looks else {}
    return {lot: _told(events, at_most=False) for lot, events in exact.items()}


def _told(events: Iterable[_Event], *, at_most: bool) -> LeftStanding:
    """Return what is left; at most, where only what was taken out is known of the changes."""
    left, alive = LeftStanding(), 0
    for event in sorted(events, key=lambda each: each.turn):
        if event.looked:
            of, place = sum(event.looked.values()), max(event.looked, key=event.looked.__getitem__)
            left.look(of, event.seen, of + 1 if at_most else alive, event.signs, place)
        alive += event.change
        if event.kind in _GONE and event.change < 0:
            left.go(-event.change)
    if not at_most:
        left.units = min(left.units, max(0, alive))
    return left


def _looks(numbers: Collection[int]) -> dict[int, dict[int, _Event]]:
    """Return the looks at each of these lots that was seen contaminated, by lot and entry."""
    mentions = Mention.objects.filter(lot_id__in=numbers, role=ROLE, is_cancelled=False)
    rows = list(mentions.values_list("lot_id", "entry_id", "place__code", "count"))
    entries = Entry.objects.in_bulk({row[1] for row in rows})
    said = {number: each for number, each in entries.items() if each.kind == Kind.LOOK.value}
    seen = {
        number
        for number, each in said.items()
        if each.details.get("seen") and contaminating().intersection(each.details.get("signs", ()))
    }
    suspect = {lot for lot, number, *_ in rows if number in seen}
    rows = [row for row in rows if row[0] in suspect]
    several = _of_several({number for _, number, *_ in rows}) if rows else set()
    events: defaultdict[int, dict[int, _Event]] = defaultdict(dict)
    for lot, number, place, count in rows:
        if number in several or number not in said:  # several: too little to take back what is seen
            continue
        entry = said[number]
        event = events[lot].setdefault(
            number, _Event(entry.happened_at, entry.client_id, Kind.LOOK.value)
        )
        event.looked[place] += count
        if number in seen:
            signs = entry.details["signs"]
            event.signs = tuple(sign for sign in signs if sign in contaminating())
            event.seen = int(entry.details["seen"])
    return events


def _with_changes(
    looks: Mapping[int, Mapping[int, _Event]], accounts: Sequence[Account]
) -> dict[int, list[_Event]]:
    """Return the looks at lots beside what came to some accounts, as changes of those alive."""
    found = {lot: dict(events) for lot, events in looks.items()}
    postings = Posting.objects.filter(
        lot_id__in=looks.keys(),
        account__in=[account.value for account in accounts],
        measure=Measure.UNIT.value,
        entry__is_corrected=False,
        entry__corrects_client="",
    ).values_list("lot_id", "account", "quantity", "entry_id", "entry__happened_at",
                  "entry__client_id", "entry__kind")  # fmt: skip
    for lot, account, quantity, number, at, client, kind in postings:
        event = found[lot].setdefault(number, _Event(at, client, kind))
        event.change += quantity if account == Account.ALIVE.value else -quantity
    return {lot: list(events.values()) for lot, events in found.items()}


def _of_several(entries: set[int]) -> set[int]:
    """Return the looks that were at several lots."""
    lots: defaultdict[int, set[int]] = defaultdict(set)
    mentioned = Mention.objects.filter(entry_id__in=entries, role=ROLE)
    for number, lot in mentioned.values_list("entry_id", "lot_id"):
        lots[number].add(lot)
    return {number for number, found in lots.items() if len(found) > 1}
