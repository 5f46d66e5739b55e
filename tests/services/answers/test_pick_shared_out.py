"""A weight picked of several lots is shared out as each was expected to bear."""

from __future__ import annotations

from datetime import timedelta

import pytest

from farm.small_farm import CODES, NOW, TODAY, Taps, lot
from pinset.chain.stages import Stage
from pinset.farm import door, trade
from pinset.services.books import lots
from pinset.services.jobs.records import JobKind, LotAmount
from services.recorded import LayJob, do


@pytest.fixture
def two(stock: dict[str, str]) -> tuple[str, str]:
    """Two lots of 20 units in the grow room."""
    made = lot(CODES[160], Stage.BLOCK, "block", made_on=TODAY - timedelta(days=14))
    tap = Taps(start=20_000)
    taken = trade.Taken(made.code, 20, "grow-1")
    opened = trade.opening(tap(hours=-169), made, 20, "grow-1")
    moved = trade.move(tap(hours=-168), taken, "grow-1", step="fruiting")
    door.record([opened, moved], now=NOW - timedelta(hours=40))
    return stock["fruiting"], made.code


def grams(code: str) -> int:
    return lots.lot_view(code).picked_g


@pytest.mark.parametrize(
    ("expected", "shares"), [((4300, 230), (3797, 203)), ((4300,), (2000, 2000))]
)
def test_by_what_was_expected_of_each_or_else_by_units(
    expected: tuple[int, ...], shares: tuple[int, int], lay: LayJob, two: tuple[str, str]
) -> None:
    borne = tuple(LotAmount(code, n) for code, n in zip(two, expected, strict=False))
    of = tuple(LotAmount(code, 20) for code in two)
    do(lay(JobKind.PICK, count=4, unit="kg", grams=4530, lots=of, borne=borne), grams=4000)
    assert tuple(map(grams, two)) == shares
