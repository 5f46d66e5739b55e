from math import sqrt

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pinset.chain.register import Spread
from pinset.chain.spreads import variance
from pinset.errors import InputError
from pinset.learning.triangles import triangle

LEANING = Spread(5.0, 6.0, 11.0)


def test_the_lean_of_the_route_is_kept_where_there_is_room() -> None:
    found = triangle(20.0, 2.0, like=LEANING)
    assert found.mean == pytest.approx(20.0)
    assert variance(found) == pytest.approx(4.0)
    ratio = (found.high - found.mode) / (found.mode - found.low)
    assert ratio == pytest.approx(5.0)


def test_at_a_bound_mean_and_width_hold_and_the_lean_gives_way() -> None:
    found = triangle(0.05, 0.03, like=Spread(0.0, 0.02, 0.04), most=1.0)
    assert found.low == 0.0
    assert found.mean == pytest.approx(0.05)
    assert variance(found) == pytest.approx(0.03**2)


def test_wider_than_a_triangle_on_its_bound_can_be_keeps_the_mean() -> None:
    found = triangle(0.05, 0.2, like=LEANING, most=1.0)
    assert (found.low, found.mode) == (0.0, 0.0)
    assert found.mean == pytest.approx(0.05)
    assert sqrt(variance(found)) == pytest.approx(0.05 / sqrt(2.0))


@given(
    mean=st.floats(0.001, 0.999),
    sd=st.floats(0.0, 0.5),
    mode=st.floats(0.0, 1.0),
)
def test_a_fraction_always_gets_its_mean_between_its_bounds(
    mean: float, sd: float, mode: float
) -> None:
    found = triangle(mean, sd, like=Spread(0.0, mode, 1.0), least=0.0, most=1.0)
    assert -1e-9 <= found.low <= found.mode + 1e-9 <= found.high + 2e-9 <= 1.0 + 3e-9
    assert found.mean == pytest.approx(mean, abs=1e-9)
    ends = Spread(*sorted((found.low, found.mode, found.high)))
    assert sqrt(max(0.0, variance(ends))) <= sd + 1e-6


@pytest.mark.parametrize(("mean", "sd", "why"), [(-1.0, 1.0, "mean"), (1.0, -1.0, "deviation")])
def test_what_cannot_be_is_refused(mean: float, sd: float, why: str) -> None:
    with pytest.raises(InputError, match=why):
        triangle(mean, sd, like=LEANING)
