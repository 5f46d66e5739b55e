"""What units can well bear is asked about only far above what their route says."""

from __future__ import annotations

from math import inf

import pytest

from pinset.chain.bearing import most_borne_g


@pytest.mark.parametrize("whole", [1.0, 500.0, 16_000.0])
def test_twice_the_yield_is_never_asked_about(whole: float) -> None:
    assert 2 * whole < most_borne_g(whole) < 2 * whole + 2000


def test_kilograms_written_for_grams_are_asked_about() -> None:
    """900 kg from 32 blocks of 500 g."""
    assert most_borne_g(32 * 500.0) < 900_000


def test_without_a_yield_nothing_is_asked() -> None:
    assert most_borne_g(0.0) == inf
