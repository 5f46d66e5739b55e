"""A late opening, judging or deciding names the promises the plan counts on it for."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import pytest

from farm.small_farm import TODAY as SMALL_TODAY
from pinset.chain.register import (
    Buyer,
    Farm,
    FarmBook,
    Promise,
    Route,
    Spread,
    Step,
    StepKind,
    Variety,
    Weekday,
)
from pinset.chain.stages import Stage
from pinset.planning.plan import ExpectedPick, LotShare, Move, ParentUse, Plan, Start
from pinset.services.book_reader import Reader
from pinset.services.day.hanging_on import with_what_hangs
from pinset.services.day.lateness import late_cost
from pinset.services.day.today import job_view
from pinset.services.jobs.records import JobKind, LotAmount, PlannedJob
from services.conftest import LayJob
from services.planned import planned

TODAY = date(2026, 3, 10)
BLOCK = Step("block", StepKind.TRANSFER, Stage.BLOCK, Spread(8, 10, 12), Spread(0, 0, 0), 24)
BOOK = FarmBook(
    Farm("Test", 400, "Europe/Vienna"),
    routes=(Route("r", (BLOCK,)),),
    varieties=(Variety("grey", "Grey oyster", "Pleurotus ostreatus", "r"),),
    buyers=(Buyer("market", "Market"),),
    promises=(
        Promise("p", "market", "grey", 20_000, weekday=Weekday.WED),
        Promise("q", "market", "grey", 8_000, weekday=Weekday.SAT),
    ),
)
READER = Reader(BOOK, TODAY)
FOR_MARKET = "20 kg Grey oyster for Market"
UNDECIDED = "1 day late: until somebody decides, the plan counts on them"


def plan(**parts: object) -> Plan:
    empty = dict.fromkeys(("starts", "moves", "cooks", "picks", "short", "at_limit", "weeks"), ())
    numbers = dict.fromkeys(("gap", "seconds", "objective", "bound"), 0.0)
    return Plan(TODAY, 56, 14, status="proven", **{**empty, **numbers, **parts})  # type: ignore[arg-type]


def start(days: int, count: float = 12, **more: object) -> Start:
    day = TODAY + timedelta(days=days)
    made = Start(day, "grey", "block", Stage.BLOCK, count, (), count, day, ("p",), "why")
    return replace(made, **more)  # type: ignore[arg-type]


def job(kind: JobKind, **more: object) -> PlannedJob:
    plain = PlannedJob(kind.value, kind, kind.value, TODAY, 12, "units", "what", "steriliser")
    return replace(plain, **more)  # type: ignore[arg-type]


def said(asked: PlannedJob, **parts: object) -> str:
    return late_cost(with_what_hangs(asked, plan(**parts), READER), 1, TODAY)


VESSELS = {"feeds": (LotAmount("", 12, "block", "r"),)}
LOT = {"lots": (LotAmount("SPAWN", 5),)}
SPAWN = (ParentUse("grain", 2, (LotShare("SPAWN", 2),)),)


@pytest.mark.parametrize("kind", [JobKind.OPEN, JobKind.JUDGE])
def test_work_on_vessels_names_what_is_started_in_them(kind: JobKind) -> None:
    found = said(job(kind, **VESSELS), starts=(start(1, at_stake=12_000.0),))
    assert found.startswith("1 day late: ")
    assert "12 kg" in found
    assert found.endswith(f", of {FOR_MARKET}")


def test_an_opening_can_wait_as_long_as_its_start_can() -> None:
    late = said(job(JobKind.OPEN, **VESSELS), starts=(start(1, at_stake=12_000.0),))
    assert late == f"1 day late: 12 kg hang on doing it today, of {FOR_MARKET}"
    later = (start(1, at_stake=12_000.0, slack_days=2),)
    waits = said(job(JobKind.OPEN, **VESSELS), starts=later)
    assert waits == f"1 day late: costs nothing yet, 12 kg from Friday, of {FOR_MARKET}"


def test_only_the_starts_its_vessels_are_enough_for_count() -> None:
    first, second = start(1), start(3, serves=("q",), at_stake=500.0)
    found = said(job(JobKind.OPEN, **VESSELS), starts=(second, first))
    assert found == f"1 day late: the plan counts on it for {FOR_MARKET}"


def test_deciding_names_what_is_made_from_the_lots_and_moved_of_them() -> None:
    starts = (start(0, parents=SPAWN, at_stake=3_000.0),)
    assert said(job(JobKind.DECIDE, **LOT), starts=starts) == f"{UNDECIDED} for {FOR_MARKET}"
    move = Move(TODAY, "grey", "fruiting", 5, "grow", (LotShare("SPAWN", 5),), ("p",))
    assert said(job(JobKind.DECIDE, **LOT), moves=(move,)) == f"{UNDECIDED} for {FOR_MARKET}"


def test_deciding_names_what_is_expected_of_lots_that_bear() -> None:
    shares = (LotShare("SPAWN", 5), LotShare("OTHER", 15))
    picks = (ExpectedPick(TODAY, "grey", 8_000.0, shares),)
    assert said(job(JobKind.DECIDE, **LOT), picks=picks) == (
        f"{UNDECIDED} for 2 kg expected to be picked"
    )


def test_nothing_is_named_where_the_plan_does_without() -> None:
    other = start(0, parents=(ParentUse("grain", 1, (LotShare("OTHER", 1),)),), at_stake=3_000.0)
    nothing = "1 day late: no promise hangs on it yet"
    assert said(job(JobKind.DECIDE, **LOT), starts=(other,)) == UNDECIDED
    assert said(job(JobKind.OPEN, **VESSELS), starts=(start(0, is_purchase=True),)) == nothing
    assert said(job(JobKind.LOOK, **LOT), starts=(start(0, parents=SPAWN),)) == nothing
    assert late_cost(with_what_hangs(job(JobKind.OPEN), None, READER), 1, TODAY) == nothing


def test_the_page_of_a_late_opening_says_it(lay: LayJob) -> None:
    yesterday = SMALL_TODAY - timedelta(days=1)
    feeds = (LotAmount("", 12, "block", "oyster-straw"),)
    code = lay(JobKind.OPEN, first_day=yesterday, feeds=feeds)
    assert job_view(code).late_cost == "1 day late: no promise hangs on it yet"
    planned(starts=(start(0, day=SMALL_TODAY, serves=("market-grey",), at_stake=12_000.0),))
    found = job_view(code)
    assert found.late_cost.startswith("1 day late: 12 kg hang on doing it today, of ")
    assert found.serves
