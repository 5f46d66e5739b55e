"""Before and after on drawn farms: what was mended shows, and what was not does not."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import numpy as np

from learning.losses.drawn_farm import EXPECTED, SHOWING, START, drawn_farm
from pinset.chain.histories import LotHistory, Shared
from pinset.learning.losses.mended import _vessel, helped

AT = START + timedelta(days=75)


def farm(seed: int, times: int) -> tuple[LotHistory, ...]:
    """Return a farm whose lots made before a day lost so many times as much."""
    lots = drawn_farm(np.random.Generator(np.random.PCG64(seed)), quiet_sd=0.0).lots
    return tuple(
        replace(lot, seen=tuple(replace(each, found=times * each.found) for each in lot.seen))
        if lot.made_at < AT
        else lot
        for lot in lots
    )


def test_a_third_of_the_losses_since_is_less() -> None:
    line = farm(1, 3)[0].shared[Shared.LINE]
    found = helped(farm(1, 3), SHOWING, EXPECTED, kind=Shared.LINE, level=line, at=AT)
    assert found.change < -1.645
    assert found.before.lots + found.after.lots < 112
    whole = helped(farm(1, 3), SHOWING, EXPECTED, kind=Shared.SESSION, level="session-20", at=AT)
    assert whole.change < found.change
    assert (whole.before.lots, whole.after.lots) == (112, 113)


def test_nothing_changed_is_seldom_told_as_a_change() -> None:
    changes = [
        helped(
            farm(seed, 1), SHOWING, EXPECTED, kind=Shared.SESSION, level="session-3", at=AT
        ).change
        for seed in range(30)
    ]
    assert sum(abs(each) > 1.645 for each in changes) <= 8  # 3 expected of 30 at 10 %


def test_a_cook_is_followed_by_its_steriliser() -> None:
    assert _vessel("kettle-20260317-1030") == "kettle"
    assert _vessel("big-drum-20260317-1030") == "big-drum"
    assert _vessel("odd") == "odd"
    lots = tuple(
        replace(lot, shared={**lot.shared, Shared.COOK: f"{'ab'[n % 2]}-20250{n % 9}01-1000"})
        for n, lot in enumerate(farm(2, 1))
    )
    level = lots[0].shared[Shared.COOK]
    found = helped(lots, SHOWING, EXPECTED, kind=Shared.COOK, level=level, at=AT)
    assert (found.before.lots, found.after.lots) == (56, 57)  # the last day counts, too


def test_an_unknown_suspect_says_nothing() -> None:
    found = helped(farm(3, 1), SHOWING, EXPECTED, kind=Shared.LINE, level="none", at=AT)
    assert found.before.ratio is None
    assert found.change == 0.0
