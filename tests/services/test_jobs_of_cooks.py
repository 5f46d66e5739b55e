"""Every load holds what fits, feeds what it says, and nothing is cooked for nobody."""

from __future__ import annotations

from datetime import date, timedelta

from pinset.chain.register import (
    CookKind,
    Farm,
    FarmBook,
    Parent,
    Route,
    Spread,
    Step,
    StepKind,
    Steriliser,
    Variety,
    Vessel,
)
from pinset.chain.stages import Stage
from pinset.planning.plan import PlannedCook, Start
from pinset.services.book_reader import Reader
from pinset.services.jobs_of_cooks import cook_jobs, loads_of

MONDAY = date(2026, 3, 9)
DAYS, NONE = Spread(8, 10, 12), Spread(0, 0, 0)
GRAIN = Step(
    "grain",
    StepKind.TRANSFER,
    Stage.GRAIN,
    DAYS,
    NONE,
    24,
    parents=(Parent("plate", 8),),
    vessel="jar",
    cook="grain",
)
KINDS = (CookKind("grain", 5, 60, 90, 150), CookKind("straw", 5, 60, 90, 150))
BOOK = FarmBook(
    Farm("Test", 400, "Europe/Vienna"),
    sterilisers=tuple(Steriliser(code, code, "bay", KINDS, 12, 2, 1.4) for code in ("one", "two")),
    vessels=(Vessel("jar", "jar", 1.5),),
    routes=(Route("r", (GRAIN,)),),
    varieties=(Variety("grey", "Grey oyster", "Pleurotus ostreatus", "r"),),
)
READER = Reader(BOOK, MONDAY)


def start(count: int, day: date = MONDAY + timedelta(days=2)) -> Start:
    return Start(day, "grey", "grain", Stage.GRAIN, count, (), count, day, (), "why")


def cook(day: date, steriliser: str = "one", cooks: float = 1.0) -> PlannedCook:
    return PlannedCook(day, steriliser, "grain", cooks, 150, 5)


def sizes(*cooks: PlannedCook, count: int = 130) -> list[int]:
    return [
        sum(round(s.count) for s in load.starts) for load in loads_of(cooks, [start(count)], READER)
    ]


def test_two_cooks_of_a_day_share_what_is_wanted() -> None:
    assert sizes(cook(MONDAY, cooks=2.0)) == [100, 30]


def test_two_sterilisers_share_it() -> None:
    assert sizes(cook(MONDAY), cook(MONDAY, "two")) == [100, 30]


def test_two_days_share_it() -> None:
    assert sizes(cook(MONDAY), cook(MONDAY + timedelta(days=1))) == [100, 30]


def test_nothing_is_cooked_for_nobody() -> None:
    assert sizes(cook(MONDAY), cook(MONDAY + timedelta(days=1)), count=80) == [80]
    assert loads_of([cook(MONDAY)], [], READER) == ()


def test_a_load_says_when_it_is_loaded_and_opened() -> None:
    [first, second] = loads_of([cook(MONDAY, cooks=2.0)], [start(130)], READER)
    load, opening = cook_jobs(second, READER)
    assert (load.fixed_at, opening.fixed_at, load.count) == ("15:30", "20:30", 30)
    assert cook_jobs(first, READER)[0].feeds[0].route == "r"


def test_the_next_cook_serves_what_comes_after_it_only() -> None:
    early, late = start(60), start(60, MONDAY + timedelta(days=4))
    cooks = [cook(MONDAY), cook(MONDAY + timedelta(days=3))]
    loads = loads_of(cooks, [early, late], READER)
    assert [[round(s.count) for s in load.starts] for load in loads] == [[60, 40], [20]]
