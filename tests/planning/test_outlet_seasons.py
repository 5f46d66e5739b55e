"""What outlets get in many seasons, and that no promise is touched by it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import date

import numpy as np
import pytest
from numpy.typing import NDArray

from pinset.planning.outlets.allotment import planned_surplus
from pinset.planning.outlets.seasons import OutletDays, handed_over, outlet_ranges
from pinset.planning.outlets.surplus import Crop, left_of_promises
from pinset.planning.outlets.visits import Visit
from pinset.planning.problem import IN_STORE, Problem
from pinset.planning.recipes import Recipe
from pinset.planning.season.chances import chances_of
from planning.test_season import CASE, farm

MONDAY = date(2026, 3, 16)
DAYS = 49
PROBLEM = Problem(
    MONDAY,
    DAYS,
    0,
    (
        Recipe("grey", "Grey", DAYS, (), picked_keeps_days=4),
        Recipe("king", "King", DAYS, (), picked_keeps_days=9),
    ),
)
CROPS = (
    Crop("grey", IN_STORE, 2, 1200.0),
    Crop("king", IN_STORE, 5, 500.0),
    *(Crop("grey", day, day + 4, 2600.0) for day in (1, 3, 8, 10, 15, 17, 22)),
    *(Crop("king", day, day + 9, 2400.0) for day in (0, 7, 14, 21)),
)
VISITS = tuple(
    visit
    for week in range(5)
    for visit in (
        Visit("stall", 7 * week + 5, 7 * week + 4, {"grey": 1000.0, "king": 1500.0}, 0.0, 2500.0),
        Visit("soup", 7 * week + 2, 7 * week + 2, {"grey": 700.0}, 800.0, 4000.0),
        Visit("drier", 7 * week + 2, 7 * week + 2, {"king": 500.0}, 0.0, 1200.0),
    )
)
OUTLETS = OutletDays(VISITS, CROPS, planned_surplus(PROBLEM, CROPS, VISITS))


def seasons(factors: Sequence[float]) -> NDArray[np.float32]:
    """Return the crops, each season with its own part of what is expected."""
    found = np.zeros((2, DAYS, len(factors)), np.float32)
    for crop in CROPS:
        row = ["grey", "king"].index(crop.variety)
        found[row, crop.last_day + 1] += np.float32(crop.grams) * np.array(factors, np.float32)
    return found


def test_if_all_comes_as_expected_outlets_get_what_is_planned() -> None:
    assert {share.outlet for share in OUTLETS.planned.shares} == {"stall", "soup", "drier"}
    sold = handed_over(PROBLEM, seasons([1.0]), OUTLETS)
    for v, visit in enumerate(VISITS):
        on = PROBLEM.date_of(visit.day)
        planned = sum(
            share.grams
            for share in OUTLETS.planned.shares
            if (share.outlet, share.day) == (visit.outlet, on)
        )
        assert sold[v][0] == pytest.approx(planned, abs=1.0)


def test_limits_hold_and_nothing_appears_in_any_season() -> None:
    factors = [0.0, 0.3, 0.6, 0.9, 1.0, 1.2, 1.7, 4.0]
    left_over = seasons(factors)
    sold = handed_over(PROBLEM, left_over, OUTLETS)
    for v, visit in enumerate(VISITS):
        assert np.all((sold[v] == 0) | (sold[v] >= visit.least - 0.1))
        assert np.all(sold[v] <= visit.most + 0.1)
    whole = np.sum(list(sold.values()), axis=0)
    assert np.all(whole <= left_over.sum(axis=(0, 1)) + 0.5)
    assert list(whole) == sorted(whole), "a richer season brings the outlets no less"
    assert whole[-1] > 1.2 * whole[4]


def test_an_outlet_has_only_what_was_picked_by_then_and_is_still_good() -> None:
    """Grey of Tuesday keeps until Saturday: the Saturday stall has it, the one after does not."""
    alone = np.zeros((2, DAYS, 1), np.float32)
    alone[0, 1 + 4 + 1] = 900.0
    stalls = OutletDays(
        (
            Visit("early", 1, 0, {"grey": 1000.0}),
            Visit("stall", 5, 4, {"grey": 1000.0}),
            Visit("late", 6, 6, {"grey": 1000.0}),
        ),
        (),
        planned_surplus(PROBLEM, (), ()),
    )
    assert [float(row[0]) for row in handed_over(PROBLEM, alone, stalls).values()] == [
        0.0,
        900.0,
        0.0,
    ]


def test_a_week_has_its_mean_and_its_range() -> None:
    factors = np.linspace(0.5, 1.5, 101).tolist()
    found = outlet_ranges(PROBLEM, seasons(factors), OUTLETS)
    assert [each.monday for each in found] == sorted(each.monday for each in found)
    stall = [each for each in found if each.outlet == "stall"]
    assert len(stall) == 5
    assert all(each.low <= each.high <= 2500.1 for each in stall)
    sold = handed_over(PROBLEM, seasons(factors), OUTLETS)
    [first] = [v for v, visit in enumerate(VISITS) if (visit.outlet, visit.day) == ("stall", 5)]
    grams = np.sort(sold[first])
    assert (stall[0].low, stall[0].high) == (pytest.approx(grams[10]), pytest.approx(grams[90]))
    assert stall[0].expected == pytest.approx(grams.mean())


def test_money_is_the_mean_of_what_the_seasons_bring() -> None:
    """By hand: soup takes one variety for 7.00 a kilogram, so its money is its mean weight."""
    found = outlet_ranges(PROBLEM, seasons(np.linspace(0.2, 2.0, 101).tolist()), OUTLETS)
    for each in found:
        if each.outlet == "soup":
            assert each.cents == pytest.approx(0.7 * each.expected, rel=1e-4)
    stall = [each for each in found if each.outlet == "stall"]
    for each in stall:
        assert each.cents is not None
        assert 1.0 * each.expected - 1.0 <= each.cents <= 1.5 * each.expected + 1.0
    as_planned = outlet_ranges(PROBLEM, seasons([1.0]), OUTLETS)
    brought = sum(each.cents or 0.0 for each in as_planned)
    assert brought == pytest.approx(
        sum(share.cents for share in OUTLETS.planned.shares), rel=1e-3
    ), "where all comes as expected it is the plan's own money"


def test_weeks_that_are_not_known_whole_are_left_out() -> None:
    last = Visit("stall", 40, 40, {"king": 100.0})
    outlets = replace(OUTLETS, visits=(*VISITS, last))
    found = outlet_ranges(PROBLEM, seasons([1.0]), outlets)
    assert max(each.monday for each in found) == PROBLEM.date_of(28)


def test_chances_carry_the_ranges_and_stay_what_they_are() -> None:
    problem, plan, odds = farm(CASE)
    visits = tuple(
        Visit("stall", day, day, {"v": 900.0}, 300.0, 5000.0) for day in range(problem.days)
    )
    crops = left_of_promises(problem, plan)
    outlets = OutletDays(visits, crops, planned_surplus(problem, crops, visits))
    found = chances_of(problem, plan, odds, seasons=500, seed=4, outlets=outlets)
    assert found.outlets
    assert all(0.0 <= each.low <= each.high <= 35_000.0 for each in found.outlets)
    assert sum(each.expected for each in found.outlets) > 0.0
    without = chances_of(problem, plan, odds, seasons=500, seed=4)
    assert (without.orders, without.outlets) == (found.orders, ())
    alone = chances_of(replace(problem, orders=()), plan, odds, seasons=500, outlets=outlets)
    assert alone.orders == ()
    assert alone.outlets
