"""What the simulated day has in its hands: book, nature, stock, diary and the week's rhythm."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import date, timedelta

from pinset.chain.register import Culture, FarmBook, Parent, Route, Step, Variety, Weekday
from pinset.demo.diary import Diary
from pinset.demo.lots import Shelves, Stock
from pinset.demo.nature import Nature
from pinset.demo.rhythm import Batch, batches, route_of, weekly_sold_units
from pinset.demo.truth import HiddenTruth

LAB_PEOPLE = ("marta", "jori")
EVERYBODY = ("marta", "jori", "lene")


@dataclass(frozen=True, slots=True)
class Order:
    """Spawn on its way."""

    arrives: date
    variety: str
    bags: int
    entry: str  # client id of the order


@dataclass(slots=True)
class Touched:
    """Whom the hidden truths touched."""

    cooks: list[str] = field(default_factory=list)
    session: str = ""
    lots: dict[str, list[str]] = field(
        default_factory=lambda: {"seal": [], "tired": [], "careless": [], "hot": []}
    )


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
    week: dict[Weekday, list[Batch]]
    counts: dict[tuple[str, str], int]  # units of a step started each week
    today: date = date.min
    cultures: dict[str, str] = field(default_factory=dict)  # variety -> culture in use
    planned: dict[tuple[date, str, str], int] = field(default_factory=dict)
    ordered: list[Order] = field(default_factory=list)
    touched: Touched = field(default_factory=Touched)
    codes: Iterator[str] = field(default_factory=lambda: iter(()))
    last_cook: int = 0
    fresh_cultures: list[tuple[date, Culture]] = field(default_factory=list)
    working: frozenset[int] = frozenset()

    def new_code(self) -> str:
        """Return the next lot code."""
        return next(self.codes)

    def new_cook(self) -> str:
        """Return the next cook's code."""
        self.last_cook += 1
        return f"C{self.last_cook:04d}"

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
        if day.weekday() == Weekday.SAT.number:
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
    week: dict[Weekday, list[Batch]] = {weekday: [] for weekday in Weekday}
    counts: dict[tuple[str, str], int] = {}
    for batch in batches(book):
        week[batch.weekday].append(batch)
        key = (batch.variety, batch.step)
        counts[key] = counts.get(key, 0) + batch.count
    return World(
        book=book,
        truth=truth,
        nature=nature,
        stock=Stock(Shelves(book)),
        diary=Diary(nature, book.farm.time_zone),
        routes={variety.code: route_of(book, variety) for variety in book.varieties},
        varieties={variety.code: variety for variety in book.varieties},
        week=week,
        counts=counts,
        codes=codes,
        working=frozenset(weekday.number for weekday in book.farm.working_days),
        cultures={culture.variety: culture.code for culture in book.cultures},
    )
