"""What units can well bear is asked about only far from what their route says."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from math import inf

import pytest

from pinset.chain.bearing import bears, bears_early, flush_ends, flush_of, most_borne_g
from pinset.chain.living import LivingLot
from pinset.chain.register import Flush, Route, Spread, Step, StepKind
from pinset.chain.stages import Stage

SINCE = date(2026, 3, 1)
NONE_LOST = Spread(0, 0, 0)
STEPS = (
    Step("block", StepKind.TRANSFER, Stage.BLOCK, Spread(10, 14, 20), NONE_LOST, 22.0),
    Step("fruiting", StepKind.FRUIT, Stage.BLOCK, Spread(8, 10, 12), NONE_LOST, 16.0),
)


def units(step: str = "fruiting") -> LivingLot:
    return LivingLot(
        "AAAAA", "grey", step, Stage.BLOCK, 20, SINCE - timedelta(days=20), SINCE, "grow-1",
        "grow", 16.0, Route("r", STEPS),
    )  # fmt: skip


@pytest.mark.parametrize(
    ("days", "early", "in_flush"), [(1, True, False), (5, True, False), (6, False, False),
                                    (7, False, False), (8, False, True), (30, False, True)],
)  # fmt: skip
def test_the_first_flush_takes_the_days_of_the_route(
    days: int, *, early: bool, in_flush: bool
) -> None:
    day = SINCE + timedelta(days=days)
    assert (bears_early(units(), day), bears(units(), day)) == (early, in_flush)


def test_a_persons_judgement_makes_it_sooner_and_never_later() -> None:
    soon = replace(units(), expected_ready_on=SINCE + timedelta(days=4))
    assert bears(soon, SINCE + timedelta(days=4))
    late = replace(units(), expected_ready_on=SINCE + timedelta(days=20))
    assert bears(late, SINCE + timedelta(days=8))


def test_what_was_picked_bears_and_what_came_later_has_its_own_days() -> None:
    day = SINCE + timedelta(days=2)
    picked = replace(units(), flush=1, last_picked_on=SINCE + timedelta(days=1))
    assert (flush_of(picked), bears(picked, day), bears_early(picked, day)) == (1, True, False)
    others = replace(picked, last_picked_on=SINCE - timedelta(days=1))
    assert (flush_of(others), bears(others, day), bears_early(others, day)) == (0, False, True)


def test_what_is_still_in_its_spawn_run_bears_nothing() -> None:
    assert not bears(units("block"), SINCE + timedelta(days=40))


@pytest.mark.parametrize("whole", [1.0, 500.0, 16_000.0])
def test_twice_the_yield_is_never_asked_about(whole: float) -> None:
    assert 2 * whole < most_borne_g(whole) < 2 * whole + 2000


def test_kilograms_written_for_grams_are_asked_about() -> None:
    """900 kg from 32 blocks of 500 g."""
    assert most_borne_g(32 * 500.0) < 900_000


def test_without_a_yield_nothing_is_asked() -> None:
    assert most_borne_g(0.0) == inf


def test_a_flush_is_over_after_its_picking_days() -> None:
    flushes = (Flush(NONE_LOST, 0.6, 3, 0.0), Flush(Spread(9, 12, 15), 0.4, 2, 0.0))
    lot = units()
    steps = (STEPS[0], replace(STEPS[1], flushes=flushes))
    lot = replace(lot, route=replace(lot.route, steps=steps))
    ends = [(flush_ends(lot, flush) - SINCE).days for flush in (1, 2, 3)]
    assert ends == [12, 25, 25]
    assert flush_ends(units(), 1) == SINCE + timedelta(days=10)
