"""Pins from the register into the plan, and what they cost against the plan without them."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import pytest

from farm.small_farm import NOW, TODAY
from pinset.chain.pins import Pin, pin_code
from pinset.chain.register import FarmBook
from pinset.errors import RefusedError
from pinset.farm.stamp import described_stamp, register_stamp
from pinset.planning.plan import Short
from pinset.planning.season.chances import FarmChances, OrderChance
from pinset.services.board.pins_cost import NOTHING, less_sure, shorter
from pinset.services.book_reader import Reader
from pinset.services.books.register_change import write_record
from pinset.services.plans import planning_day
from services.conftest import FULL_BOOK

READER = Reader(FULL_BOOK, TODAY)
MONDAY = date(2026, 3, 16)


def short(day: date, grams: float) -> Short:
    return Short("market-grey", day, "grey", grams, "gram", 5000.0, "Why.", is_unavoidable=False)


def test_what_is_short_with_pins_is_told_by_week() -> None:
    """The same kilogram on another day of the week is no cost; 2 kg more in the next week are."""
    free = [short(MONDAY, 1000.0)]
    assert shorter([short(MONDAY + timedelta(days=3), 1000.0)], free, READER) == ()
    assert shorter([short(MONDAY, 1040.0)], free, READER) == ()
    with_pins = [short(MONDAY, 1000.0), short(MONDAY + timedelta(days=8), 2000.0)]
    assert shorter(with_pins, free, READER) == (
        "With the pins 2 kg more Grey oyster will be short, in the week from 23 March.",
    )


def test_what_is_less_sure_is_told_by_promise() -> None:
    def chances(chance: float) -> FarmChances:
        one = OrderChance("market-grey", MONDAY, "grey", "gram", 5e3, chance, 5e3, 4e3, 6e3)
        return FarmChances(100, (one,))

    assert less_sure(chances(0.92), chances(0.95), READER) == ()
    [said] = less_sure(chances(0.7), chances(0.95), READER)
    assert said == (
        "5 kg Grey oyster for Market stall on 16 March is met in 70 of 100 seasons; without the "
        "pins it would be in 95 of 100 seasons."
    )


def pin(step: str, day: date, count: int) -> Pin:
    return Pin(pin_code("grey", step, day), "grey", step, day, count)


def test_a_pin_is_refused_if_it_names_nothing_that_is_started(farm: FarmBook) -> None:
    del farm
    with pytest.raises(RefusedError, match="step"):
        write_record(pin("beech", TODAY, 3), "", NOW)
    with pytest.raises(RefusedError, match="count"):
        write_record(replace(pin("grain", TODAY, 3), count=-1), "", NOW)


def test_a_pin_does_not_make_the_aim_be_tried_anew(farm: FarmBook) -> None:
    del farm
    described, written = described_stamp(), register_stamp()
    write_record(pin("grain", TODAY, 3), "", NOW)
    assert described_stamp() == described
    assert register_stamp() > written


def test_the_plan_keeps_a_pin_and_says_what_it_costs(farm: FarmBook, stock: dict[str, str]) -> None:
    del farm, stock
    tomorrow = TODAY + timedelta(days=1)
    write_record(pin("plate", tomorrow, 5), "", NOW)
    write_record(pin("grain", TODAY - timedelta(days=1), 9), "", NOW)
    write_record(pin("block", TODAY + timedelta(days=2), 8), "", NOW)  # a Saturday
    planned = planning_day.replan(NOW, time_limit_s=10.0)
    kept = {each.step: each for each in planned.plan.pins}
    assert set(kept) == {"plate", "block"}, "what is past is gone"
    assert kept["plate"].planned == pytest.approx(5.0)
    assert kept["block"].words.endswith("cannot be: nobody works on that day.")
    assert kept["block"].words in planned.remarks
    assert planned.pins_cost
    latest = planning_day.latest()
    assert latest is not None
    assert (latest.plan.pins, latest.pins_cost) == (planned.plan.pins, planned.pins_cost)
    assert NOTHING.endswith(".")
