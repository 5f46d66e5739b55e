"""When vessels of a cook may be used: somebody opens the steriliser, and they are cool."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, datetime, timedelta

import pytest

from pinset.chain.register import (
    CookKind,
    Farm,
    FarmBook,
    Preparation,
    RoomKind,
    Step,
    Steriliser,
    Weekday,
    Worker,
)
from pinset.chain.stages import Stage
from pinset.planning.building.calendar import WorkDays
from pinset.planning.building.from_book import build_problem
from pinset.planning.building.from_resources import reckon_resources
from pinset.planning.model.cook_times import (
    cooks_ready,
    cooling_hours,
    days_waited,
    first_day_of,
    transfer_hours,
    with_later_loads,
)
from pinset.planning.model.staffed import Staffed
from pinset.planning.problem import Order, Problem
from pinset.planning.recipes import Making, Recipe
from pinset.planning.resources import (
    CookOption,
    CookReady,
    Resources,
    Sterile,
    SteriliserDays,
)
from pinset.planning.solve import solve
from planning.six_varieties import six_variety_book

MONDAY = date(2026, 3, 2)
FRIDAY = MONDAY + timedelta(days=4)
BLOCK = CookKind("block", 6.0, 60, 150, 440.0)
FEW = replace(BLOCK, litres=40.0)
OVERNIGHT = CookKind("block", 14.0, 60, 600, 440.0)


def farm(
    kind: CookKind, load_at: str, *, hours_per_day: float = 9.5, cooks_per_day: int = 1, cool: float
) -> FarmBook:
    """Return a farm open from Monday to Friday, 07:30 to 15:30; somebody comes until 22:00."""
    base = six_variety_book()
    cooling = (
        Preparation("cook", cool + kind.hours, 0, 0, RoomKind.STERILISER),
        Preparation("cool", cool, 0, 0, RoomKind.STERILISER),
    )
    routes = tuple(
        replace(
            route,
            steps=tuple(
                replace(step, cook="block", preparations=cooling)
                if step.code == "block" or step.cook == "block"
                else step
                for step in route.steps
            ),
        )
        for route in base.routes
    )
    return FarmBook(
        farm=Farm("F", 0.0, "Europe/Vienna", working_days=tuple(Weekday)[:5]),
        workers=(Worker("w", "W", (8.0,) * 5 + (0.0, 0.0)),),
        sterilisers=(
            Steriliser("s", "S", "r", (kind,), hours_per_day, cooks_per_day, 1.5, load_at, "22:00"),
        ),
        routes=routes,
    )


@pytest.mark.parametrize(
    ("load_at", "kind", "cool", "loaded", "usable"),
    [
        ("08:00", FEW, 0.0, MONDAY, MONDAY),  # open at 14:00, an hour and a half is left
        ("09:00", FEW, 0.0, MONDAY, MONDAY + timedelta(days=1)),  # open at 15:00, half an hour
        ("08:00", BLOCK, 0.0, MONDAY, MONDAY + timedelta(days=1)),  # so many blocks take longer
        ("10:30", BLOCK, 15.0, MONDAY, MONDAY + timedelta(days=1)),  # cool at 07:30
        ("10:30", BLOCK, 23.0, MONDAY, MONDAY + timedelta(days=2)),  # cool at 15:30, work ends
        ("10:30", BLOCK, 15.0, FRIDAY, FRIDAY + timedelta(days=3)),  # cool on Saturday
        # ends at 06:00, opened at 07:30, cool at 15:30: the day after
        ("16:00", OVERNIGHT, 8.0, MONDAY, MONDAY + timedelta(days=2)),
        ("16:00", OVERNIGHT, 4.0, MONDAY, MONDAY + timedelta(days=1)),  # cool at 11:30
        # ends on Saturday; opened on Monday, cool at 11:30
        ("16:00", OVERNIGHT, 4.0, FRIDAY, FRIDAY + timedelta(days=3)),
        ("16:00", OVERNIGHT, 8.0, FRIDAY, FRIDAY + timedelta(days=4)),
    ],
)
def test_a_cook_may_be_used_when_it_is_open_and_cool(
    load_at: str, kind: CookKind, cool: float, loaded: date, usable: date
) -> None:
    book = farm(kind, load_at, cool=cool)
    assert first_day_of(book, book.sterilisers[0], kind, loaded) == usable


@pytest.mark.parametrize(("bench", "ahead"), [(2.0, 1), (0.0, 0)])
def test_what_is_inoculated_clean_waits_for_people_of_the_laboratory(
    bench: float, ahead: int
) -> None:
    """Open and cool at 14:00; whoever may work in the laboratory leaves at 12:00."""
    book = farm(FEW, "08:00", cool=0.0)
    clean = {"bench_minutes": bench, "bench_setup_minutes": 0.0, "hands_minutes": 1.0}
    routes = tuple(
        replace(
            r,
            steps=tuple(replace(s, **clean) if s.cook == "block" else s for s in r.steps),  # type: ignore[arg-type]
        )
        for r in book.routes
    )
    week = (("07:30-12:00",) * 5 + (0.0, 0.0), (8.0,) * 5 + (0.0, 0.0))
    people = (Worker("l", "L", week[0]), Worker("w", "W", week[1], laboratory=False))
    book = replace(book, routes=routes, workers=people)
    usable = first_day_of(book, book.sterilisers[0], FEW, MONDAY)
    assert usable == MONDAY + timedelta(days=ahead)


SATURDAY = MONDAY + timedelta(days=5)


def on_saturdays(hours: float) -> FarmBook:
    """Return the farm with the steriliser loaded at 12:00, and so many hours on Saturday."""
    book = farm(replace(OVERNIGHT, hours=5.0), "12:00", cool=4.0)
    worker = Worker("w", "W", (8.0,) * 5 + (hours, 0.0))
    open_days = replace(book.farm, working_days=tuple(Weekday)[:6])
    return replace(book, farm=open_days, workers=(worker,))


@pytest.mark.parametrize(("hours", "is_cooked"), [(8.0, True), (4.0, True), (0.5, False)])
def test_on_a_short_day_it_is_loaded_sooner_or_not_at_all(
    hours: float,
    is_cooked: bool,  # noqa: FBT001
) -> None:
    """Half an hour is too short to load: two thirds of an hour's hands."""
    book = on_saturdays(hours)
    problem, _ = build_problem(book, (), MONDAY)
    [days] = problem.resources.sterilisers
    assert (days.count[5] > 0) is is_cooked
    assert days.count[4] > 0
    first = first_day_of(book, book.sterilisers[0], book.sterilisers[0].cooks[0], SATURDAY)
    assert first == (SATURDAY + timedelta(days=2) if is_cooked else None)


