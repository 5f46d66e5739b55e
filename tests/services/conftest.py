"""A small farm with stock of every stage, and jobs laid by hand."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import timedelta

import pytest

from farm.small_farm import BOOK, CODES, NOW, ROUTE, TODAY, Taps, describe, lot
from pinset.chain.plain import to_plain
from pinset.chain.register import (
    Buyer,
    CookKind,
    FarmBook,
    Flush,
    Promise,
    Room,
    RoomKind,
    Shelf,
    Spread,
    StepKind,
    Steriliser,
    Weekday,
)
from pinset.chain.stages import Stage
from pinset.farm import door, job_store, trade
from pinset.farm.job_store import JobToLay, PlanRow
from pinset.services import clock
from pinset.services.jobs.records import JobKind, PlannedJob
from services.planned import plan_body

PICKED = replace(
    ROUTE,
    steps=tuple(
        replace(
            step,
            room=RoomKind.GROWING,
            keeps_days_warm=4.0,
            flushes=(Flush(Spread(0, 0, 0), 1.0, 2, 0.0),),
        )
        if step.kind is StepKind.FRUIT
        else replace(step, keeps_days_warm=10.0)
        for step in ROUTE.steps
    ),
)
FULL_BOOK = replace(
    BOOK,
    routes=(PICKED,),
    rooms=(
        *BOOK.rooms,
        Room("bay", "Steriliser bay", RoomKind.STERILISER, 18.0, (Shelf("bay-1", 200),)),
    ),
    sterilisers=(
        Steriliser("kettle", "Kettle", "bay", (CookKind("grain", 5, 60, 90, 300),), 8, 1, 1.4),
    ),
    buyers=(Buyer("market", "Market stall"),),
    promises=(
        Promise("market-grey", "market", "grey", 5000, weekday=Weekday.THU, price_cents=900),
        Promise("spawn", "market", "grey", 3, "unit", "grain", weekday=Weekday.THU),
    ),
)

LayJob = Callable[..., str]


@pytest.fixture
def tap() -> Taps:
    return Taps()


@pytest.fixture
def farm(db: None, monkeypatch: pytest.MonkeyPatch) -> FarmBook:  # noqa: ARG001
    monkeypatch.setenv(clock.PRETENDED, TODAY.isoformat())
    describe(FULL_BOOK)
    return FULL_BOOK


@pytest.fixture
def stock(farm: FarmBook) -> dict[str, str]:  # noqa: ARG001
    """One ready lot of every stage: code by step."""
    codes = {}
    tap = Taps(start=10_000)
    for number, (step, stage, place) in enumerate(
        (
            ("plate", Stage.PLATE, "inc-1"),
            ("grain", Stage.GRAIN, "inc-1"),
            ("block", Stage.BLOCK, "inc-2"),
            ("fruiting", Stage.BLOCK, "grow-1"),
        )
    ):
        made_in = "block" if step == "fruiting" else step
        made = lot(CODES[150 + number], stage, made_in, made_on=TODAY - timedelta(days=14))
        entries = [trade.opening(tap(hours=-169), made, 20, place)]
        if step == "fruiting":
            taken = trade.Taken(made.code, 20, place)
            entries.append(trade.move(tap(hours=-168), taken, place, step="fruiting"))
        door.record(entries, now=NOW - timedelta(hours=40))
        codes[step] = made.code
    return codes


@pytest.fixture
def lay(farm: FarmBook) -> LayJob:  # noqa: ARG001
    """Lay one job and return its code."""

    def lay_job(kind: JobKind, **more: object) -> str:
        given: dict[str, object] = {
            "key": f"{kind}:{len(more)}:{more.get('count')}",
            "kind": kind,
            "task": kind.value,
            "day": TODAY,
            "count": 12,
            "unit": "units",
            "what": "units to see to",
            "room_kind": RoomKind.LABORATORY.value,
            "variety": "grey",
            "variety_name": "Grey oyster",
        }
        job = PlannedJob(**{**given, **more})  # type: ignore[arg-type]
        plan = PlanRow(NOW, TODAY, 0, plan_body(), 0.0, 0.0, "x")
        row = JobToLay("", job.day, job.kind.value, to_plain(job), count=job.count)
        [code] = job_store.lay(plan, [], [row], [])
        return code

    return lay_job


@pytest.fixture
def half_fruiting(stock: dict[str, str]) -> str:
    """A lot of which 14 units fruit in the grow room and 6 are left on the shelf."""
    tap = Taps(start=60_000)
    taken = trade.Taken(stock["block"], 14, "inc-2")
    door.record([trade.move(tap(hours=-20), taken, "grow-1", step="fruiting")], now=NOW)
    return stock["block"]
