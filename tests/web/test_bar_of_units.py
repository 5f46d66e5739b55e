"""The picture of a lot's counts: drawn to scale, loss hatched, nothing left out."""

from __future__ import annotations

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pinset.web.views.lots import BAR, SHAPES, bar_of

COUNTS = st.fixed_dictionaries({name: st.integers(-500, 5000) for name in SHAPES})


@given(COUNTS)
def test_stretches_touch_and_fill_the_bar(counts: dict[str, int]) -> None:
    parts = bar_of({"made": 1, **counts})
    shown = [name for name, count in counts.items() if count]
    assert len(parts) == len(shown)
    if parts:
        assert sum(part.width for part in parts) == pytest.approx(BAR, abs=0.06 * len(parts))
    for left, right in pairwise(parts):
        assert right.x == pytest.approx(left.x + left.width, abs=0.11)


def test_loss_is_hatched_and_a_quarter_is_a_quarter() -> None:
    alive, lost = bar_of({"made": 24, "alive": 18, "lost": 6})
    assert lost.shape == "lostfill"
    assert lost.width == pytest.approx(BAR / 4, abs=0.1)
    assert alive.x < lost.x
    assert bar_of({"made": 0}) == ()
