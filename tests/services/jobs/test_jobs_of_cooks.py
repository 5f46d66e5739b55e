"""Every load holds what fits, feeds what it says, and nothing is cooked for nobody."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from datetime import date, time, timedelta

from pinset.chain.day_hours import Span
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
    Worker,
)
from pinset.chain.stages import Stage
from pinset.chain.who_is_here import Here
from pinset.planning.plan import Filled, PlannedCook, Start
from pinset.services.book_reader import Reader
from pinset.services.day.hours_left import HoursLeft, SteriliserLeft
from pinset.services.jobs.of_cooks import cook_jobs, late_loads, loads_of, set_hours, too_late

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


def test_a_cook_of_a_short_day_is_loaded_while_somebody_is_here() -> None:
    """At 10:30 all have left: on this Monday they stay from 07:30 to 10:00."""
    reader = Reader(
        replace(BOOK, workers=(Worker("w", "W", (2.5,) + (8.0,) * 4 + (0.0,) * 2),)), MONDAY
    )
    [load] = loads_of([cook(MONDAY)], [start(80)], reader)
    loading, opening = cook_jobs(load, reader)
    assert (loading.fixed_at, opening.fixed_at) == ("09:20", "07:30 next day")
    assert loading.detail.endswith("; sooner than 10:30, while somebody is here")
    [usual] = loads_of([cook(MONDAY + timedelta(days=1))], [start(80)], reader)
    assert cook_jobs(usual, reader)[0].fixed_at == "10:30"
    assert "sooner" not in cook_jobs(usual, reader)[0].detail


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


def until(minute: int) -> Here:
    """Somebody who is here up to a minute of the day."""
    return Here((Span(0, minute),), 0)


def left(free_from: int = 620, since: time | None = time(10, 20)) -> HoursLeft:
    return HoursLeft(since, {"one": SteriliserLeft(free_from, 20 * 60, until(17 * 60))})


def test_cooks_of_one_steriliser_follow_each_other_whatever_their_kind() -> None:
    straw = replace(GRAIN, code="straw", cook="straw")
    book = replace(BOOK, routes=(Route("r", (GRAIN, straw)),))
    cooks = [cook(MONDAY), replace(cook(MONDAY), kind="straw")]
    tuesday = MONDAY + timedelta(days=1)  # pasteurised straw keeps a day
    starts = [start(20), replace(start(20, tuesday), step="straw")]
    loads = loads_of(cooks, starts, Reader(book, MONDAY))
    assert [f"{load.at:%H:%M}" for load in loads] == ["10:30", "15:30"]


def test_today_a_load_begins_when_the_steriliser_is_free() -> None:
    loads = loads_of([cook(MONDAY)], [start(30)], READER, left(700))
    [load, opening] = cook_jobs(loads[0], READER)
    assert (load.fixed_at, opening.fixed_at) == ("11:40", "16:40")
    assert too_late(loads, MONDAY, left(700)) == frozenset()
    other_day = loads_of([cook(MONDAY + timedelta(days=1))], [start(30)], READER, left(700))
    assert cook_jobs(other_day[0], READER)[0].fixed_at == "10:30"


def test_a_load_that_ends_after_its_hours_or_after_work_is_too_late() -> None:
    for free_from, is_late in ((15 * 60, False), (15 * 60 + 1, True)):
        loads = loads_of([cook(MONDAY)], [start(30)], READER, left(free_from))
        assert too_late(loads, MONDAY, left(free_from)) == ({"one"} if is_late else set())
    gone_home = HoursLeft(time(10, 20), {"one": SteriliserLeft(800, 24 * 60, until(810))})
    loads = loads_of([cook(MONDAY)], [start(30)], READER, gone_home)
    assert too_late(loads, MONDAY, gone_home) == {"one"}, "nobody is here to load it"
    for comes_until, late in ((0, {"one"}), (900, set())):  # to open what is in it
        own = SteriliserLeft(800, 24 * 60, until(810), loads=1, comes_until=comes_until)
        after_a_cook = HoursLeft(time(10, 20), {"one": own})
        loads = loads_of([cook(MONDAY)], [start(30)], READER, after_a_cook)
        assert too_late(loads, MONDAY, after_a_cook) == late


def test_a_second_load_of_the_day_is_another_job() -> None:
    done = HoursLeft(
        time(10, 20),
        {"one": SteriliserLeft(620, 1200, until(1020), finished=Counter({"grain": 1}))},
    )
    [load] = loads_of([cook(MONDAY)], [start(30)], READER, done)
    assert [job.key for job in cook_jobs(load, READER)] == [
        f"cook:one:grain:{MONDAY}:2",
        f"open:one:grain:{MONDAY}:2",
    ]


def test_a_cook_says_what_hangs_on_it() -> None:
    """Start on Thursday, cook at the latest on Wednesday: planned on Monday, it has 2 days."""
    fed = replace(start(30, MONDAY + timedelta(days=3)), at_stake=4_000, slack_days=1)
    [load] = loads_of([cook(MONDAY)], [fed], READER)
    job, _ = cook_jobs(load, READER)
    assert (job.slack_days, job.stake) == (3, "4 kg")


def filled(minute: int, hours_per_day: float = 12.0) -> tuple[str, frozenset[str]]:
    """Lay a cook of five hours on the morning of a day on which people are here until 17:00."""
    reader = Reader(replace(BOOK, workers=(Worker("ada", "Ada", (9.5,) * 7),)), MONDAY)
    opens = 10 * 60 + 30
    own = SteriliserLeft(opens, opens + round(hours_per_day * 60), until(24 * 60))
    morning = HoursLeft(None, {"one": own})
    loads = loads_of([cook(MONDAY)], [start(30)], reader, morning)
    set_hours(loads, reader, morning, {"one": minute})
    job, _ = cook_jobs(loads[0], reader)
    waits = "filling takes until then" in job.detail
    assert waits == (minute > opens)
    return job.fixed_at, late_loads(loads, reader, morning)


def test_what_cannot_be_filled_by_then_is_loaded_when_it_is() -> None:
    assert filled(9 * 60) == ("10:30", frozenset())
    assert filled(12 * 60 + 15) == ("12:15", frozenset())
    assert filled(17 * 60) == ("17:00", {"one"}), "loading takes an hour, and work ends at 17:00"
    assert filled(12 * 60 + 15, hours_per_day=6) == ("12:15", {"one"}), "it would end too late"


def test_a_cook_is_filled_with_no_more_jars_than_the_plan_has_empty_for_it() -> None:
    """Of 130 jars 100 would go into the first cook; 40 are empty for it, and 90 for the next."""
    tuesday = MONDAY + timedelta(days=1)
    cooks = [
        replace(cook(MONDAY), filled=(Filled("jar", 40 * 1.5),)),
        replace(cook(tuesday), filled=(Filled("jar", 90 * 1.5),)),
    ]
    assert sizes(*cooks) == [40, 90]
    both = replace(cook(MONDAY, cooks=2.0), filled=(Filled("jar", 130 * 1.5),))
    assert sizes(both) == [100, 30]
    rounded = replace(cook(MONDAY), filled=(Filled("jar", 40 * 1.5 - 1e-7),))
    assert sizes(rounded, cook(tuesday)) == [40, 90]


def test_bags_in_a_cook_are_not_limited_by_its_jars() -> None:
    cooks = [replace(cook(MONDAY), filled=(Filled("tube", 0.0),)), cook(MONDAY, "two")]
    assert sizes(*cooks) == [100, 30]
