"""What the planner is asked: what is alive, what is promised, and what a day can hold.

All are frozen. Days are whole numbers counted from ``Problem.start`` (day 0 is today). Units may be
fractions where they are expected values. Weights are grams at this edge, money is in whole units of
the farm's currency and serves only to weigh one plan against another.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from datetime import date, timedelta

from pinset.planning.recipes import Picking, Recipe, Stay
from pinset.planning.resources import ColdKeeping, Resources
from pinset.planning.unpicked import STANDS_DAYS

DAYS_OF_WEEK = 7


@dataclass(frozen=True, slots=True)
class Stock:
    """Units of one lot that are or will be usable."""

    lot: str
    variety: str
    step: str  # of its making
    units: float  # usable units expected
    ready_day: int  # may be negative: usable since then
    last_day: int  # last usable day
    stays: tuple[Stay, ...] = ()  # until ready, with absolute days
    made_day: int = 0  # negative: how long ago
    alive: float = 0.0  # units standing now; more than ``units`` while some will still be lost
    cold: ColdKeeping | None = None  # where blocks would keep longer
    place: str = ""  # the shelf they stand on now; empty: on order
    keeps_day: int | None = None  # last day they really keep, where the plan counts on less
    is_first: bool = False  # a person decided that they are used before others

    @property
    def really_keeps(self) -> int:
        """The last day on which they could be used, whatever the plan counts on."""
        return self.last_day if self.keeps_day is None else max(self.last_day, self.keeps_day)


@dataclass(frozen=True, slots=True)
class InRoom:
    """Units of one lot already in a grow room, with what is still to be picked from them."""

    lot: str
    variety: str
    room: str
    units: float
    places: float  # in all
    leaves_day: int  # first day its places are free again
    picks: tuple[Picking, ...] = ()  # absolute days, grams of the whole lot
    climate: str = ""
    vessel: str = ""
    waits_days: float | None = None  # in the room before its first flush; None: was picked
    slowness: float = 1.0  # times the usual days that its months take


@dataclass(frozen=True, slots=True)
class InStore:
    """Picked mushrooms in the cold store."""

    variety: str
    grams: float
    last_day: int  # last day they can be sold


IN_STORE = -1
"""The day of what lies in the store, and of an order that leaves before today is picked."""


@dataclass(frozen=True, slots=True)
class Order:
    """One promise on one day."""

    promise: str
    words: str  # the buyer's name
    variety: str
    day: int  # of the last picking that can be in it; IN_STORE: today's cannot
    amount: float  # grams or units still to be handed over
    measure: str = "gram"
    step: str = "picked"  # or the step of the making whose units are sold
    promised: float = 0.0  # the whole amount
    due_after: int = 0  # days from ``day``, when it must be there, to the day it is handed over
    is_owed: bool = False  # it was due on an earlier day; it is no promise of today

    @property
    def due(self) -> int:
        """The day on which it is handed over."""
        return self.day + self.due_after


@dataclass(frozen=True, slots=True)
class Pinned:
    """Units of a step, or cooks of a kind, on one day, fixed by hand; 0: none."""

    code: str
    variety: str
    name: str  # of the variety
    step: str  # of a making, or of the fruiting: then units moved in
    day: int
    count: float  # still to be done
    refused: str = ""  # why it is not asked of the plan, in a sentence
    done: float = 0.0  # today already
    steriliser: str = ""  # of a cook, whose kind is ``step``; then there is no variety


@dataclass(frozen=True, slots=True)
class Weights:
    """Prices of the soft wishes; assumed, and used only to weigh plans."""

    culture_missing: float = 0.5  # per unit and event day
    spoiled_litre: float = 1.0  # of vessels that were begun and go into no cook
    moved_litre: float = 0.02  # of vessels that were begun for the cook of another day
    spare_missing: float = 0.3  # of the price of what is short, for what is spare
    end_missing: float = 1.5  # times what a unit costs to make
    rushed_minute: float = 0.2  # of filling vessels that does not fit before the loading
    small_move: float = 0.5  # for a move of one unit or two; a third of it for each unit missing


@dataclass(frozen=True, slots=True)
class Problem:
    """Everything one plan is made from."""

    start: date
    days: int
    whole_days: int
    recipes: tuple[Recipe, ...]
    orders: tuple[Order, ...] = ()
    stock: tuple[Stock, ...] = ()
    in_rooms: tuple[InRoom, ...] = ()
    store: tuple[InStore, ...] = ()
    pins: tuple[Pinned, ...] = ()
    resources: Resources = field(default_factory=Resources)
    weights: Weights = field(default_factory=Weights)
    whole_parent_days: int = 7  # parents are whole numbers so far; later the mean rounding is added
    has_end_stock: bool = True  # the chain is kept filled at the end of the horizon
    is_picked_any_day: bool = False  # also on days off; kept as long as if it had waited for them
    every_day: bool = False  # stock rows on every day that stock arrives, not only when it is used
    units: str = "metric"  # or "us": in what the reasons say a weight

    def date_of(self, day: int) -> date:
        """Return the date of a day number."""
        return self.start + timedelta(days=day)

    def weekday(self, day: int) -> int:
        """Return the weekday of a day number, Monday 0."""
        return (self.start.weekday() + day) % DAYS_OF_WEEK

    def picked(self, ripe: int, keeps_days: int) -> tuple[int, int] | None:
        """Return when what is ripe on a day is picked, and the last day it can be sold.

        None: it is spoilt before anybody comes. Picked on any day, it may hang as long as it stands
        or until somebody would come anyway, as is best for what it is picked for; then it is spoilt
        only if that was before today.
        """
        picked = self.resources.picked_on(ripe)
        if not self.is_picked_any_day:
            return None if picked is None else (picked, picked + keeps_days)
        latest = ripe + STANDS_DAYS if picked is None else picked
        return None if latest < 0 else (max(0, ripe), latest + keeps_days)

    def gathered(self, picks: Iterable[Picking], entered: int = 0) -> Iterator[tuple[int, Picking]]:
        """Yield what is picked of what ripens, each with its day; what is spoilt before is not.

        The days of ``picks`` count from ``entered``.
        """
        for pick in picks:
            day = self.resources.picked_on(entered + pick.day)
            if day is not None:
                yield day, pick

    def recipe(self, variety: str) -> Recipe | None:
        """Return the recipe of a variety, or None if it has none."""
        return next((recipe for recipe in self.recipes if recipe.variety == variety), None)