def test_on_a_short_day_there_is_less_time_to_fill() -> None:
    """From 07:30 to 12:00, and on Saturday to 10:50, when it is loaded before all have left."""
    problem, _ = build_problem(on_saturdays(4.0), (), MONDAY)
    [loading] = problem.resources.loadings
    assert loading.minutes[4:6] == pytest.approx((270.0, 200.0))


@pytest.mark.parametrize(("people", "hours"), [(1, 2.5), (2, 1.25), (5, 1.0), (0, 2.5)])
def test_a_full_load_is_worked_on_as_long_as_its_people_need(people: int, hours: float) -> None:
    """440 L hold 100 vessels of 4.4 L; each takes a minute and a half by hand."""
    bare = replace(
        step_with(), cook="block", vessel="", fill_g=2750.0, hands_minutes=1.5, bench_minutes=0.0,
        bench_setup_minutes=0.0,
    )  # fmt: skip
    book = farm(BLOCK, "08:00", cool=0.0)
    worker = book.workers[0]
    book = replace(
        book,
        routes=(replace(book.routes[0], steps=(bare,)),),
        workers=(worker,) * people,
    )
    assert transfer_hours(book, BLOCK) == pytest.approx(hours)
    whole_day = replace(bare, hands_minutes=9.0)
    book = replace(book, routes=(replace(book.routes[0], steps=(whole_day,)),))
    assert transfer_hours(book, BLOCK) == pytest.approx(3.0 if people == 5 else 4.0)


def step_with(*leads: tuple[str, float]) -> Step:
    step = next(s for r in six_variety_book().routes for s in r.steps if s.code == "block")
    room = RoomKind.STERILISER
    return replace(step, preparations=tuple(Preparation(t, h, 0, 0, room) for t, h in leads))


@pytest.mark.parametrize(
    ("leads", "cools"),
    [
        ((("cook", 24.0),), 8.0),  # 24 h before the inoculation, a cook of 16 h
        ((("cook", 24.0), ("cool", 5.0)), 5.0),
        ((("cook", 12.0),), 0.0),
        ((("cook", 96.0),), 24.0),  # four days before: a plan, no cooling
        ((("cook", 96.0), ("pour", 92.0)), 0.0),
        ((("fill", 26.0), ("cook", 24.0)), 8.0),
        ((("fill", 26.0),), 0.0),
    ],
)
def test_where_no_cooling_is_described_the_lead_of_the_cook_leaves_it(
    leads: tuple[tuple[str, float], ...], cools: float
) -> None:
    assert cooling_hours([step_with(*leads)], 16.0) == cools


