"""Weight in the store knows its day of picking, whatever came and went since."""

from __future__ import annotations

from datetime import date, timedelta

import pytest

from farm.small_farm import CODES, NOW, TODAY, Taps, describe, lot
from pinset.chain.stages import Stage
from pinset.farm import door, trade
from pinset.farm.check import check
from pinset.farm.corrections import undo_of
from pinset.farm.queries.store import stored_weight
from pinset.farm.trade import Taken

BLOCK = CODES[7]
KEEPS = {"grey": 6}
DAY = 24

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def tap() -> Taps:
    describe()
    tap = Taps()
    made = lot(BLOCK, Stage.BLOCK, "block", made_on=TODAY - timedelta(days=30))
    door.record([trade.opening(tap(hours=-20 * DAY), made, 20, "grow-1")], now=NOW)
    return tap


def back(days: int) -> date:
    return TODAY - timedelta(days=days)


def stands() -> list[tuple[str, date | None, int]]:
    return [(w.place, w.picked_on, w.grams) for w in stored_weight(KEEPS, "Europe/Vienna")]


def picked(tap: Taps, days: int, grams: int) -> None:
    door.record([trade.pick(tap(hours=-days * DAY), BLOCK, grams, 1, "cold-1")], now=NOW)


def test_each_days_picking_stands_by_itself_the_oldest_first(tap: Taps) -> None:
    picked(tap, 2, 700)
    picked(tap, 8, 500)
    assert stands() == [("cold-1", back(8), 500), ("cold-1", back(2), 700)]
    assert stored_weight(KEEPS, "Europe/Vienna", variety="blue") == ()


def test_the_oldest_still_good_on_its_day_was_handed_over(tap: Taps) -> None:
    for days, grams in ((8, 500), (4, 300), (2, 700)):
        picked(tap, days, grams)
    early = trade.deliver(tap(hours=-3 * DAY), [Taken(BLOCK, 200, "cold-1")], buyer="weir")
    door.record([early], now=NOW)
    assert stands()[0] == ("cold-1", back(8), 300)
    late = trade.deliver(tap(), [Taken(BLOCK, 400, "cold-1")], buyer="weir")
    door.record([late], now=NOW)
    assert stands() == [("cold-1", back(8), 300), ("cold-1", back(2), 600)]
    door.record([undo_of(late.client_id, tap())], now=NOW)
    assert stands()[1:] == [("cold-1", back(4), 300), ("cold-1", back(2), 700)]
    assert check() == ()


def test_what_was_thrown_out_was_the_oldest_and_comes_back_with_undo(tap: Taps) -> None:
    picked(tap, 8, 500)
    picked(tap, 2, 700)
    out = trade.waste(tap(), [Taken(BLOCK, 500, "cold-1")], cause="past its keeping days")
    door.record([out], now=NOW)
    assert stands() == [("cold-1", back(2), 700)]
    door.record([undo_of(out.client_id, tap())], now=NOW)
    assert stands() == [("cold-1", back(8), 500), ("cold-1", back(2), 700)]


def test_weight_carried_to_another_place_keeps_its_day(tap: Taps) -> None:
    picked(tap, 3, 500)
    picked(tap, 2, 700)
    carried = trade.pack(tap(), [Taken(BLOCK, 600, "cold-1")], to_place="van")
    door.record([carried], now=NOW)
    assert stands() == [("van", back(3), 500), ("cold-1", back(2), 600), ("van", back(2), 100)]


def test_a_picking_told_late_pays_what_was_handed_over_before_it(tap: Taps) -> None:
    picked(tap, 3, 500)
    over = trade.deliver(tap(hours=-30), [Taken(BLOCK, 800, "cold-1")], buyer="weir")
    door.record([over], now=NOW)
    assert stands() == []
    picked(tap, 1, 900)
    assert stands() == [("cold-1", back(1), 600)]


def test_the_day_an_entry_names_counts_whatever_the_variety_keeps(tap: Taps) -> None:
    picked(tap, 8, 500)
    picked(tap, 2, 700)
    trimmed = trade.waste(tap(), [Taken(BLOCK, 50, "cold-1", back(2))], cause="trimmed")
    sold = trade.deliver(tap(), [Taken(BLOCK, 400, "cold-1", back(8))], buyer="weir")
    door.record([trimmed, sold], now=NOW)
    assert stands() == [("cold-1", back(8), 100), ("cold-1", back(2), 650)]
    assert check() == ()
