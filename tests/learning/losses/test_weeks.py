"""Weeks of losses: against sums by hand, a quiet drawn farm, and one that gets worse."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from math import sqrt

import numpy as np
import pytest

from learning.losses.drawn_farm import SHOWING, START, drawn_farm
from pinset.chain.histories import Seen
from pinset.chain.stages import Stage
from pinset.learning.losses.weeks import LEAST_WEEKS, WEEK, losses_by_week, units_told

NOW = START + timedelta(days=150)


def seeded(seed: int) -> np.random.Generator:
    return np.random.Generator(np.random.PCG64(seed))


def test_only_what_would_have_shown_counts() -> None:
    law = SHOWING[Stage.GRAIN]
    lot = replace(
        drawn_farm(seeded(1), lots=1).lots[0], seen=(Seen(0.0, 4.0, 30, 2), Seen(4.0, 9.0, 12, 1))
    )
    first, second = float(law.shown_by(4.0)), float(law.shown_by(9.0))
    assert units_told(lot, law) == pytest.approx(30 * first + 12 * (second - first))


def test_weeks_are_summed_and_limits_drawn_as_by_hand() -> None:
    farm = drawn_farm(seeded(2), quiet_sd=0.0)
    [grain] = losses_by_week(farm.lots, SHOWING, NOW)
    assert [each.at for each in grain.weeks] == sorted(each.at for each in grain.weeks)
    one = grain.weeks[-5]
    own = [lot for lot in farm.lots if one.at < lot.made_at <= one.at + WEEK]
    assert one.lots == len(own)
    assert one.found == sum(lot.found for lot in own)
    assert one.units == pytest.approx(sum(units_told(lot, SHOWING[Stage.GRAIN]) for lot in own))
    assert one.share == pytest.approx(one.found / one.units)
    assert grain.usual is not None
    assert grain.wider is not None
    assert one.limit == pytest.approx(
        grain.usual
        + 3.0 * max(1.0, grain.wider) * sqrt(grain.usual * (1.0 - grain.usual) / one.units)
    )


def test_a_quiet_farm_has_hardly_a_week_that_stands_out() -> None:
    raised = told = 0
    for seed in range(20):
        [grain] = losses_by_week(drawn_farm(seeded(100 + seed)).lots, SHOWING, NOW)
        raised += sum(each.is_raised for each in grain.weeks)
        told += len(grain.weeks)
    assert raised / told < 0.02


def test_a_bad_month_stands_out_and_does_not_hide_itself() -> None:
    farm = drawn_farm(seeded(3), quiet_sd=0.0, lot_sd=0.0)
    since = NOW - timedelta(days=35)
    lots = [
        replace(
            lot,
            seen=tuple(replace(each, found=min(each.units, 4 * each.found)) for each in lot.seen),
        )
        if lot.made_at >= since
        else lot
        for lot in farm.lots
    ]
    [grain] = losses_by_week(lots, SHOWING, NOW)
    late = [each for each in grain.weeks if each.at >= since]
    assert sum(each.is_raised for each in late) >= len(late) - 1
    assert not any(each.is_raised for each in grain.weeks if each.at < since - WEEK)


def test_few_weeks_have_no_limits_and_clean_ones_neither() -> None:
    [grain] = losses_by_week(
        drawn_farm(seeded(4), lots=14 * (LEAST_WEEKS - 2)).lots, SHOWING, START + timedelta(days=60)
    )
    assert grain.usual is None
    assert all(each.limit is None and not each.is_raised for each in grain.weeks)
    clean = [
        replace(lot, seen=tuple(replace(each, found=0) for each in lot.seen))
        for lot in drawn_farm(seeded(5)).lots
    ]
    [grain] = losses_by_week(clean, SHOWING, NOW)
    assert grain.usual is None
    assert all(each.share == 0.0 for each in grain.weeks)
    assert losses_by_week([], SHOWING, NOW) == ()
    unseen = [replace(lot, seen=()) for lot in clean]
    assert losses_by_week(unseen, SHOWING, NOW) == ()
