"""Other weekdays are proposed where they cost less, and only there."""

from __future__ import annotations

from dataclasses import replace
from itertools import product

import pytest

from pinset.chain.register import FarmBook, Weekday
from pinset.planning.ask.weekdays import OtherDays, better_weekdays, with_weekdays
from pinset.planning.problem import Problem
from pinset.planning.solve import solve
from planning.test_outages import book, problem_of

WORKING = (Weekday.MON, Weekday.TUE, Weekday.WED, Weekday.THU, Weekday.FRI)


def build(farm: FarmBook) -> Problem:
    return problem_of(farm)[0]


def on_days(block: Weekday, move: Weekday) -> FarmBook:
    farm = book()
    route = farm.routes[0]
    changes = [
        OtherDays(route.code, "block", (), (block,)),
        OtherDays(route.code, "fruiting", (), (move,)),
    ]
    return with_weekdays(farm, changes)


def cost(farm: FarmBook) -> float:
    near = replace(build(farm), whole_days=0)
    return solve(near, time_limit_s=5.0, gap=1e-4, explains=False).objective


@pytest.mark.parametrize("begin", [(Weekday.THU, Weekday.THU), (Weekday.MON, Weekday.FRI)])
def test_no_single_other_weekday_of_all_costs_less(begin: tuple[Weekday, Weekday]) -> None:
    """Two steps, one weekday each: every pair of weekdays is tried for comparison."""
    farm = on_days(*begin)
    found = better_weekdays(farm, build, goes_on=lambda _: True)
    assert found.is_whole
    better = with_weekdays(farm, found.changes)
    own, least = cost(better), min(cost(on_days(*pair)) for pair in product(WORKING, WORKING))
    assert found.saved == pytest.approx(1.0 - own / cost(farm), abs=1e-3)
    route = better.routes[0]
    block, move = route.step("block").weekdays[0], route.step("fruiting").weekdays[0]
    for day in WORKING:
        assert own <= cost(on_days(day, move)) * 1.002
        assert own <= cost(on_days(block, day)) * 1.002
    assert least <= own


def test_a_farm_on_its_best_days_is_left_alone() -> None:
    first = better_weekdays(on_days(Weekday.MON, Weekday.FRI), build, goes_on=lambda _: True)
    settled = with_weekdays(on_days(Weekday.MON, Weekday.FRI), first.changes)
    again = better_weekdays(settled, build, goes_on=lambda _: True)
    assert again.changes == ()
    assert again.saved == pytest.approx(0.0, abs=1e-9)


def test_time_ends_it_with_what_was_found_so_far() -> None:
    farm = on_days(Weekday.MON, Weekday.FRI)
    found = better_weekdays(farm, build, goes_on=lambda tried: tried < 3)
    assert found.tried == 3
    assert not found.is_whole
    assert cost(with_weekdays(farm, found.changes)) <= cost(farm)
