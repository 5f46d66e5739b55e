"""What somebody could have saved on a closed day is never told as nature."""

from __future__ import annotations

import itertools
from dataclasses import replace
from datetime import date
from typing import Any

import numpy as np
import pytest

from pinset.planning.model.programme import Outcome, Programme, run
from pinset.planning.plan import Short
from pinset.planning.problem import InRoom, Pinned, Problem
from pinset.planning.reading.short_reason import ShortReason
from pinset.planning.recipes import Picking
from pinset.planning.resources import FirstCook
from pinset.planning.solve import solve
from planning.test_closed_days import STANDS, farm, hands, standing
from planning.test_first_cooks import two_mixes
from planning.test_outages import book, problem_of
from planning.test_shortage_reasons import bag, chain


def shorts_of(problem: Problem) -> tuple[Short, ...]:
    return solve(problem, time_limit_s=5.0).short


def test_what_could_have_hung_until_it_is_picked_late_enough_is_for_want_of_days() -> None:
    """Ripe on day 8 and picked at once it keeps until day 11; picked on day 10, until day 13."""
    problem = farm({12: 4000.0}, blocks=0.0, in_rooms=(standing(8),))
    (short,) = shorts_of(problem)
    assert not short.is_unavoidable
    assert short.amount == pytest.approx(4000.0, abs=1.0)
    assert short.reason_code is ShortReason.CLOSED
    assert short.reason.endswith("They would be there if somebody came on 12 March.")
    (late,) = shorts_of(farm({14: 4000.0}, blocks=0.0, in_rooms=(standing(8),)))
    assert late.is_unavoidable, "picked on day 10 it keeps until day 13"


@pytest.mark.parametrize(("ripe", "come"), [(-2, "2 March"), (-1, "3 March"), (0, "4 March")])
def test_what_hangs_today_and_nobody_comes_for_is_for_want_of_days(ripe: int, come: str) -> None:
    problem = farm({4: 4000.0}, range(5), blocks=0.0, in_rooms=(standing(ripe),), keeps=6)
    (short,) = shorts_of(problem)
    assert not short.is_unavoidable
    assert short.reason_code is ShortReason.CLOSED
    assert short.reason.endswith(f"They would be there if somebody came on {come}.")


def test_what_was_spoilt_before_today_is_not_blamed_on_the_days_to_come() -> None:
    (short,) = shorts_of(farm({4: 4000.0}, range(5), blocks=0.0, in_rooms=(standing(-3),), keeps=6))
    assert short.is_unavoidable


def test_each_promise_is_held_against_the_same_promise() -> None:
    """One flush would do for either of two promises: neither is short by nature."""
    problem = farm({12: 4000.0, 14: 4000.0}, blocks=0.0, in_rooms=(standing(10, 4000.0),), keeps=6)
    for short in shorts_of(problem):
        assert not short.is_unavoidable, short.reason
        assert short.amount == pytest.approx(4000.0, abs=1.0)
        assert short.reason_code is ShortReason.CLOSED
    more = replace(problem, orders=tuple(replace(each, amount=6000.0) for each in problem.orders))
    told = {(each.promise, each.is_unavoidable): each.amount for each in shorts_of(more)}
    assert told == pytest.approx(
        {
            ("p12", True): 2000.0,
            ("p12", False): 4000.0,
            ("p14", True): 2000.0,
            ("p14", False): 4000.0,
        },
        abs=1.0,
    )


def test_a_pin_does_not_make_nature_of_closed_days() -> None:
    """Pinned to day 0 the blocks bear too early; on any other day what they bear is not picked."""
    pin = Pinned("all", "v", "Grey oyster", "fruiting", 0, 4.0)
    problem = replace(farm({12: 2000.0}), pins=(pin,))
    shorts = shorts_of(problem)
    assert sum(each.amount for each in shorts) == pytest.approx(2000.0, abs=1.0)
    assert not any(each.is_unavoidable for each in shorts)


@pytest.mark.parametrize("number", [1, 2])
def test_what_is_not_solved_to_the_end_tells_nothing(
    monkeypatch: pytest.MonkeyPatch, number: int
) -> None:
    passes = itertools.count(1)

    def hurried(programme: Programme, **how: Any) -> Outcome:
        found = run(programme, **how)
        return replace(found, is_proven=False) if next(passes) >= number else found

    monkeypatch.setattr("pinset.planning.reading.shortage.run", hurried)
    (short,) = shorts_of(farm({12: 4000.0}, blocks=0.0, in_rooms=(standing(8),)))
    assert not short.is_unavoidable
    assert short.reason_code is ShortReason.UNTOLD


