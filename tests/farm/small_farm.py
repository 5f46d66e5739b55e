"""A small farm for the ledger's tests: one variety from tube to fruiting block."""

from __future__ import annotations

import itertools
from datetime import UTC, date, datetime, timedelta

from pinset.chain.lotcode import encode
from pinset.chain.register import (
    Culture,
    Farm,
    FarmBook,
    Parent,
    Room,
    RoomKind,
    Route,
    Shelf,
    Spread,
    Step,
    StepKind,
    Variety,
    Vessel,
    Worker,
)
from pinset.chain.stages import Stage
from pinset.farm import register_store
from pinset.farm.entries import NewLot
from pinset.farm.trade import Tap

NOW = datetime(2026, 3, 12, 9, 0, tzinfo=UTC)
TODAY = NOW.date()
DAYS = Spread(8.0, 10.0, 12.0)
NONE_LOST = Spread(0.0, 0.0, 0.0)

ROUTE = Route(
    "oyster-straw",
    (
        Step("plate", StepKind.TRANSFER, Stage.PLATE, DAYS, NONE_LOST, 24.0, vessel="plate"),
        Step(
            "grain",
            StepKind.TRANSFER,
            Stage.GRAIN,
            DAYS,
            NONE_LOST,
            24.0,
            (Parent("plate", 8.0),),
            vessel="jar",
        ),
        Step(
            "block",
            StepKind.TRANSFER,
            Stage.BLOCK,
            DAYS,
            NONE_LOST,
            22.0,
            (Parent("grain", 10.0),),
            vessel="bag",
        ),
        Step("fruiting", StepKind.FRUIT, Stage.BLOCK, DAYS, NONE_LOST, 16.0, yield_g=600.0),
    ),
)

BOOK = FarmBook(
    farm=Farm("Test farm", 400.0, "Europe/Vienna"),
    rooms=(
        Room("lab", "Laboratory", RoomKind.LABORATORY, 22.0, (Shelf("lab-1", 100),)),
        Room(
            "inc",
            "Incubation",
            RoomKind.INCUBATION,
            24.0,
            (Shelf("inc-1", 200), Shelf("inc-2", 200)),
        ),
        Room("grow", "Grow room", RoomKind.GROWING, 16.0, (Shelf("grow-1", 200),)),
        Room("pack", "Packing", RoomKind.PACKING, 3.0, (Shelf("cold-1", 200),)),
    ),
    workers=(
        Worker("ada", "Ada", (8.0,) * 7, role="owner"),
        Worker("ben", "Ben", (8.0,) * 7),
    ),
    vessels=(Vessel("jar", "1 L jar", 1.6, in_circulation=100),),
    routes=(ROUTE,),
    varieties=(Variety("grey", "Grey oyster", "Pleurotus ostreatus", ROUTE.code),),
    cultures=(Culture("g1", "grey", "invented"), Culture("g2", "grey", "invented", cleared=False)),
)


class Taps:
    """Gives taps with running client ids, so that a failing test prints the same every time."""

    def __init__(self, start: int = 1) -> None:
        self.numbers = itertools.count(start)

    def __call__(
        self, *, hours: float = 0.0, person: str = "", job: str = "", note: str = ""
    ) -> Tap:
        client = f"{next(self.numbers):032x}"
        return Tap(client, NOW + timedelta(hours=hours), person, job, note)


def lot(code: str, stage: Stage, step: str, **facts: object) -> NewLot:
    given = {"variety": "grey", "route": ROUTE.code, "made_on": TODAY, "culture": "g1"} | facts
    return NewLot(code=code, stage=stage, step=step, **given)  # type: ignore[arg-type]


def describe(book: FarmBook = BOOK) -> None:
    """Write the book, in force since the first day of the year."""
    records = register_store.book_records(book)
    register_store.write(records, date(2026, 1, 1), "", NOW - timedelta(days=60))


CODES = tuple(encode(i) for i in range(200))
