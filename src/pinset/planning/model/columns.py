"""What the columns and rows of the planning programme mean."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field

from pinset.planning.model.need import Need
from pinset.planning.model.programme import Programme, Term
from pinset.planning.problem import Problem, Stock
from pinset.planning.reading.pegging import Key
from pinset.planning.recipes import Making, Recipe
from pinset.planning.resources import GrowRoom

GRAMS_PER_KG = 1000.0
WEEK = 7
DAILY_BEYOND_DAYS = 7  # days past the whole ones on which work is still limited day by day
MEAN_ROUNDING = 0.5  # of a parent per batch, where parents are not whole numbers
LEAST_CAPACITY = 0.5  # of any unit: a resource with less is not full but gone for the day


@dataclass(frozen=True, slots=True)
class Capacity:
    """A capacity row: which resource, on which day, and what more of it would cost."""

    row: int
    resource: str
    day: int
    capacity: float
    unit: str
    price: float
    varieties: frozenset[str]
    taken: float = 0.0  # by what is there already; not part of the row
    room: str = ""  # the grow room whose climate it is about, and that climate
    climate: str = ""


@dataclass(frozen=True, slots=True)
class PinRow:
    """A pin in the programme: its number in the problem, its row, what is missing or too much."""

    number: int
    row: int
    less: int
    more: int


@dataclass(frozen=True, slots=True)
class Fill:
    """Litres of one kind of vessel that the cooks of a day, or of a far week, are filled with."""

    column: int
    steriliser: str
    kind: str
    vessel: str  # empty: whatever is not counted
    day: int  # of a far week the first
    serves: int  # the latest cook day of the soonest start they may go into


@dataclass(frozen=True, slots=True)
class Given:
    """Litres that vessels which stand prepared give to the starts of a mix on a day."""

    column: int
    number: int  # of what stands, in the problem
    kind: str
    mix: str
    day: int


@dataclass(slots=True)
class Model:
    """The programme with the meaning of its columns. Keys start with (recipe, making) numbers."""

    problem: Problem
    programme: Programme = field(default_factory=Programme)
    x: dict[tuple[int, int, int], int] = field(default_factory=dict)
    s: dict[tuple[int, int, int], int] = field(default_factory=dict)
    p: dict[tuple[int, int, int, int], int] = field(default_factory=dict)  # .., arc, day
    kept: dict[tuple[int, int, int], int] = field(default_factory=dict)
    v: dict[tuple[int, str, int], int] = field(default_factory=dict)  # recipe, room group, day
    made: dict[tuple[int, str, int], int] = field(default_factory=dict)  # whether v is, near days
    n: dict[tuple[str, str, int], int] = field(default_factory=dict)  # steriliser, kind, day
    fresh: dict[tuple[int, int, int], int] = field(default_factory=dict)  # recipe, due, day
    short: dict[Key, int] = field(default_factory=dict)
    climate: dict[tuple[str, str, int], int] = field(default_factory=dict)  # room, climate, day
    fills: list[Fill] = field(default_factory=list)  # of cooks that take vessels which are counted
    given: list[Given] = field(default_factory=list)
    fed: set[tuple[int, int, int]] = field(default_factory=set)  # starts in x that fills serve
    groups: dict[str, tuple[GrowRoom, ...]] = field(default_factory=dict)  # of like climate
    chill: dict[int, int] = field(default_factory=dict)  # of the problem's stock, kept cold
    events: dict[tuple[int, int], tuple[int, ...]] = field(default_factory=dict)
    stays: dict[tuple[int, int, int], float] = field(default_factory=dict)  # see model._stays
    needs: dict[int, tuple[Need, ...]] = field(default_factory=dict)
    wishes: list[int] = field(default_factory=list)  # missing at the end, cultures missing
    supply: dict[tuple[int, int, int], int] = field(default_factory=dict)  # stock rows by day
    capacities: list[Capacity] = field(default_factory=list)
    pins: list[PinRow] = field(default_factory=list)

    def is_whole(self, day: int) -> bool:
        """Whether decisions of a day are whole numbers."""
        return day < self.problem.whole_days

    def is_by_day(self, day: int) -> bool:
        """Whether a day is limited by itself, and not with the days of its week."""
        return day < self._far_from

    def bucket(self, day: int) -> int:
        """Return the day that stands for a day in the limits: itself, or its week when far."""
        return day if self.is_by_day(day) else self.week_of(day, self._far_from)

    def week_of(self, day: int, since: int) -> int:
        """Return the first day of a day's week, Monday or ``since`` where that is later.

        Weeks are those of the calendar, so that they are the same whichever day is planned on.
        """
        return max(since, day - self.problem.weekday(day))

    def days_of(self, bucket: int) -> range:
        """Return the days that the bucket which begins on a day stands for."""
        following = bucket + 1
        while following < self.problem.days and self.bucket(following) == bucket:
            following += 1
        return range(bucket, following)

    def in_bucket(self, row: Sequence[float], day: int) -> float:
        """Return what a row of daily amounts holds in the bucket that begins on a day."""
        days = self.days_of(day)
        return sum(row[days.start : days.stop])

    @property
    def _far_from(self) -> int:
        return self.problem.whole_days + DAILY_BEYOND_DAYS


def batch_share(model: Model, r: int, k: int, t: int) -> tuple[int, float]:
    """Return the column that counts batches of a start, and how many one unit of it is.

    Near days have a column that is 0 or 1; far days spread a batch over the units of a usual one.
    """
    key = (r, k, t)
    if key in model.s:
        return model.s[key], 1.0
    return model.x[key], 1.0 / model.needs[r][k].usual_batch


def sold(problem: Problem, recipe: Recipe, step: str) -> dict[int, float]:
    """Return what is promised of a step by day (grams for ``picked``)."""
    found: dict[int, float] = {}
    for order in problem.orders:
        if order.variety == recipe.variety and order.step == step and order.day < recipe.days:
            found[order.day] = found.get(order.day, 0.0) + order.amount
    return found


def picked_for(problem: Problem, recipe: Recipe) -> dict[tuple[int, int], float]:
    """Return the grams promised of a recipe, by the day of the last picking and the day due."""
    found: dict[tuple[int, int], float] = {}
    for order in problem.orders:
        is_own = order.variety == recipe.variety and order.step == "picked"
        if is_own and order.day < recipe.days:
            when = order.day, order.due
            found[when] = found.get(when, 0.0) + order.amount
    return dict(sorted(found.items()))


def stock_of(problem: Problem, recipe: Recipe, making: Making) -> list[Stock]:
    """Return the living lots of a making."""
    return [
        lot for lot in problem.stock if lot.variety == recipe.variety and lot.step == making.step
    ]


def limit(
    model: Model,
    terms: Iterable[Term],
    capacity: float,
    *,
    resource: str,
    day: int,
    unit: str,
    price: float,
    varieties: Iterable[str],
    taken: float = 0.0,
    least: float = 0.0,
    climate_of: tuple[str, str] = ("", ""),
) -> None:
    """Add a capacity row, remembered by what it limits.

    What is ``taken`` already may exceed the capacity (a room is fuller than it should be), and so
    may what stands in the terms whatever is done (``least``); then nothing more fits, which is no
    contradiction. ``climate_of`` names a grow room and the climate of it that the row is about.
    """
    left = capacity - taken if taken > 0 else capacity
    row = model.programme.at_most(terms, max(least, left) if taken > 0 or least > 0 else left)
    model.capacities.append(
        Capacity(
            row, resource, day, capacity, unit, price, frozenset(varieties), taken, *climate_of
        )
    )
