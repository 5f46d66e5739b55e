"""Every lot's spells in the steps of its route, read from the whole ledger in four statements."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field, replace
from datetime import date, datetime
from typing import cast
from zoneinfo import ZoneInfo

from django.db.models import QuerySet

from pinset.chain.register import Route, StepKind
from pinset.chain.spells import Flushed, Spell
from pinset.chain.stages import Stage
from pinset.farm.entries import Account, Kind, Measure
from pinset.farm.models import Balance, Lot, Mention, Posting, RegisterRow
from pinset.farm.queries.told import Story
from pinset.farm.register_store import record_of

_TOLD = ("step", "moved", "since", "part", "flush")
_NOT_LIVING = (Stage.PREPARED.value, Stage.FRUIT.value)
_WANTED = ("id", "code", "variety", "step", "made_on", "route_id", "culture")


@dataclass(slots=True)
class _Event:
    """What one entry says of one lot."""

    at: datetime
    kind: str = ""
    change: defaultdict[str, int] = field(default_factory=lambda: defaultdict(int))  # by place
    told: list[tuple[str, str, int, str]] = field(default_factory=list)  # role, place, count, value


@dataclass(slots=True)
class _Open:
    """A spell while it is told."""

    days: list[date] = field(default_factory=list)  # on which units came in
    units: int = 0
    standing: int = 0
    lost: int = 0
    gone: int = 0  # lost or culled
    culled: list[tuple[int, int]] = field(default_factory=list)
    left_on: date | None = None
    spent: int = 0
    is_whole: bool = True
    flushes: dict[int, Flushed] = field(default_factory=dict)

    def come(self, units: int, day: date) -> None:
        """Let units come in."""
        self.units += units
        self.standing += units
        if day not in self.days:
            self.days.append(day)

    def leave(self, units: int, day: date) -> None:
        """Let units go on: used, sold, moved into the next step."""
        self.standing -= units
        self.left_on = self.left_on or day

    def pick(self, number: int, grams: int, standing: int, day: date) -> None:
        """Take in what was picked of so many standing units."""
        each = grams / standing
        before = self.flushes.get(number)
        self.flushes[number] = (
            Flushed(number, each, day, day, self.gone)
            if before is None
            else Flushed(
                number,
                before.grams_per_unit + each,
                before.first_on,
                max(before.last_on, day),
                before.gone_before,
            )
        )


class _Told:
    """The life of one lot, told entry by entry."""

    def __init__(self, step: str, made_on: date, fruiting: frozenset[str]) -> None:
        self.story = Story(step, made_on)
        self.fruiting = fruiting
        self.alive: defaultdict[str, int] = defaultdict(int)
        self.spells: defaultdict[str, _Open] = defaultdict(_Open)

    def take_in(self, event: _Event, day: date) -> None:
        """Let one entry happen."""
        into = {(place, value): count for role, place, count, value in event.told if role == "step"}
        if event.kind == Kind.MOVE:
            self._move(event, into, day)
        else:
            for place, units in event.change.items():
                self._count(event.kind, place, units, day)
        for role, place, count, value in event.told:
            if role == "flush":
                self._picked(count, value, day)
            self.story.tell(role, place, count, value, day)
            if role == "since":
                self.spells[self.story.at(place)[0]].days = [self.story.at(place)[1]]

    def _move(self, event: _Event, into: dict[tuple[str, str], int], day: date) -> None:
        sources = [place for place, units in event.change.items() if units < 0]
        for (place, step), count in into.items():
            before = self.story.at(sources[0] if sources else place)[0]
            if step != before:
                self.spells[before].leave(count, day)
                self.spells[step].come(count, day)
        for place, units in event.change.items():
            self.alive[place] += units

    def _count(self, kind: str, place: str, units: int, day: date) -> None:
        step, since = self.story.at(place)
        spell = self.spells[step]
        self.alive[place] += units
        if kind == Kind.CORRECT:  # counted again: so many were in it all the time
            spell.units += units
            spell.standing += units
        elif units >= 0:
            spell.come(units, day)
            spell.is_whole = spell.is_whole and kind != Kind.OPENING
        elif kind == Kind.LOSE:
            spell.lost -= units
            spell.gone -= units
            spell.standing += units
        elif kind == Kind.CULL:
            spell.culled.append(((day - since).days, -units))
            spell.gone -= units
            spell.standing += units
        elif kind == Kind.SPEND:
            spell.spent -= units
            spell.standing += units
        else:
            spell.leave(-units, day)

    def _picked(self, flush: int, value: str, day: date) -> None:
        standing: defaultdict[str, int] = defaultdict(int)
        for place, units in self.alive.items():
            standing[self.story.at(place)[0]] += units
        for step in self.fruiting & self.spells.keys():
            if value == "before":
                self.spells[step].is_whole = False
            elif standing[step] > 0:
                self.spells[step].pick(flush, int(value or 0), standing[step], day)


def spells(zone: ZoneInfo, *, variety: str = "") -> tuple[Spell, ...]:
    """Return what became of every lot in every step it was in, in the order of the lots.

    Parameters
    ----------
    zone : ZoneInfo
        Of the farm's clock.
    variety : str
        Code of a variety; empty for all.

    Returns
    -------
    tuple of Spell
        Prepared vessels and fruits taken for cloning are left out, and what was taken back. A lot
        that was alive when the farm was loaded is not whole in the step it was in that day, nor is
        one of which more was taken than stood there, or parts of which cannot be told apart.
    """
    lots = Lot.objects.filter(is_void=False, is_announced=False, route__isnull=False)
    lots = lots.exclude(stage__in=_NOT_LIVING)
    if variety:
        lots = lots.filter(variety=variety)
    known = list(lots.order_by("id").only(*_WANTED))
    fruiting = steps_of_kind({cast("int", lot.route_id) for lot in known}, StepKind.FRUIT)
    odd = set(
        Balance.objects.filter(account=Account.UNEXPLAINED.value, measure=Measure.UNIT.value)
        .exclude(quantity=0)
        .values_list("lot_id", flat=True)
    )
    events = _events(lots)
    found: list[Spell] = []
    days: dict[datetime, date] = {}
    for lot in known:
        told = _Told(lot.step, cast("date", lot.made_on), fruiting[cast("int", lot.route_id)])
        happened = events.get(lot.pk, {}).items()
        for _, event in sorted(happened, key=lambda each: (each[1].at, each[0])):
            if event.at not in days:
                days[event.at] = event.at.astimezone(zone).date()
            told.take_in(event, days[event.at])
        is_clear = lot.pk not in odd and not told.story.is_mixed
        found.extend(
            replace(each, culture=lot.culture)
            for each in _closed(told, lot.code, lot.variety, is_clear=is_clear)
        )
    return tuple(found)


def _closed(told: _Told, lot: str, variety: str, *, is_clear: bool) -> Iterator[Spell]:
    for step, spell in told.spells.items():
        if spell.units <= 0 or not spell.days:
            continue
        since = max(spell.days)
        yield Spell(
            lot=lot,
            variety=variety,
            step=step,
            since=since,
            units=spell.units,
            standing=spell.standing,
            lost=spell.lost,
            culled=tuple(spell.culled),
            left_after=(spell.left_on - since).days if spell.left_on else None,
            spent=spell.spent,
            is_whole=spell.is_whole and is_clear and spell.lost <= spell.units,
            is_together=len(spell.days) == 1,
            flushes=tuple(spell.flushes[number] for number in sorted(spell.flushes)),
        )


def _events(lots: QuerySet[Lot]) -> dict[int, dict[str, _Event]]:
    """Return what stands of each lot, by lot and entry."""
    events: defaultdict[int, dict[str, _Event]] = defaultdict(dict)
    postings = Posting.objects.filter(
        lot__in=lots.values("id"),
        account=Account.ALIVE.value,
        measure=Measure.UNIT.value,
        entry__is_corrected=False,
        entry__corrects_client="",
    ).values_list(
        "lot_id",
        "entry__client_id",
        "entry__happened_at",
        "entry__kind",
        "place__code",
        "quantity",
    )
    for lot, client, at, kind, place, quantity in postings:
        event = events[lot].setdefault(client, _Event(at, kind))
        event.change[place] += quantity
    mentions = (
        Mention.objects.filter(lot__in=lots.values("id"), role__in=_TOLD, is_cancelled=False)
        .order_by("id")
        .values_list(
            "lot_id",
            "entry__client_id",
            "entry__happened_at",
            "entry__kind",
            "role",
            "place__code",
            "count",
            "value",
        )
    )
    for lot, client, at, kind, role, place, count, value in mentions:
        event = events[lot].setdefault(client, _Event(at, kind))
        event.told.append((role, place, count, value))
    return events


def steps_of_kind(numbers: Iterable[int], *kinds: StepKind) -> dict[int, frozenset[str]]:
    """Return the steps of these kinds of routes, by the number of their version."""
    rows = RegisterRow.objects.filter(pk__in=set(numbers))
    return {
        row.pk: frozenset(
            step.code for step in cast("Route", record_of(row)).steps if step.kind in kinds
        )
        for row in rows
    }
