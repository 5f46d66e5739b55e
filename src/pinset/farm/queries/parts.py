"""Parts of a lot that came to one place on different days: each keeps its own day there.

They are told from the postings, in the order in which things happened. What is lost, used, cleared
or moved on is taken from the part that stands there longest; units that are moved into a step are
taken from those that are not in it yet. A pick counts for the parts that can bear by then.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date, datetime, timedelta
from zoneinfo import ZoneInfo

from pinset.chain.bearing import EARLY_SHARE
from pinset.chain.register import Route, StepKind
from pinset.farm.entries import Account, Measure
from pinset.farm.models import Mention, Posting

_TOLD = ("step", "since", "keeps", "part", "ready", "flush")


@dataclass(frozen=True, slots=True)
class Part:
    """Units that stand at a place in one step since one day."""

    step: str
    since: date
    units: int
    flush: int = 0  # flushes picked of these units
    flush_g: float = 0.0  # of the last one [g]
    lot_flush: int = 0  # the number which that flush has for the whole lot
    last_picked_on: date | None = None
    stood: tuple[tuple[str, date], ...] = ()  # where it stood before in its step, until when
    keeps: date | None = None  # told: until when it would have kept where it stood first

    def cut(self, units: int) -> Part:
        """Return so many of the units, with their share of what was picked."""
        return replace(self, units=units, flush_g=self.flush_g * units / self.units)


@dataclass(slots=True)
class _Event:
    """What one entry says of one lot."""

    day: date
    change: defaultdict[str, int] = field(default_factory=lambda: defaultdict(int))  # by place
    told: list[tuple[str, str, int, str]] = field(default_factory=list)  # role, place, count, value


class _Lot:
    """The parts of one lot, by place, in the order in which they came."""

    def __init__(self, step: str, made_on: date, route: Route) -> None:
        """Begin with nothing."""
        self.step, self.made_on = step, made_on
        self.lows = {
            s.code: s.days.low * min((1.0, *s.days_by_month))
            for s in route.steps
            if s.kind is StepKind.FRUIT
        }
        self.places: defaultdict[str, list[Part]] = defaultdict(list)

    def take_in(self, event: _Event) -> None:
        """Let one entry happen."""
        into: dict[str, list[tuple[str, int]]] = defaultdict(list)
        for role, place, count, value in event.told:
            if role == "step" and place:
                into[place].append((value, count))
        steps = {step for said in into.values() for step, _ in said}
        carried: list[Part] = []
        for place, change in event.change.items():
            if change < 0:
                carried += [
                    replace(part, stood=(*part.stood, (place, event.day)))
                    for part in self._out(place, -change, not_in=steps)
                ]
        for place, change in event.change.items():
            if change > 0:
                self._bring(place, change, carried, event.day, into[place])
        self._begin_where_they_stand(event, into)
        for role, place, count, value in event.told:
            self._tell(role, place, count, value, event.day)

    def _begin_where_they_stand(
        self, event: _Event, into: Mapping[str, Sequence[tuple[str, int]]]
    ) -> None:
        """Let units begin a step that were not carried anywhere."""
        for place, said in into.items():
            brought = max(0, event.change.get(place, 0))
            for step, count in said:
                if count > brought:
                    self._begin(place, count - brought, step, event.day)
                brought = max(0, brought - count)

    def standing(self, place: str, units: int) -> tuple[Part, ...]:
        """Return what stands at a place, fitted to what the books hold, the oldest first."""
        parts = list(self.places[place])
        beyond = sum(part.units for part in parts) - units
        if beyond > 0:
            _taken(parts, beyond, ())
        elif beyond < 0:
            self._add(parts, -beyond)
        return tuple(sorted(_merged(parts), key=lambda part: part.since))

    def _add(self, parts: list[Part], units: int) -> None:
        """Add units of which nobody said since when: to the youngest there, else as made."""
        if not parts:
            parts.append(Part(self.step, self.made_on, units))
            return
        last = max(range(len(parts)), key=lambda n: parts[n].since)
        parts[last] = replace(parts[last], units=parts[last].units + units)

    def _out(self, place: str, units: int, *, not_in: Iterable[str]) -> list[Part]:
        return _taken(self.places[place], units, frozenset(not_in))

    def _bring(
        self,
        place: str,
        units: int,
        carried: list[Part],
        day: date,
        into: Sequence[tuple[str, int]],
    ) -> None:
        """Set units down at a place, as they were carried or in the step they were moved into."""
        step, here = (into[0][0] if into else ""), self.places[place]
        came = _taken(carried, units, ())
        for part in came:
            keeps = not step or part.step == step
            here.append(part if keeps else Part(step, day, part.units))
        left = units - sum(part.units for part in came)
        if left > 0 and step:
            here.append(Part(step, day, left))
        elif left > 0:
            self._add(here, left)

    def _begin(self, place: str, units: int, step: str, day: date) -> None:
        """Let units begin a step where they stand."""
        here = self.places[place]
        ready = [part for part in here if part.step != step]
        others = [part for part in here if part.step == step]
        begun = sum(part.units for part in _taken(ready, units, ()))
        self.places[place] = [*ready, *others, *([Part(step, day, begun)] if begun else [])]

    def _tell(self, role: str, place: str, count: int, value: str, day: date) -> None:
        everywhere = [place] if place else list(self.places)
        if role == "step" and not place:
            for each in everywhere:
                self.places[each] = [Part(value, day, part.units) for part in self.places[each]]
        elif role == "since":
            since = date.fromisoformat(value)
            for each in everywhere:
                self.places[each] = [replace(part, since=since) for part in self.places[each]]
        elif role in {"keeps", "ready"}:
            keeps = date.fromisoformat(value) if role == "keeps" else None
            for each in everywhere:
                self.places[each] = [replace(part, keeps=keeps) for part in self.places[each]]
        elif role == "part":
            self._opened_with(place, count, value)
        elif role == "flush":
            self._picked(place, count, value, day)

    def _opened_with(self, place: str, count: int, value: str) -> None:
        """Date the first units of a place, those of which nothing was said yet."""
        since, step, keeps, *_ = (*value.split(" "), "", "")
        kept = date.fromisoformat(keeps) if keeps else None
        here, dated = self.places[place], list[Part]()
        while count > 0 and here:
            first = here.pop(0)
            if first.units > count:
                here.insert(0, first.cut(first.units - count))
                first = first.cut(count)
            count -= first.units
            dated.append(
                replace(
                    first,
                    step=step or first.step,
                    since=date.fromisoformat(since),
                    keeps=kept,
                )
            )
        here.extend(dated)

    def _picked(self, place: str, flush: int, value: str, day: date) -> None:
        """Count a pick for the units that can bear, those at the place where it grew if known."""
        found = self._bearing([place], day) if place else []
        found = found or self._bearing(list(self.places), day)
        if value == "before":  # the lot's opening: of all its fruiting units
            found = self._fruiting(list(self.places))
        units = sum(self.places[at][n].units for at, n in found)
        for at, n in found:
            part = self.places[at][n]
            if flush > part.lot_flush:
                number = flush if value == "before" else part.flush + 1
                part = replace(part, flush=number, flush_g=0.0, lot_flush=flush)
            if value != "before":
                grams = int(value or 0) * part.units / units
                last = part.flush_g + (grams if flush == part.lot_flush else 0.0)
                part = replace(part, flush_g=last, last_picked_on=day)
            self.places[at][n] = part

    def _fruiting(self, places: Iterable[str]) -> list[tuple[str, int]]:
        return [
            (place, n)
            for place in places
            for n, part in enumerate(self.places[place])
            if part.step in self.lows
        ]

    def _bearing(self, places: Iterable[str], day: date) -> list[tuple[str, int]]:
        """Return the fruiting units that can bear on a day; the oldest of them, if none can."""
        fruiting = self._fruiting(places)
        able = []
        for place, n in fruiting:
            part = self.places[place][n]
            shortest = timedelta(days=round(self.lows[part.step] * EARLY_SHARE))
            if part.flush or day >= part.since + shortest:
                able.append((place, n))
        if able or not fruiting:
            return able
        oldest = min(self.places[place][n].since for place, n in fruiting)
        return [(place, n) for place, n in fruiting if self.places[place][n].since == oldest]


def _taken(parts: list[Part], units: int, not_in: Iterable[str]) -> list[Part]:
    """Take units out of a list: those in other steps than said first, then those longest there."""
    steps, found = frozenset(not_in), list[Part]()
    while units > 0 and parts:
        n = min(range(len(parts)), key=lambda i: (parts[i].step in steps, parts[i].since))
        part = parts[n]
        here = min(units, part.units)
        found.append(part.cut(here))
        units -= here
        if here == part.units:
            parts.pop(n)
        else:
            parts[n] = part.cut(part.units - here)
    return found


def _merged(parts: Iterable[Part]) -> list[Part]:
    """Return the parts, those with the same step, day and flush as one."""
    found: dict[tuple[object, ...], Part] = {}
    for part in parts:
        key = (
            *(part.step, part.since, part.flush, part.lot_flush, part.last_picked_on),
            *(part.stood, part.keeps),
        )
        before = found.get(key)
        found[key] = (
            replace(before, units=before.units + part.units, flush_g=before.flush_g + part.flush_g)
            if before
            else part
        )
    return list(found.values())


def parts_of(
    begun: Mapping[int, tuple[str, date, Route]],
    standing: Mapping[tuple[int, str], int],
    zone: ZoneInfo,
) -> dict[tuple[int, str], tuple[Part, ...]]:
    """Return what stands at each place of these lots since which day.

    Parameters
    ----------
    begun : mapping
        Of each lot, by its number: the step it was made in, the day, and its route.
    standing : mapping
        Units that the books hold, by lot and place.
    zone : ZoneInfo
        Of the farm's clock.
    """
    events: dict[int, dict[str, _Event]] = {number: {} for number in begun}
    order: dict[str, datetime] = {}
    postings = (
        Posting.objects.filter(
            lot__in=list(begun),
            measure=Measure.UNIT.value,
            account__in=(Account.ALIVE.value, Account.UNEXPLAINED.value),
            entry__is_corrected=False,
            entry__corrects_client="",
        )
        .order_by("id")
        .values_list("lot_id", "entry__client_id", "entry__happened_at", "place__code", "quantity")
    )
    for lot, client, at, place, quantity in postings:
        order[client] = at
        event = events[lot].setdefault(client, _Event(at.astimezone(zone).date()))
        event.change[place] += quantity
    mentions = (
        Mention.objects.filter(lot__in=list(begun), role__in=_TOLD, is_cancelled=False)
        .order_by("id")
        .values_list(
            "lot_id",
            "entry__client_id",
            "entry__happened_at",
            "role",
            "place__code",
            "count",
            "value",
        )
    )
    for lot, client, at, role, place, count, value in mentions:
        order[client] = at
        event = events[lot].setdefault(client, _Event(at.astimezone(zone).date()))
        event.told.append((role, place, count, value))
    found: dict[tuple[int, str], tuple[Part, ...]] = {}
    for number, (step, made_on, route) in begun.items():
        lot_parts = _Lot(step, made_on, route)
        for client in sorted(events[number], key=lambda client: (order[client], client)):
            lot_parts.take_in(events[number][client])
        for (lot, place), units in standing.items():
            if lot == number:
                found[lot, place] = lot_parts.standing(place, units)
    return found
