"""The living state of the demo farm while it is simulated: lots, shelves and picked weight."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import date, timedelta

from pinset.chain.keeping import keeping_days
from pinset.chain.register import FarmBook, Room, RoomKind, Route, Step, StepKind
from pinset.demo.nature import SOUND, Vigour


@dataclass(slots=True)
class FlushDue:
    """What one flush of a lot will bring."""

    number: int
    days: list[tuple[date, float]]  # day and grams per unit still standing


@dataclass(slots=True)
class Lot:
    """A living lot with what nobody sees yet."""

    code: str
    variety: str
    route: Route
    step: Step
    made_on: date
    made: int
    alive: int
    place: str
    temperature_c: float
    culture: str = ""
    cook: str = ""
    session: str = ""
    generation: int = 0
    transfers: int = 0
    vigour: Vigour = SOUND
    blame: dict[str, float] = field(default_factory=dict)  # odds by truth; of a parent its share
    since: date = date.min  # the present step's first day
    ready_on: date = date.max
    going: list[tuple[date, str]] = field(default_factory=list)  # day a unit shows, and as what
    flushes: list[FlushDue] = field(default_factory=list)
    yield_factor: float = 1.0
    expected_on: date | None = None  # a person's judgement of a late block
    stored_on: date = date.min  # the day it was carried into the cold store
    life: float = 1.0  # share of its keeping time that was left that day

    @property
    def key(self) -> tuple[str, str]:
        """Variety and present step."""
        return self.variety, self.step.code

    def keeps_until(self) -> date:
        """Return the last day the units may be used, from the day they were truly ready."""
        keeps = self.life * keeping_days(self.step, self.temperature_c)
        return max(self.ready_on, self.stored_on) + timedelta(days=math.floor(keeps))

    def is_usable(self, today: date) -> bool:
        """Say whether units may be used today."""
        return self.alive > 0 and self.ready_on <= today <= self.keeps_until()


@dataclass(slots=True)
class Prepared:
    """Cooked vessels in which nothing lives yet."""

    code: str
    variety: str
    step: str
    made_on: date
    alive: int
    cook: str
    place: str


@dataclass(slots=True)
class Crate:
    """Picked grams of one lot in the cold room."""

    lot: str
    variety: str
    picked_on: date
    grams: int


class Shelves:
    """Which shelf has room."""

    def __init__(self, book: FarmBook) -> None:
        self.book = book
        self.room_of = {shelf.code: room for room in book.rooms for shelf in room.shelves}
        self.holds = {shelf.code: shelf.holds for room in book.rooms for shelf in room.shelves}
        self.used: dict[str, float] = defaultdict(float)

    def room_for(self, step: Step) -> Room:
        """Return the room a step stands in."""
        rooms = self.book.rooms
        if step.kind is StepKind.FRUIT:
            return next(room for room in rooms if step.climate in room.climates)
        kind = RoomKind.COLD if step.code == "tube" else step.room
        fitting = [room for room in rooms if room.kind is kind]
        return min(fitting, key=lambda room: abs(room.temperature_c - step.temperature_c))

    def find(self, room: Room, places: float) -> str | None:
        """Return the first shelf of a room with enough places, or None."""
        for shelf in room.shelves:
            if self.used[shelf.code] + places <= shelf.holds:
                return shelf.code
        return None

    def emptiest(self, room: Room) -> str:
        """Return the shelf of a room with the most places left."""
        return max(room.shelves, key=lambda s: (s.holds - self.used[s.code], s.code)).code


class Stock:
    """Everything alive, in order of making."""

    def __init__(self, shelves: Shelves) -> None:
        self.shelves = shelves
        self.lots: dict[tuple[str, str], list[Lot]] = defaultdict(list)
        self.prepared: dict[tuple[str, str], list[Prepared]] = defaultdict(list)
        self.crates: dict[str, list[Crate]] = defaultdict(list)

    def add(self, lot: Lot) -> None:
        """Put a lot on its shelf."""
        self.lots[lot.key].append(lot)
        self.shelves.used[lot.place] += lot.alive * lot.step.places

    def pick(self, lot: Lot, grams: int, day: date) -> None:
        """Put what was picked of a lot into the cold room."""
        self.crates[lot.variety].append(Crate(lot.code, lot.variety, day, grams))

    def change(self, lot: Lot, units: int) -> None:
        """Take units off a lot; an empty lot leaves the stock."""
        lot.alive -= units
        self.shelves.used[lot.place] -= units * lot.step.places
        if lot.alive <= 0:
            self.lots[lot.key].remove(lot)

    def move(self, lot: Lot, step: Step, place: str, day: date) -> None:
        """Bring a lot into its next step, on another shelf."""
        self.lots[lot.key].remove(lot)
        self.shelves.used[lot.place] -= lot.alive * lot.step.places
        lot.step, lot.place, lot.since, lot.expected_on = step, place, day, None
        lot.temperature_c = self.shelves.room_of[place].temperature_c
        self.add(lot)

    def store(self, lot: Lot, place: str, day: date) -> None:
        """Carry a lot into the cold, where the rest of its life lasts longer."""
        keeps = keeping_days(lot.step, lot.temperature_c)
        spent = max(0, (day - lot.ready_on).days) / keeps if keeps > 0.0 else 1.0
        lot.life, lot.stored_on = max(0.0, 1.0 - spent), day
        self.shelves.used[lot.place] -= lot.alive * lot.step.places
        lot.place, lot.temperature_c = place, self.shelves.room_of[place].temperature_c
        self.shelves.used[place] += lot.alive * lot.step.places

    def all(self) -> Iterator[Lot]:
        """Yield every living lot, in a fixed order."""
        for key in sorted(self.lots):
            yield from list(self.lots[key])

    def usable(self, variety: str, step: str, today: date) -> list[Lot]:
        """Return usable lots, those that were ready first first."""
        lots = [lot for lot in self.lots[variety, step] if lot.is_usable(today)]
        return sorted(lots, key=lambda lot: (lot.ready_on, lot.made_on, lot.code))

    def position(self, variety: str, step: str, today: date) -> int:
        """Return the units usable now or still growing."""
        return sum(lot.alive for lot in self.lots[variety, step] if today <= lot.keeps_until())

    def all_prepared(self) -> Iterator[Prepared]:
        """Yield all prepared vessels, in a fixed order."""
        for key in sorted(self.prepared):
            yield from self.prepared[key]

    def forget_empty(self) -> None:
        """Forget prepared lots and crates with nothing left."""
        for key, lots in self.prepared.items():
            self.prepared[key] = [lot for lot in lots if lot.alive > 0]
        for variety, crates in self.crates.items():
            self.crates[variety] = [crate for crate in crates if crate.grams > 0]