def test_what_comes_out_in_the_morning_is_not_used_hot() -> None:
    """Loaded at 17:05 for 16 h: open at 09:05, and cool 8 h later, after work."""
    kind = replace(OVERNIGHT, hours=16.0)
    book = farm(kind, "17:05", cool=0.0)
    [steriliser] = book.sterilisers
    bare = step_with(("cook", 24.0))
    routes = tuple(
        replace(r, steps=tuple(replace(bare, cook="block") if s.cook == "block" else s
                               for s in r.steps))
        for r in book.routes
    )  # fmt: skip
    book = replace(book, routes=routes)
    assert first_day_of(book, steriliser, kind, MONDAY) == MONDAY + timedelta(days=2)


def moment(hours: float, day: date = MONDAY) -> datetime:
    return datetime.combine(day, datetime.min.time()) + timedelta(hours=hours)


def test_after_work_a_steriliser_is_opened_only_as_the_farm_describes_it() -> None:
    book = farm(BLOCK, "10:30", hours_per_day=22.0, cool=1.0)
    staffed, alone = Staffed(book), replace(book.sterilisers[0], opened_until="")
    assert staffed.opened(alone, moment(15.0)) == moment(15.0), "work ends at 15:30"
    assert staffed.opened(alone, moment(15.5)) == moment(24 + 7.5), "nobody comes after work"
    watched = replace(alone, opened_until="19:30")
    assert staffed.opened(watched, moment(19.5)) == moment(19.5)
    assert staffed.opened(watched, moment(19.6)) == moment(24 + 7.5)
    assert staffed.opened(watched, moment(6.0)) == moment(7.5), "not before work"
    saturday = moment(12.0, FRIDAY + timedelta(days=1))
    assert staffed.opened(watched, saturday) == moment(7.5, FRIDAY + timedelta(days=3))


STRAW = CookKind("straw", 6.0, 60, 150, 440.0)


@pytest.mark.parametrize(
    ("load_at", "cool", "opened_until", "usable"),
    [
        ("09:30", 14.0, "", 1),  # open at 15:30, work ends at 16:00; cool in the night
        ("10:30", 14.0, "", None),  # opened at 07:30, cool at 21:30 of the day straw keeps
        ("10:30", 4.0, "", 1),  # opened at 07:30 and cool at 11:30: still usable on that day
        ("10:30", 14.0, "17:00", 1),  # somebody comes at 16:30, cool in the night
        ("10:30", 17.0, "16:00", None),
    ],
)
def test_a_cook_whose_vessels_nobody_can_use_in_time_serves_nothing(
    load_at: str, cool: float, opened_until: str, usable: int | None
) -> None:
    """Pasteurised straw keeps for a day from its cook; common practice, no source."""
    book = farm(STRAW, load_at, hours_per_day=22.0, cool=cool)
    steriliser = replace(book.sterilisers[0], opened_until=opened_until)
    routes = tuple(
        replace(
            r,
            steps=tuple(replace(s, cook="straw" if s.cook == "block" else s.cook) for s in r.steps),
        )
        for r in book.routes
    )
    worker = replace(book.workers[0], hours=(8.5,) * 5 + (0.0, 0.0))
    book = replace(book, sterilisers=(steriliser,), routes=routes, workers=(worker,))
    [ready] = cooks_ready(book, WorkDays.of(book.farm, MONDAY, 3))
    assert ready.first[0] == usable


def test_a_load_that_waits_in_the_day_is_opened_later() -> None:
    """Loaded at 08:00 it is open at 13:00; loaded at 11:00 only when work begins again."""
    book = farm(replace(FEW, hours=5.0), "08:00", hours_per_day=14.0, cool=1.0)
    book = replace(book, sterilisers=(replace(book.sterilisers[0], opened_until=""),))
    ready = cooks_ready(book, WorkDays.of(book.farm, MONDAY, 7))
    later = with_later_loads(ready, book, MONDAY, {"s": 11.0})
    assert (ready[0].first[0], later[0].first[0]) == (0, 1)
    assert later[0].first[1:] == ready[0].first[1:]
    assert with_later_loads(ready, book, MONDAY, {}) == ready


