"""Pins: kept where any plan can, else as nearly as can be, with a sentence and the rest planned."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import numpy as np
import pytest

from pinset.chain.outages import OutageOf
from pinset.chain.pins import Pin, pin_code
from pinset.chain.register import FarmBook
from pinset.planning.model.limits_pins import columns_of
from pinset.planning.model.model import build_model
from pinset.planning.plan import PinKept, Plan
from pinset.planning.problem import Pinned
from pinset.planning.solve import solve
from planning.test_brute_force import STARTS, every_plan, tiny
from planning.test_outages import blocks, book, on, out, plan_of, problem_of


@pytest.mark.parametrize("has_steriliser", [False, True])
@pytest.mark.parametrize("seed", range(12))
def test_of_all_plans_that_come_nearest_to_a_pin_the_cheapest_is_found(
    seed: int,
    has_steriliser: bool,  # noqa: FBT001
) -> None:
    problem = tiny(np.random.default_rng(seed), has_steriliser=has_steriliser)
    plans = list(every_plan(problem))
    for day in STARTS:
        for count in (1, 3):
            pin = Pinned("pin", "v", "V", "grain", day, float(count))
            plan = solve(replace(problem, pins=(pin,)), time_limit_s=20.0, gap=0.0)
            misses = min(abs(counts[day] - count) for counts, _ in plans)
            best = min(cost for counts, cost in plans if abs(counts[day] - count) == misses)
            [kept] = plan.pins
            assert abs(kept.planned - count) == pytest.approx(misses, abs=1e-4)
            assert plan.objective == pytest.approx(best, abs=1e-3)
            assert bool(kept.words) == (misses > 0)


def pin(step: str, days: int, count: int) -> Pin:
    day = on(days)
    return Pin(pin_code("bought", step, day), "bought", step, day, count)


def pinned(*pins: Pin, among: FarmBook | None = None) -> FarmBook:
    return replace(among or book(), pins=pins)


def started(plan: Plan, step: str, days: int) -> float:
    return sum(s.count for s in plan.starts if (s.step, s.day) == (step, on(days)))


def only_pin(plan: Plan) -> PinKept:
    [kept] = plan.pins
    return kept


def test_a_start_goes_to_a_day_its_rhythm_does_not_know() -> None:
    """Blocks are started on Thursdays (day 7, 14); Friday 20 March is day 8."""
    assert started(plan_of(book()), "block", 8) == 0.0
    plan = plan_of(pinned(pin("block", 8, 6)))
    assert started(plan, "block", 8) == pytest.approx(6.0)
    assert only_pin(plan).words == ""


def test_none_on_a_day_closes_it_for_starts_orders_and_moves() -> None:
    whole = plan_of(book())
    assert started(whole, "block", 7) > 0.0
    plan = plan_of(pinned(pin("block", 7, 0)))
    assert started(plan, "block", 7) == 0.0
    assert only_pin(plan).words == ""
    assert started(whole, "spawn", 1) > 0.0
    assert started(plan_of(pinned(pin("spawn", 1, 0))), "spawn", 1) == 0.0
    ready = blocks(book(), 14)
    move = plan_of(book(), ready).moves[0]
    closed = pinned(pin("fruiting", (move.day - on(0)).days, 0))
    assert move.day not in [each.day for each in plan_of(closed, ready).moves]


def test_a_move_is_pinned_too() -> None:
    plan = plan_of(pinned(pin("fruiting", 4, 17)), blocks(book(), 14))
    moved = sum(m.count for m in plan.moves if (m.step, m.day) == ("fruiting", on(4)))
    assert moved == pytest.approx(17.0)


def test_more_than_the_parents_give_is_started_as_far_as_they_go_and_said() -> None:
    """Spawn ordered on 13 March comes on the 18th: on day 1 there is none."""
    plan = plan_of(pinned(pin("block", 1, 20)))
    kept = only_pin(plan)
    assert (kept.planned, kept.count) == (0.0, 20.0)
    assert kept.words.startswith("Of 20 blocks of Bought pinned for 13 March none can be started:")
    assert "2 more spawn bags are needed by 13 March" in kept.words  # ten blocks from one
    assert started(plan, "block", 7) > 0.0, "the plan still comes for the rest"


def test_what_a_steriliser_that_is_down_cannot_cook_is_said() -> None:
    down = book(out(OutageOf.STERILISER, "steamer", 0, 7))
    kept = only_pin(plan_of(pinned(pin("block", 7, 11), among=down)))
    assert kept.planned == 0.0
    assert "the steriliser has no time for block cooks on 18 March" in kept.words


def test_more_than_a_full_steriliser_holds_is_started_as_far_as_it_goes() -> None:
    """Bags of 4 L, 40 L a cook, two cooks a day of 5 h in 12 h: 20 a day, vessels keep three days.

    Of days 3 (Sunday is 3: none), 4, 5 and 6 three work, so at most 60 blocks on Thursday, day 7.
    """
    plan = plan_of(pinned(pin("block", 7, 100)))
    kept = only_pin(plan)
    assert 20.0 <= kept.planned < 100.0
    assert f"only {round(kept.planned)} can be started" in kept.words


@pytest.mark.parametrize(
    ("wanted", "why"),
    [
        (pin("block", 2, 5), "nobody works on that day"),  # Saturday
        (pin("spawn", 4, 5), "an order of that day reaches no delivery"),
        (pin("block", 500, 5), "further ahead than the plan looks"),
        (replace(pin("block", 7, 5), variety="beech"), "no step block that is planned"),
    ],
)
def test_what_no_plan_could_do_is_said_and_the_plan_comes(wanted: Pin, why: str) -> None:
    plan = plan_of(pinned(wanted))
    assert why in only_pin(plan).words
    assert plan.starts


def test_pins_that_contradict_each_other_are_said_and_the_first_is_kept() -> None:
    other = replace(pin("block", 7, 9), code="other")
    plan = plan_of(pinned(pin("block", 7, 4), other))
    assert started(plan, "block", 7) == pytest.approx(4.0)
    words = {kept.code: kept.words for kept in plan.pins}
    assert words["other"] == (
        "4 blocks of Bought on 19 March and 9 are pinned: the first is kept; "
        "take one of the two off."
    )


def test_pins_of_the_past_are_gone() -> None:
    problem, _ = problem_of(pinned(pin("block", -1, 5)))
    assert problem.pins == ()


def test_what_was_started_today_counts_and_no_more_is_started() -> None:
    lot = replace(blocks(book(), 0), alive=5, step_since=on(0), made_on=on(0))
    problem, _ = problem_of(pinned(pin("block", 0, 5)), lot)
    [asked] = problem.pins
    assert (asked.count, asked.done) == (0.0, 5.0)
    plan = solve(problem, time_limit_s=5.0)
    assert only_pin(plan).planned == 5.0
    assert started(plan, "block", 0) == 0.0


def test_a_code_is_short_and_its_own_for_each_start_and_day() -> None:
    long = "a-variety-of-a-very-long-name-indeed"
    codes = {pin_code(long, "ripening-very-long-step", on(day)) for day in range(3)}
    assert len(codes) == 3
    assert all(len(code) <= 40 for code in codes)
    assert timedelta(days=1) == on(1) - on(0)


def cook_pin(days: int, count: int) -> Pin:
    day = on(days)
    return Pin(pin_code("steamer", "block", day), "", "block", day, count, steriliser="steamer")


def cooks(plan: Plan) -> list[int]:
    """Return the days of the near cooks."""
    return [(c.day - on(0)).days for c in plan.cooks if not c.provisional and c.day < on(21)]


def test_a_cook_is_held_on_a_day_and_closed_on_another() -> None:
    """Blocks are started on Thursdays and vessels keep three days: an earlier day would do, too."""
    usual = cooks(plan_of(book()))
    day = next(day for day in usual if 4 <= day <= 6)
    other = next(day for day in (4, 5, 6) if day not in usual)
    held = plan_of(pinned(cook_pin(other, 1), cook_pin(day, 0)))
    assert other in cooks(held)
    assert day not in cooks(held)
    assert [each.words for each in held.pins] == ["", ""]
    assert {each.planned for each in held.pins} == {0.0, 1.0}
    assert started(held, "block", 7) == pytest.approx(started(plan_of(book()), "block", 7))


def test_a_cook_without_time_or_without_anything_to_cook_is_said() -> None:
    sunday = only_pin(plan_of(pinned(cook_pin(3, 1))))
    assert sunday.planned == 0.0
    assert sunday.words.endswith("none can be done: it has no time for one that day.")
    two = only_pin(plan_of(pinned(cook_pin(6, 9))))
    assert two.planned < 9.0
    assert two.words.startswith("Of 9 block cooks of steamer pinned for 18 March")
    far = only_pin(plan_of(pinned(cook_pin(200, 1))))
    assert "further ahead" in far.words


def test_no_day_of_a_far_week_stands_for_it_in_a_pin() -> None:
    """Cooks are planned by the day for four weeks; after that a pin of one day holds no week."""
    problem, _ = problem_of(book())
    assert problem.whole_days == 21
    model = build_model(problem)
    cooked = {day for _, kind, day in model.n if kind == "block"}
    pins = {
        day: Pinned("c", "", "", "block", day, 1.0, steriliser="steamer") for day in range(21, 42)
    }
    by_day = {day for day, pin in pins.items() if columns_of(model, pin)}
    assert by_day == {day for day in cooked if 21 <= day < 28}
    assert any(day >= 28 for day in cooked)
