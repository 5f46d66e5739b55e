"""A small farm with a fridge of tubes: an old mother, a tube of it, plates, a clone."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import timedelta

import pytest

from farm.small_farm import BOOK, CODES, NONE_LOST, NOW, ROUTE, TODAY, Taps, describe, lot
from pinset.chain.register import FarmBook, Parent, Room, RoomKind, Shelf, Spread, Step, StepKind
from pinset.chain.stages import Stage
from pinset.farm import door, trade
from pinset.services import clock

TUBE = Step(
    "tube",
    StepKind.TRANSFER,
    Stage.TUBE,
    Spread(10.0, 10.0, 10.0),
    NONE_LOST,
    24.0,
    vessel="tube",
    mix="malt agar",
    keeps_days_warm=40.0,
    keeps_days_cold=100.0,
)
WITH_TUBES = replace(
    ROUTE,
    steps=(
        TUBE,
        *(
            replace(step, parents=(Parent("tube", 8.0, part_use=True),), mix="malt agar")
            if step.code == "plate"
            else step
            for step in ROUTE.steps
        ),
    ),
)
SHELF_BOOK = replace(
    BOOK,
    routes=(WITH_TUBES,),
    rooms=(*BOOK.rooms, Room("fridge", "Fridge", RoomKind.COLD, 4.0, (Shelf("fridge-1", 50),))),
)

MakeLot = Callable[..., str]


@pytest.fixture
def farm(db: None, monkeypatch: pytest.MonkeyPatch) -> FarmBook:  # noqa: ARG001
    monkeypatch.setenv(clock.PRETENDED, TODAY.isoformat())
    describe(SHELF_BOOK)
    return SHELF_BOOK


@pytest.fixture
def make(farm: FarmBook) -> MakeLot:  # noqa: ARG001
    """Write a lot down that was made some days ago, and return its code."""
    taps, codes = Taps(start=50_000), iter(CODES[120:])

    def made(
        days: int,
        stage: Stage = Stage.TUBE,
        count: int = 6,
        place: str = "fridge-1",
        culture: str = "g1",
        transfers: int = 0,
    ) -> str:
        new = lot(
            next(codes),
            stage,
            stage.value,
            made_on=TODAY - timedelta(days=days),
            culture=culture,
            transfers=transfers,
        )
        entry = trade.opening(taps(hours=-24.0 * days), new, count, place)
        door.record([entry], now=NOW)
        return new.code

    return made
