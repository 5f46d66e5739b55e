"""The history of every lot while it grows, read from the whole ledger in a few statements."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass, field
from datetime import UTC, datetime, time
from typing import Any, cast
from zoneinfo import ZoneInfo

from django.db.models import QuerySet

from pinset.chain.histories import HistoryTeller, LotHistory, Shared
from pinset.chain.register import StepKind
from pinset.chain.stages import Stage
from pinset.farm.entries import Account, Kind, Measure
from pinset.farm.models import Link, Lot, Mention, Posting
from pinset.farm.queries.looks import ROLE
from pinset.farm.queries.spells import steps_of_kind

_NOT_LIVING = (Stage.PREPARED.value, Stage.FRUIT.value)
_DAY_S = 86_400.0
_UNSEEN = frozenset({Kind.CULL.value, Kind.SPEND.value})
"""Units that go for another cause than what they are wanted for: nobody says they were clean."""
_STEP = "step"

GROWS_DAYS = 21.0
"""Age up to which the place counts where a lot stands: what gets in later, in a cold store, is
little; our own choice."""


@dataclass(slots=True)
class _Event:
    """What one entry says of one lot."""

    client: str
    at: datetime
    kind: str
    details: Mapping[str, Any]
    change: Counter[str] = field(default_factory=Counter)  # alive units, by place
    into: list[tuple[str, str, int]] = field(default_factory=list)  # step moved into, place, units
    looked: Counter[str] = field(default_factory=Counter)  # units, by place
    is_of_this_lot: bool = True  # what a look says; of several lots at once it says nothing seen


@dataclass(frozen=True, slots=True)
class _Facts:
    """What is known of a lot from its making."""

    number: int
    code: str
    variety: str
    step: str
    stage: str
    made_at: datetime
    later: frozenset[str]  # steps in which the same units go on: ripening, fruiting
    shared: dict[Shared, str]
    open_min: float | None


def histories(zone: ZoneInfo, contaminating: Collection[str]) -> tuple[LotHistory, ...]:
    """Return how every lot fared while it grew, in the order of the lots.

    Parameters
    ----------
    zone : ZoneInfo
        Of the farm's clock; a lot of which only the day of its making is known was made at noon.
    contaminating : collection of str
        Keys of the signs by which units are lost; units that show others go on growing.

    Returns
    -------
    tuple of LotHistory
        Prepared vessels, fruits, and lots that came to be known only in a later step (ripening,
        fruiting) are left out, and so is what was taken back.
    """
    lots = Lot.objects.filter(is_void=False, is_announced=False, route__isnull=False)
    lots = lots.exclude(stage__in=_NOT_LIVING)
    events = _events(lots)
    parents, mixes = _parents(lots)
    found = []
    for facts in _facts(lots, zone, parents, mixes):
        told = _told(facts, events.get(facts.number, {}).values(), contaminating)
        if told is not None:
            found.append(told)
    return tuple(found)


def _facts(
    lots: QuerySet[Lot], zone: ZoneInfo, parents: Mapping[int, str], mixes: Mapping[int, str]
) -> Iterable[_Facts]:
    rows = list(
        lots.order_by("id").values_list(
            *("id", "code", "variety", "step", "stage", "route_id", "made_on", "cook", "culture"),
            *("session", "bought_from", "made_by__happened_at", "made_by__kind"),
            *("made_by__person__code", "made_by__details"),
        )
    )
    later = steps_of_kind({cast("int", row[5]) for row in rows}, StepKind.STAND, StepKind.FRUIT)
    work = _Work(zone)
    for row in rows:
        number, code, variety, step, stage, route, made_on, cook, culture = row[:9]
        session, bought_from, happened_at, kind, person, details = row[9:]
        is_made_here = kind in {Kind.INOCULATE.value, Kind.CLONE.value}
        shared = {
            Shared.COOK: cook,
            Shared.PARENT: parents.get(number, bought_from),
            Shared.LINE: culture,
            Shared.MIX: mixes.get(number, ""),
            Shared.SESSION: session or (work.of(person, happened_at) if is_made_here else ""),
            Shared.PERSON: (person or "") if is_made_here else "",
        }
        minutes = (details or {}).get("open_min") if is_made_here else None
        made_at = happened_at
        if not is_made_here or happened_at is None:
            made_at = datetime.combine(made_on, time(12), zone).astimezone(UTC)
        yield _Facts(
            number=number,
            code=code,
            variety=variety,
            step=step,
            stage=stage,
            made_at=made_at,
            later=later[cast("int", route)],
            shared={name: level for name, level in shared.items() if level},
            open_min=float(minutes) if minutes is not None else None,
        )


class _Work:
    """Names what stands for the session of transfers made in none: a person's work of a day.

    Nobody is named: the first to be met on a day has number 1.
    """

    def __init__(self, zone: ZoneInfo) -> None:
        self.zone = zone
        self._turns: defaultdict[str, dict[str, int]] = defaultdict(dict)

    def of(self, person: str | None, at: datetime) -> str:
        if not person:
            return ""
        day = at.astimezone(self.zone).date().isoformat()
        turns = self._turns[day]
        return f"transfers {day} {turns.setdefault(person, len(turns) + 1)}"


def _told(
    facts: _Facts, events: Iterable[_Event], contaminating: Collection[str]
) -> LotHistory | None:
    if facts.step in facts.later:
        return None
    teller = HistoryTeller()
    order = sorted(events, key=lambda each: (each.at, each.kind != Kind.LOOK.value))
    in_looks: Counter[str] = Counter()
    for event in order:
        if event.kind == Kind.LOSE.value and "look" in event.details:
            in_looks[str(event.details["look"])] -= sum(event.change.values())
    stood: defaultdict[str, float] = defaultdict(float)
    alive: Counter[str] = Counter()
    before, gone_on = 0.0, set[str]()
    for event in order:
        age = max(0.0, (event.at - facts.made_at).total_seconds() / _DAY_S)
        for place, units in alive.items():
            stood[place] += units * max(0.0, min(age, GROWS_DAYS) - before)
        before = max(before, age)
        if event.kind == Kind.LOOK.value:
            _look(teller, event, age, in_looks[event.client], contaminating, gone_on)
        elif not (event.kind == Kind.LOSE.value and str(event.details.get("look", "")) in in_looks):
            _take_in(teller, event, age, alive, gone_on)
            gone = _gone_on(event, facts.later, gone_on)
            teller.leave(age, gone, is_seen=True)
        alive.update(event.change)
    shared = dict(facts.shared)
    longest = max(stood, key=lambda place: (stood[place], place), default="")
    if longest and stood[longest] > 0.0:
        shared[Shared.PLACE] = longest
    return LotHistory(
        lot=facts.code,
        variety=facts.variety,
        step=facts.step,
        stage=Stage(facts.stage),
        made_at=facts.made_at,
        units=teller.units,
        standing=teller.standing,
        seen=teller.seen,
        shared=shared,
        open_min=facts.open_min,
    )


def _gone_on(event: _Event, later: Collection[str], gone_on: set[str]) -> int:
    """Return how many units a move carries into a later step, and remember to which shelves."""
    went = [(place, units) for step, place, units in event.into if step in later]
    gone_on.update(place for place, _ in went)
    return sum(units for _, units in went)


def _look(
    teller: HistoryTeller,
    event: _Event,
    age: float,
    out: int,
    contaminating: Collection[str],
    gone_on: Collection[str],
) -> None:
    """Take in a look and what was taken out in its tap; what went on left before."""
    of = sum(units for place, units in event.looked.items() if place not in gone_on)
    if not of:
        return
    said = event.details if event.is_of_this_lot else {}
    signs = tuple(sign for sign in said.get("signs", ()) if sign in contaminating)
    seen = int(said.get("seen", 0)) if signs else 0
    teller.look(age, of, seen, out, signs=signs, where=str(said.get("where", "")))


def _take_in(
    teller: HistoryTeller,
    event: _Event,
    age: float,
    alive: Mapping[str, int],
    gone_on: Collection[str],
) -> None:
    """Take in an entry that moved units which still grow."""
    changed = {place: units for place, units in event.change.items() if place not in gone_on}
    change = sum(changed.values())
    if event.kind == Kind.MOVE.value:
        return
    if event.kind == Kind.LOSE.value:
        near = sum(max(0, alive[place]) for place, units in changed.items() if units < 0)
        signs = tuple(event.details.get("signs", ()))
        teller.look(age, max(near, -change), -change, -change, signs=signs)
    elif event.kind == Kind.CORRECT.value:
        teller.recount(change)
    elif change > 0:
        teller.come(change, age)
    elif change < 0:
        teller.leave(age, -change, is_seen=event.kind not in _UNSEEN)


def _events(lots: QuerySet[Lot]) -> dict[int, dict[str, _Event]]:
    """Return what stands of each lot, by lot and entry."""
    events: defaultdict[int, dict[str, _Event]] = defaultdict(dict)
    of_entry = ("entry__client_id", "entry__happened_at", "entry__kind", "entry__details")
    postings = Posting.objects.filter(
        lot__in=lots.values("id"),
        account=Account.ALIVE.value,
        measure=Measure.UNIT.value,
        entry__is_corrected=False,
        entry__corrects_client="",
    )
    for lot, place, quantity, client, at, kind, details in postings.values_list(
        "lot_id", "place__code", "quantity", *of_entry
    ):
        event = events[lot].setdefault(client, _Event(client, at, kind, details))
        event.change[place] += quantity
    lots_of: Counter[str] = Counter()
    looks: list[_Event] = []
    mentions = Mention.objects.filter(
        lot__in=lots.values("id"), role__in=(ROLE, _STEP), is_cancelled=False
    )
    for lot, role, place, count, value, client, at, kind, details in mentions.values_list(
        "lot_id", "role", "place__code", "count", "value", *of_entry
    ):
        event = events[lot].setdefault(client, _Event(client, at, kind, details))
        if role == _STEP:
            event.into.append((value, place, count))
        elif kind == Kind.LOOK.value:
            if not event.looked:
                lots_of[client] += 1
                looks.append(event)
            event.looked[place] += count
    for event in looks:
        event.is_of_this_lot = lots_of[event.client] == 1
    return events


def _parents(lots: QuerySet[Lot]) -> tuple[dict[int, str], dict[int, str]]:
    """Return the parent lot, and the prepared vessels' lot, that gave most units to each lot.

    Vessels prepared for one lot alone are shared with none and left out.
    """
    given: defaultdict[tuple[int, bool], Counter[str]] = defaultdict(Counter)
    links = Link.objects.filter(child__in=lots.values("id"), is_cancelled=False)
    for child, parent, stage, units in links.values_list(
        "child_id", "parent__code", "parent__stage", "units"
    ):
        given[child, stage == Stage.PREPARED.value][parent] += max(units, 1)
    parents: dict[int, str] = {}
    mixes: dict[int, str] = {}
    into = Counter(lot for (_, is_prepared), by in given.items() if is_prepared for lot in by)
    for (child, is_prepared), by_lot in given.items():
        most = max(by_lot, key=lambda code: (by_lot[code], code))
        if not is_prepared:
            parents[child] = most
        elif into[most] > 1:
            mixes[child] = most
    return parents, mixes