def test_a_farm_where_nobody_ever_comes_uses_nothing() -> None:
    book = farm(BLOCK, "10:30", cool=1.0)
    book = replace(book, workers=(Worker("w", "W", (0.0,) * 7),))
    assert first_day_of(book, book.sterilisers[0], BLOCK, MONDAY) is None


def test_the_second_load_of_a_day_is_cool_later() -> None:
    book = farm(BLOCK, "08:00", hours_per_day=14.0, cooks_per_day=2, cool=17.0)
    [ready] = cooks_ready(book, WorkDays.of(book.farm, MONDAY, 7))
    assert ready.first[0] == 1, "open at 14:00, cool at 07:00"
    assert ready.last[0] == 2, "open at 22:00, cool at 15:00: too late for that day"


def test_a_cook_that_never_serves_the_next_day_is_planned_a_day_earlier() -> None:
    quick, slow = farm(BLOCK, "10:30", cool=10.0), farm(OVERNIGHT, "16:00", cool=8.0)
    waits = [days_waited(cooks_ready(b, WorkDays.of(b.farm, MONDAY, 30))) for b in (quick, slow)]
    assert waits == [{"block": 1}, {"block": 2}]
    book = six_variety_book()
    days = []
    for each in (quick, slow):
        whole = replace(
            book, farm=each.farm, workers=each.workers, sterilisers=each.sterilisers,
            routes=each.routes,
        )  # fmt: skip
        problem, _ = build_problem(whole, (), MONDAY)
        days += [
            {m.cook_days_before for r in problem.recipes for m in r.makings if m.cook == "block"}
        ]
    assert days == [{1}, {2}]


def wanted(
    on: int, *, ready: tuple[CookReady, ...] = (), sterile: tuple[Sterile, ...] = (), cooks: int = 0
) -> Problem:
    """Return 4 + 4 blocks of two mixes wanted on a day, started the day before it."""
    first, second = (
        Making(
            "block", Stage.BLOCK, 1, 1, 1.0, (on - 1,), cook="block", litres=10.0, unit_cost=1.0,
            short_cost=100.0, mix=mix,
        )
        for mix in ("beech", "oak")
    )  # fmt: skip
    days = 10
    return Problem(
        start=MONDAY,
        days=days,
        whole_days=days,
        recipes=(Recipe("a", "A", days, (first,)), Recipe("b", "B", days, (second,))),
        orders=tuple(Order(v, "x", v, on, 4.0, "unit", "block") for v in ("a", "b")),
        resources=Resources(
            sterilisers=(
                SteriliserDays(
                    "s",
                    (CookOption("block", 5.0, 40.0),),
                    tuple(10.0 if cooks and each == 2 else 0.0 for each in range(days)),
                    (float(cooks),) * days,
                ),
            ),
            sterile=sterile,
            is_sterile_counted=True,
            ready=ready,
        ),
        has_end_stock=False,
    )


def made(problem: Problem) -> dict[str, float]:
    plan = solve(problem, time_limit_s=5.0)
    return {each: sum(s.count for s in plan.starts if s.variety == each) for each in ("a", "b")}


def test_vessels_that_stand_serve_their_own_mix_only() -> None:
    assert made(wanted(3, sterile=(Sterile("block", 80.0, 9, 0, "beech"),))) == {"a": 4, "b": 0}
    both = (Sterile("block", 20.0, 9, 0, "beech"), Sterile("block", 80.0, 9, 0, "oak"))
    assert made(wanted(3, sterile=both)) == {"a": 2, "b": 4}
    assert made(wanted(3, sterile=(Sterile("block", 80.0, 9),))) == {"a": 4, "b": 4}


@pytest.mark.parametrize(("first_day", "units"), [(1, 4), (2, 4), (3, 0)])
def test_vessels_that_are_still_warm_wait(first_day: int, units: int) -> None:
    warm = (Sterile("block", 80.0, 9, first_day, "beech"),)
    assert made(wanted(3, sterile=warm))["a"] == units


@pytest.mark.parametrize(
    ("on", "first", "last", "units"),
    [
        (4, 3, 3, 8),  # cooked on day 2, started on day 3
        (4, 4, 4, 0),  # not cool on day 3
        (5, 4, 4, 8),
        (4, 3, 4, 4),  # the first load is cool on day 3, the second is not
        (5, 3, 4, 8),
        (4, 3, None, 4),
        (4, None, None, 0),
    ],
)
def test_a_cook_serves_from_the_day_it_is_cool(
    on: int, first: int | None, last: int | None, units: float
) -> None:
    never = (None,) * 10
    ready = CookReady("s", "block", (*never[:2], first, *never[3:]), (*never[:2], last, *never[3:]))
    found = made(wanted(on, ready=(ready,), cooks=2))
    assert sum(found.values()) == units


