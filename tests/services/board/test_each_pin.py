"""What each of several pins costs by itself."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from itertools import count

import pytest

from pinset.chain.pins import Pin, pin_code
from pinset.planning.problem import Problem
from pinset.services.board.each_pin import what_each_costs
from pinset.services.book_reader import Reader
from planning.test_outages import THURSDAY, book, on, problem_of

BLOCK_DAY, OTHER_DAY = 7, 8
"""Blocks are started on Thursdays: the 5 kg of Wednesday 15 April hang on those of day 7."""


def pin(step: str, days: int, units: int) -> Pin:
    return Pin(pin_code("bought", step, on(days)), "bought", step, on(days), units)


def said(*pins: Pin, **more: object) -> tuple[str, ...]:
    whole = replace(book(), pins=pins)

    def with_pins(some: tuple[Pin, ...]) -> Problem:
        return problem_of(replace(whole, pins=some))[0]

    codes = {each.code for each in pins}
    return what_each_costs(pins, codes, with_pins, Reader(whole, THURSDAY), **more)  # type: ignore[arg-type]


def test_the_pin_that_costs_is_told_from_the_one_that_does_not() -> None:
    costly, idle = pin("block", BLOCK_DAY, 0), pin("block", OTHER_DAY, 0)
    first, second = said(costly, idle)
    assert first.startswith(
        "By itself the pin of no Bought blocks on 19 March costs 5 kg more Bought short"
    )
    assert second == "Nothing by itself costs: no Bought blocks on 20 March."


def test_work_that_a_pin_makes_is_told() -> None:
    extra, idle = pin("block", OTHER_DAY, 30), pin("block", OTHER_DAY + 1, 0)
    first, _ = said(extra, idle)
    assert "more work" in first
    assert "short" not in first


def test_where_none_costs_anything_that_is_said_once() -> None:
    [line] = said(pin("block", OTHER_DAY, 0), pin("block", OTHER_DAY + 3, 0))
    assert line == "No pin costs anything by itself, with the others left as they are."


def test_of_one_pin_all_is_said_already() -> None:
    assert said(pin("block", BLOCK_DAY, 0)) == ()


@pytest.mark.parametrize(("seconds", "told"), [(0.5, 0), (2.0, 1)])
def test_what_time_is_too_short_for_is_named(seconds: float, told: int) -> None:
    """The clock goes on by half a second with every look at it."""
    looks: Iterator[int] = count()
    pins = (pin("block", BLOCK_DAY, 0), pin("block", OTHER_DAY, 0))
    lines = said(*pins, seconds=seconds, clock=lambda: 0.5 * next(looks))
    assert len([line for line in lines if "by itself" in line.lower()]) == told
    assert lines[-1].startswith("Time was too short to reckon one by one: ")
    assert lines[-1].endswith("no Bought blocks on 20 March.")