def test_too_few_parents_are_not_told_as_closed_days() -> None:
    """One jar makes ten of twenty blocks; all bear for day 12 on day 11 or 12, and nobody comes."""
    off = hands((10, 11, 12, 13, 14))
    problem = chain(bags=(bag(1, 0),), order_day=12)
    few = replace(
        problem, resources=replace(problem.resources, hands_minutes=(*off, *[600.0] * 10))
    )
    told = {each.is_unavoidable: each for each in shorts_of(few)}
    assert told[True].amount == pytest.approx(5000.0, abs=1.0)
    assert told[True].reason_code is ShortReason.FEW_PARENTS
    assert "nobody works" not in told[True].reason
    assert told[False].amount == pytest.approx(5000.0, abs=1.0)


def best_of(room: InRoom, due: int, keeps: int, closed: range) -> float:
    """Return the most of what a lot bears that is there for a promise, whoever comes when. [g]"""

    def there(come: tuple[int, ...]) -> float:
        off = set(closed) - set(come)
        total = 0.0
        for pick in room.picks:
            on = next(day for day in itertools.count(max(0, pick.day)) if day not in off)
            is_sold = on - pick.day <= STANDS and on <= due <= on + keeps
            total += pick.grams if is_sold else 0.0
        return total

    days = range(len(closed) + 1)
    return max(there(come) for many in days for come in itertools.combinations(closed, many))


@pytest.mark.parametrize("seed", range(12))
def test_nature_is_what_no_days_of_coming_would_deliver(seed: int) -> None:
    """Every choice of days on which somebody comes after all is tried, day by day."""
    rng = np.random.default_rng(seed)
    begins, long, keeps = (int(rng.integers(*ends)) for ends in ((0, 6), (3, 8), (1, 5)))
    closed = range(begins, begins + long)
    due = int(rng.integers(begins + 2, closed.stop + 3))
    ripe = rng.integers(begins - 3, due, 5)
    picks = tuple(Picking(int(day), 100.0 * float(rng.integers(1, 9))) for day in sorted(ripe))
    room = replace(standing(0), picks=picks)
    problem = farm({due: 4000.0}, closed, blocks=0.0, keeps=keeps, in_rooms=(room,))
    nature = sum(each.amount for each in shorts_of(problem) if each.is_unavoidable)
    assert nature == pytest.approx(4000.0 - min(4000.0, best_of(room, due, keeps, closed)), abs=1.0)


def test_a_delivery_that_nobody_is_there_to_take_is_for_want_of_days() -> None:
    """Spawn of 18 March, a day off, is ready blocks on 1 April, that are picked on the 8th."""
    closed = book()
    closed = replace(closed, farm=replace(closed.farm, days_off=(date(2026, 3, 18),)))
    problem, _ = problem_of(closed)
    [short] = [each for each in shorts_of(problem) if each.day == date(2026, 4, 8)]
    assert not short.is_unavoidable
    assert short.reason_code is ShortReason.SET_DAYS
    assert "spawn bags delivered on 18 March" in short.reason
    [soon] = [each for each in shorts_of(problem) if each.day == date(2026, 4, 1)]
    assert "15 April at the earliest, since the next delivery" in soon.reason
    assert soon.is_unavoidable, "blocks of 18 March are picked a week later at the earliest"


@pytest.mark.parametrize(("always", "is_nature"), [(1, False), (5, True)])
def test_grain_that_nobody_is_there_to_soak_is_for_want_of_days(
    *, always: int, is_nature: bool
) -> None:
    """Rye is cooked on day 5 at the soonest: for want of people, or because it soaks so long."""
    problem = two_mixes(rye_first=5)
    there = tuple(day > 2 for day in range(problem.days))
    first = (FirstCook("grain", 1, "oats"), FirstCook("grain", always, "rye"))
    resources = replace(problem.resources, works=there, first_cook_always=first)
    (short,) = [s for s in shorts_of(replace(problem, resources=resources)) if s.variety == "r"]
    assert short.amount == pytest.approx(10.0)
    assert short.is_unavoidable is is_nature