@pytest.mark.parametrize(
    ("opened_until", "saturday", "cooks", "hours"),
    [
        ("", 8.0, 2.0, 9.0),  # the second load goes in at 12:30 or 13:30
        ("", 5.0, 1.0, 6.5),  # the last goes in by 12:00, 30 minutes before all leave
        ("18:00", 5.0, 2.0, 9.0),  # whoever opens the first puts the second in
    ],
)
def test_the_second_load_of_a_day_goes_in_while_somebody_is_there(
    opened_until: str, saturday: float, cooks: float, hours: float
) -> None:
    kinds = (CookKind("agar", 3.0, 30, 30, 40.0), CookKind("grain", 4.0, 45, 90, 60.0))
    machine = Steriliser("s", "S", "r", kinds, 9.0, 2, 1.0, "09:30", opened_until)
    farm = Farm("F", 0.0, "Europe/Vienna", working_days=tuple(Weekday)[:6], day_starts="07:30")
    worker = Worker("w", "W", (8.0,) * 5 + (saturday, 0.0))
    book = FarmBook(farm, workers=(worker,), sterilisers=(machine,))
    work = WorkDays.of(book.farm, MONDAY, 7)
    found, _ = reckon_resources(book, (), (), work, 7)
    assert (found.sterilisers[0].count[5], found.sterilisers[0].hours[5]) == (cooks, hours)
    assert found.sterilisers[0].count[6] == 0.0


def test_whoever_opens_a_steriliser_unloads_it_before_they_leave() -> None:
    """Unloading takes a third of an hour; work ends at 15:30."""
    machine = Steriliser("s", "S", "r", (BLOCK,), 9.5, 1, 0.0, "09:00")
    book = replace(farm(BLOCK, "09:00", cool=1.0), sterilisers=(machine,))
    opened = Staffed(book).opened
    work_ends = datetime.combine(MONDAY, datetime.min.time()) + timedelta(hours=15.5)
    soon = work_ends - timedelta(minutes=20)
    assert opened(machine, soon) == soon
    late = opened(machine, soon + timedelta(minutes=1))
    assert late is not None
    assert late.date() == MONDAY + timedelta(days=1)


WEEK = Farm("F", 0.0, "Europe/Vienna", working_days=tuple(Weekday)[:5])


def poured(laboratory: tuple[float, ...], load_at: str, opened_until: str = "") -> FarmBook:
    """Return a farm where Ben is there every day from 07:30 to 15:30 and Ada pours."""
    agar = CookKind("agar", 2.5, 30, 30, 0.5)
    tasks = (
        Preparation("cook", 96.0, 0, 0, RoomKind.STERILISER),
        Preparation("pour", 92.0, 0.5, 10, RoomKind.LABORATORY),
    )
    base = six_variety_book()
    steps = (replace(base.routes[0].step("plate"), cook="agar", preparations=tasks),)
    return FarmBook(
        farm=WEEK,
        workers=(
            Worker("ada", "Ada", (*laboratory, 0.0, 0.0)),
            Worker("ben", "Ben", (8.0,) * 5 + (0.0, 0.0), laboratory=False),
        ),
        routes=(replace(base.routes[0], steps=steps),),
        sterilisers=(Steriliser("s", "S", "r", (agar,), 9, 1, 1.0, load_at, opened_until),),
    )


@pytest.mark.parametrize("hours", [0.0, 4.0])  # on Wednesday: not there, or gone at 11:30
def test_agar_is_cooked_on_days_on_which_somebody_of_the_laboratory_pours_it(hours: float) -> None:
    """Loaded at 09:30 it is opened at 12:00 and sets."""
    book = poured((8.0, 8.0, hours, 8.0, 8.0), "09:30")
    assert cooks_ready(book, WorkDays.of(WEEK, MONDAY, 5))[0].first == (0, 1, None, 3, 4)


def test_where_agar_is_always_opened_after_work_it_is_poured_the_next_morning() -> None:
    book = poured((8.0, 8.0, 0.0, 8.0, 8.0), "15:00", "22:00")
    [ready] = cooks_ready(book, WorkDays.of(WEEK, MONDAY, 3))
    assert ready.first == (1, 3, 3)
