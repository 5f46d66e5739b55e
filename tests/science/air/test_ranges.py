"""Ranges: order, corners, and what is worth measuring."""

from __future__ import annotations

from math import inf

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pinset.errors import InputError
from pinset.science.air.ranges import Range, over, published, swings

ENDS = st.lists(st.floats(-1e6, 1e6), min_size=3, max_size=3).map(sorted)


@given(ENDS, ENDS, st.floats(0.0, 1.0), st.floats(0.0, 1.0))
def test_an_answer_lies_in_its_range_wherever_the_inputs_are(
    one: list[float], two: list[float], s: float, t: float
) -> None:
    found = over(lambda a, b: 3.0 * a - b, Range(*one), Range(*two))
    a, b = one[0] + s * (one[2] - one[0]), two[0] + t * (two[2] - two[0])
    assert found.low - 1e-6 <= 3.0 * a - b <= found.high + 1e-6


def test_what_falls_with_its_input_keeps_its_order() -> None:
    assert over(lambda x: 1.0 / x, Range(1.0, 2.0, 4.0)) == Range(0.25, 0.5, 1.0)
    assert Range(1.0, 2.0, 4.0).times(-1.0) == Range(-4.0, -2.0, -1.0)
    assert Range(0.0, 1.0, 2.0).plus(Range.exactly(1.0)) == Range(1.0, 2.0, 3.0)


def test_the_measurement_that_narrows_most_comes_first() -> None:
    known = {"flow": Range(9.0, 10.0, 11.0), "gas": Range(1.0, 2.0, 4.0), "room": Range.exactly(3)}
    found = swings(lambda flow, gas, room: gas / flow + room, known)
    assert [swing.name for swing in found] == ["gas", "flow"]
    assert found[0].answer == Range(3.1, 3.2, 3.4)


@pytest.mark.parametrize("ends", [(2.0, 1.0, 3.0), (1.0, float("nan"), 3.0), (1.0, 4.0, 3.0)])
def test_no_order(ends: tuple[float, float, float]) -> None:
    with pytest.raises(InputError, match="low, a middle"):
        Range(*ends)


def test_what_is_never_reached_is_allowed_and_no_number_is_not() -> None:
    assert Range(1.0, inf, inf).high == inf
    with pytest.raises(InputError, match="not a number"):
        over(lambda x: x - inf + inf, Range.exactly(1.0))


def test_a_published_value_without_bounds_is_known() -> None:
    assert published("filter.h14", "efficiency").is_known
    assert not published("person.own-clothes", "sheds_0.5um").is_known
