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
