"""Losses by stage: against expected finds added up by hand, and drawn farms that change."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from math import exp

import numpy as np
import pytest

from learning.losses.drawn_farm import EXPECTED, SHARE, SHOWING, START, drawn_farm
from pinset.chain.histories import Seen
from pinset.chain.stages import Stage
from pinset.learning.losses.by_stage import LATELY_DAYS, expected_found, losses_by_stage
from pinset.learning.losses.told import log_rate

NOW = START + timedelta(days=150)


def seeded(seed: int) -> np.random.Generator:
    return np.random.Generator(np.random.PCG64(seed))


def test_expected_finds_of_one_lot() -> None:
    law = SHOWING[Stage.GRAIN]
    lot = replace(
        drawn_farm(seeded(1), lots=1).lots[0], seen=(Seen(0.0, 4.0, 30, 0), Seen(4.0, 9.0, 12, 1))
    )
    rate = exp(log_rate(SHARE))
    first, second = float(law.shown_by(4.0)), float(law.shown_by(9.0))
    by_hand = 30 * (1 - exp(-rate * first)) + 12 * (1 - exp(-rate * (second - first)))
    assert expected_found(lot, law, SHARE) == pytest.approx(by_hand)


def test_a_farm_that_stays_as_expected() -> None:
    farm = drawn_farm(seeded(2), quiet_sd=0.0)
    [grain] = losses_by_stage(farm.lots, SHOWING, EXPECTED, NOW)
    assert grain.stage is Stage.GRAIN
    assert grain.lately.lots + grain.before.lots == 300
    assert grain.lately.lots == LATELY_DAYS * 2
    for spell in (grain.lately, grain.before):
        assert spell.low is not None
        assert spell.high is not None
        assert spell.low < 1.0 < spell.high
    assert not grain.is_worse
    assert not grain.is_better


def test_twice_as_much_lately_is_worse_and_half_is_better() -> None:
    farm = drawn_farm(seeded(3), quiet_sd=0.0)
    lately = NOW - timedelta(days=LATELY_DAYS)
    for times, name in ((3, "is_worse"), (0, "is_better")):
        lots = [
            replace(lot, seen=tuple(replace(each, found=times * each.found) for each in lot.seen))
            if lot.made_at >= lately
            else lot
            for lot in farm.lots
        ]
        [grain] = losses_by_stage(lots, SHOWING, EXPECTED, NOW)
        assert getattr(grain, name)


def test_little_expected_says_little() -> None:
    farm = drawn_farm(seeded(4), lots=6)
    [grain] = losses_by_stage(farm.lots, SHOWING, EXPECTED, START + timedelta(days=20))
    assert grain.before.ratio is None
    assert not grain.is_worse
    assert losses_by_stage(farm.lots, SHOWING, {}, NOW) == ()
