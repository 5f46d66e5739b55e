"""The steady week of the sizing beside the steady weeks of a plan, which is laid day by day.

The plan is solved in fractions, from a farm that has been running. Five to eleven weeks ahead the
start is over and the end is far; the plan still keeps stock, follows order days and evens out what
began unevenly, so single steps may differ by a quarter, and the farm's resources by an eighth.
"""

from __future__ import annotations

from collections import defaultdict
from dataclasses import replace

import pytest

from pinset.chain.register import FarmBook, RoomKind
from pinset.planning.building.from_book import build_problem
from pinset.planning.plan import Plan
from pinset.planning.problem import Problem
from pinset.planning.sizing.records import Sizing, Wanted
from pinset.planning.sizing.sizing import size
from pinset.planning.solve import solve
from planning.six_varieties import TODAY, kinds, six_variety_book, six_variety_stock

FIRST, LAST = 35, 77  # days ahead
WEEKS = (LAST - FIRST) / 7


def wanted(factor: float = 1.0) -> list[Wanted]:
    return [Wanted(kind.code, factor * 1000 * kind.kg) for kind in kinds()]


def times(book: FarmBook, factor: float) -> FarmBook:
    return replace(
        book, promises=tuple(replace(p, amount=round(factor * p.amount)) for p in book.promises)
    )


def planned(book: FarmBook) -> tuple[Problem, Plan]:
    problem, _ = build_problem(book, six_variety_stock(), TODAY, whole_days=0)
    plan = solve(problem, time_limit_s=30.0, gap=0.001)
    assert plan.status == "proven"
    return problem, plan


def is_steady(day: object) -> bool:
    return FIRST <= (day - TODAY).days < LAST  # type: ignore[operator]


@pytest.fixture(scope="module")
def sizing() -> Sizing:
    return size(six_variety_book(), wanted())


@pytest.fixture(scope="module")
def plan(sizing: Sizing) -> tuple[Problem, Plan]:
    assert sizing.steps, "reckoned before, so that one use of the solver cannot hinder the other"
    return planned(six_variety_book())


def test_units_begun(sizing: Sizing, plan: tuple[Problem, Plan]) -> None:
    begun: dict[str, float] = defaultdict(float)
    blocks: dict[str, float] = defaultdict(float)
    for start in plan[1].starts:
        if is_steady(start.day):
            begun[start.step] += start.count / WEEKS
            if start.step == "block":
                blocks[start.variety] += start.count / WEEKS
    total: dict[str, float] = defaultdict(float)
    for step in sizing.steps:
        total[step.step] += step.started
        if step.step == "block":
            assert blocks[step.variety] == pytest.approx(step.started, rel=0.25), step
    assert begun["block"] == pytest.approx(total["block"], rel=0.10)
    assert begun["sawdust"] == pytest.approx(total["sawdust"], rel=0.25)
    grain = begun["grain"] + begun["grain-2"]
    assert grain == pytest.approx(total["grain"] + total["grain-2"], rel=0.25)
    assert begun["spawn"] == pytest.approx(total["spawn"], rel=0.25)


def test_steriliser(sizing: Sizing, plan: tuple[Problem, Plan]) -> None:
    """In fractions of cooks, as the plan's far weeks are."""
    hours = sum(cook.hours for cook in plan[1].cooks if is_steady(cook.day)) / WEEKS
    cooks = sum(cook.cooks for cook in plan[1].cooks if is_steady(cook.day)) / WEEKS
    by_key = {each.key: each.in_proportion for each in sizing.resources}
    assert hours == pytest.approx(by_key["steriliser hours"], rel=0.125)
    assert cooks == pytest.approx(by_key["steriliser cooks"], rel=0.125)


def test_bench(sizing: Sizing, plan: tuple[Problem, Plan]) -> None:
    problem, laid = plan
    minutes = 0.0
    for start in laid.starts:
        if is_steady(start.day):
            making = problem.recipe(start.variety).making(start.step)  # type: ignore[union-attr]
            assert making is not None
            minutes += start.count * making.bench_minutes
    per_unit = sum(
        step.started * making.bench_minutes
        for step in sizing.steps
        if (making := problem.recipe(step.variety).making(step.step)) is not None  # type: ignore[union-attr]
    )
    assert minutes / WEEKS == pytest.approx(per_unit, rel=0.125)


def most_of(rows: list[tuple[float, int, int]]) -> float:
    """Return the most that stands on a steady day, of amounts with their days from and until."""
    return max(
        sum(amount for amount, begins, ends in rows if begins <= day < ends)
        for day in range(FIRST, LAST)
    )


def test_places_in_grow_rooms(sizing: Sizing, plan: tuple[Problem, Plan]) -> None:
    problem, laid = plan
    rows = [(lot.places, 0, lot.leaves_day) for lot in problem.in_rooms]
    for move in laid.moves:
        fruiting = problem.recipe(move.variety).fruiting  # type: ignore[union-attr]
        entered = (move.day - TODAY).days
        if fruiting is not None and move.step == fruiting.step:
            rows.append((move.count * fruiting.places, entered, entered + fruiting.days_in_room))
    needs = {each.key: each.need for each in sizing.resources}
    assert most_of(rows) == pytest.approx(needs["grow cool"] + needs["grow warm"], rel=0.125)


def test_places_on_shelves(sizing: Sizing, plan: tuple[Problem, Plan]) -> None:
    """Of units under way; those that wait are not told in a plan, so it shows a little less."""
    problem, laid = plan
    rows = [
        (lot.units * stay.places, stay.from_day, stay.until_day)
        for lot in problem.stock
        for stay in lot.stays
        if stay.room is RoomKind.INCUBATION
    ]
    for start in laid.starts:
        making = problem.recipe(start.variety).making(start.step)  # type: ignore[union-attr]
        begun = (start.day - TODAY).days
        rows += [
            (start.count * stay.places, begun + stay.from_day, begun + stay.until_day)
            for stay in (making.stays if making is not None else ())
            if stay.room is RoomKind.INCUBATION
        ]
    needs = {each.key: each.need for each in sizing.resources}
    assert most_of(rows) == pytest.approx(needs["places incubation"], rel=0.125)


def short_share(plan: Plan, book: FarmBook) -> float:
    promised = sum(promise.amount for promise in book.promises) * WEEKS
    return sum(each.amount for each in plan.short if is_steady(each.day)) / promised


def test_the_plan_meets_what_is_well_below_the_first_bottleneck(sizing: Sizing) -> None:
    book = times(six_variety_book(), 0.85 * sizing.full[0].factor)
    _, plan = planned(book)
    assert short_share(plan, book) < 0.02


def test_the_plan_is_short_well_above_the_first_bottlenecks(sizing: Sizing) -> None:
    """At twice the kilograms shelves and both climates are full; more cannot leave than fits."""
    assert [each.key for each in sizing.full[:3]] == ["places incubation", "grow cool", "grow warm"]
    book = times(six_variety_book(), 2.0)
    _, plan = planned(book)
    assert short_share(plan, book) > 1.0 - 1.15 * sizing.full[2].factor / 2.0
    named = {about for each in plan.short for about in each.about}
    assert any("incubation" in about or "grow room" in about for about in named)
