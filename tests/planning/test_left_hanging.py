"""What was expected of a flush on days of work and not picked: it hangs on as long as it stands."""

from __future__ import annotations

from dataclasses import replace

import pytest

from pinset.chain.living import LivingLot
from pinset.chain.register import FarmBook, Flush, Spread
from planning.test_rest_of_flush import BOOK, FRUITING, LOT, ROUTE
from planning.test_unseen_rooms import closed, day, picked

BEGUN = replace(LOT, flush_g=2500, picked_g=2500, last_picked_on=day(6))
"""Ten kilograms on the sixth to the ninth day; of those the first 2.5 kg were picked."""

NONE_CLOSED = closed(range(0))


def again(book: FarmBook, lot: LivingLot, today: int) -> dict[int, int]:
    return {when: round(grams) for when, grams in picked(book, lot, today).items()}


@pytest.mark.parametrize(
    ("today", "there"),
    [
        (7, {7: 2500, 8: 2500, 9: 2500}),
        (8, {8: 5000, 9: 2500}),
        (9, {9: 7500}),
        (10, {10: 5000}),  # what ripened on the seventh has hung three days
        (11, {11: 2500}),
        (12, {}),
    ],
)
def test_what_nobody_picked_hangs_for_two_days(today: int, there: dict[int, int]) -> None:
    assert again(NONE_CLOSED, BEGUN, today) == there


def test_it_is_spoilt_if_days_off_follow() -> None:
    """Nobody picks on the seventh; the eighth to the tenth are days off."""
    assert again(closed(range(8, 11)), BEGUN, 8) == {11: 2500}


def test_the_next_flush_comes_after_it() -> None:
    """It begins ten days after the last picking, which is today's at the earliest."""
    none = Spread(0, 0, 0)
    flushes = (Flush(none, 0.5, 4, 0.0), Flush(Spread(10, 10, 10), 0.5, 1, 0.0))
    route = replace(ROUTE, steps=(replace(FRUITING, flushes=flushes),))
    lot = replace(BEGUN, route=route, flush_g=1250, picked_g=1250)
    assert again(replace(BOOK, routes=(route,)), lot, 11) == {11: 1250, 21: 5000}
    assert again(replace(BOOK, routes=(route,)), lot, 12) == {16: 5000}


def test_what_is_not_to_be_picked_at_all_is_not_expected() -> None:
    """That was said on the eighth: what ripens after it still comes."""
    lot = replace(BEGUN, given_up_on=day(8))
    assert again(NONE_CLOSED, lot, 8) == {9: 2500}
    assert again(NONE_CLOSED, lot, 9) == {9: 2500}


PART = replace(BEGUN, flush_g=400, picked_g=400, part_picked_on=day(6))
"""Of the first 2.5 kg only 0.4 kg were picked, and that was said to be a part."""


@pytest.mark.parametrize(
    ("today", "there"),
    [
        (6, {6: 2100, 7: 2500, 8: 2500, 9: 2500}),
        (7, {7: 4600, 8: 2500, 9: 2500}),
        (8, {8: 7100, 9: 2500}),
        (9, {9: 7500}),  # the rest of the sixth has hung three days
        (10, {10: 5000}),
    ],
)
def test_the_rest_of_a_part_hangs_and_is_not_lost(today: int, there: dict[int, int]) -> None:
    assert again(NONE_CLOSED, PART, today) == there


def test_what_a_finished_pick_did_not_bring_is_not_there() -> None:
    """So it is too where the part was of a day before: the last pick was finished."""
    next_days = {7: 2500, 8: 2500, 9: 2500}
    assert again(NONE_CLOSED, replace(PART, part_picked_on=None), 7) == next_days
    assert again(NONE_CLOSED, replace(PART, part_picked_on=day(5)), 7) == next_days


def test_the_rest_of_a_part_is_given_up_alone() -> None:
    lot = replace(PART, given_up_on=day(6))
    for today in (6, 7):
        assert again(NONE_CLOSED, lot, today) == {7: 2500, 8: 2500, 9: 2500}


@pytest.mark.parametrize(
    ("picked_g", "on", "there"),
    [
        (2900, 7, {7: 2100, 8: 2500, 9: 2500}),  # the second day's pick
        (400, 8, {8: 2100, 9: 2500, 10: 2500, 11: 2500}),  # the flush began two days late
        (3000, 6, {6: 2000, 7: 2500, 8: 2500}),  # more than one day's share, and more is ripe
        (9900, 9, {9: 100}),
        (2490, 6, {7: 2500, 8: 2500, 9: 2500}),  # a few grams are no pick
    ],
)
def test_a_part_of_any_day_leaves_the_rest(picked_g: int, on: int, there: dict[int, int]) -> None:
    lot = replace(
        PART, flush_g=picked_g, picked_g=picked_g, last_picked_on=day(on), part_picked_on=day(on)
    )
    assert again(NONE_CLOSED, lot, on) == there


def test_the_next_flush_comes_after_the_rest_of_a_part() -> None:
    """A flush of one day, partly picked on the sixth: its rest is picked on the seventh."""
    none = Spread(0, 0, 0)
    flushes = (Flush(none, 0.5, 1, 0.0), Flush(Spread(10, 10, 10), 0.5, 1, 0.0))
    route = replace(ROUTE, steps=(replace(FRUITING, flushes=flushes),))
    lot, book = replace(PART, route=route), replace(BOOK, routes=(route,))
    assert again(book, lot, 7) == {7: 4600, 17: 5000}
    assert again(book, replace(lot, given_up_on=day(6)), 7) == {16: 5000}
