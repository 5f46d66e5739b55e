"""What the simulated day has in its hands: book, nature, stock, diary and the week's rhythm."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import date, datetime, timedelta

from pinset.chain.register import Culture, FarmBook, Parent, Route, Step, Variety, Weekday
from pinset.chain.shelf_life import Gone, Woken
from pinset.chain.upkeep import Instruction
from pinset.demo.diary import Diary
from pinset.demo.lots import Lot, Shelves, Stock
from pinset.demo.nature import Nature
from pinset.demo.rhythm import Batch, batches, route_of, weekly_sold_units
from pinset.demo.truth import HiddenTruth, PlateGrowth

LAB_PEOPLE = ("marta", "jori")
TUBES_MADE = 14
SATURDAY = 5
EVERYBODY = ("marta", "jori", "lene")


@dataclass(frozen=True, slots=True)
class Order:
    """Spawn on its way."""

    arrives: date
    variety: str
    bags: int
    entry: str  # client id of the order


@dataclass(frozen=True, slots=True)
class Cooked:
    """A cook that waits to be judged."""

    code: str
    kind: str
    lots: tuple[str, ...]
    leaks: bool  # the door seal leaked
    began: datetime  # aware, by the farm's clock
    hold_minutes: int  # as somebody read it off


@dataclass(slots=True)
class Touched:
    """Whom the hidden truths touched."""

    cooks: list[str] = field(default_factory=list)
    session: str = ""
    lots: dict[str, list[str]] = field(
        default_factory=lambda: {"seal": [], "tired": [], "careless": [], "hot": []}
    )


@dataclass(slots=True)
class TubeShelf:
    """What whoever wakes the tubes remembers of them."""

    tests: dict[str, tuple[Woken, ...]] = field(default_factory=dict)  # by lot
    stood: dict[str, Lot] = field(default_factory=dict)  # when last looked at, by lot
    gone: dict[str, tuple[Gone, ...]] = field(default_factory=dict)  # by culture


@dataclass(slots=True)
class World:
    """The simulated farm on its present day."""

    book: FarmBook
    truth: HiddenTruth
    nature: Nature
    stock: Stock
    diary: Diary
    routes: dict[str, Route]
    varieties: dict[str, Variety]
    week: tuple[list[Batch], ...]  # Monday first
    today: date = date.min
    cultures: dict[str, str] = field(default_factory=dict)  # variety -> culture in use
    planned: dict[tuple[date, str, str], int] = field(default_factory=dict)
    ordered: list[Order] = field(default_factory=list)
    to_judge: list[Cooked] = field(default_factory=list)
    verdicts: dict[str, str] = field(default_factory=dict)  # by cook
    has_learnt: bool = False  # a load from a log
    touched: Touched = field(default_factory=Touched)
    codes: Iterator[str] = field(default_factory=lambda: iter(()))
    fresh_records: list[tuple[date, Culture | Instruction]] = field(default_factory=list)
    last_done: dict[str, date] = field(default_factory=dict)  # by chore
    last_changed: dict[str, date] = field(default_factory=dict)  # likewise
    working: frozenset[int] = frozenset()
    shelf: TubeShelf = field(default_factory=TubeShelf)
    plates_grew: list[PlateGrowth] = field(default_factory=list)

    def new_code(self) -> str:
        """Return the next lot code."""
        return next(self.codes)

    def works(self, day: date) -> bool:
        """Say whether the farm works on a day."""
        return day.weekday() in self.working

    def days_caught_up(self) -> tuple[date, ...]:
        """Return today and the days off just before it, whose looks and shakes fall to today."""
        days = [self.today]
        while not self.works(days[-1] - timedelta(days=1)):
            days.append(days[-1] - timedelta(days=1))
        return tuple(days)

    def lab_person(self, day: date) -> str:
        """Return who is at the bench: the two take turns by weekday and week."""
        if day == self.truth.careless.day:
            return self.truth.careless.person
        return LAB_PEOPLE[(day.isocalendar().week + day.weekday()) % 2]

    def shed_person(self, day: date) -> str:
        """Return who packs, drives and clears on a day."""
        if day.weekday() == SATURDAY:
            return "lene"
        return EVERYBODY[(day.toordinal() + day.isocalendar().week) % 3]

    def sold_weekly(self, variety: str, step: str) -> int:
        """Return the units of a step promised to buyers every week; they are kept back."""
        return weekly_sold_units(self.book, variety, step)

    def parent_of(self, step: Step) -> Parent | None:
        """Return the usual parent of a step."""
        return step.parents[0] if step.parents else None


def new_world(book: FarmBook, truth: HiddenTruth, nature: Nature, codes: Iterator[str]) -> World:
    """Return a farm with nothing in it yet."""
    week: tuple[list[Batch], ...] = tuple([] for _ in Weekday)
    for batch in (*batches(book), *_tube_batches(book)):
        week[batch.weekday.number].append(batch)
    return World(
        book=book,
        truth=truth,
        nature=nature,
        stock=Stock(Shelves(book)),
        diary=Diary(nature, book.farm.time_zone),
        routes={variety.code: route_of(book, variety) for variety in book.varieties},
        varieties={variety.code: variety for variety in book.varieties},
        week=week,
        codes=codes,
        working=frozenset(weekday.number for weekday in book.farm.working_days),
        cultures={culture.variety: culture.code for culture in book.cultures},
    )


def _tube_batches(book: FarmBook) -> list[Batch]:
    """Return the days on which tubes may be renewed; whether they are is decided each time."""
    return [
        Batch(variety.code, step.code, weekday, TUBES_MADE)
        for variety in book.varieties
        for step in route_of(book, variety).steps
        if step.code == "tube"
        for weekday in step.weekdays
    ]
