"""What recording asks before it writes."""

from __future__ import annotations

from itertools import permutations

import pytest
from django.db import transaction

from farm.small_farm import CODES, NOW, Taps, lot
from pinset.chain.stages import Stage
from pinset.farm import trade, whereabouts
from pinset.farm.door import record
from pinset.farm.trade import Taken

pytestmark = pytest.mark.usefixtures("farm")
A = CODES[0]


def test_two_picks_of_one_moment_give_one_flush_in_every_order(tap: Taps) -> None:
    made = trade.receive(tap(), lot(A, Stage.BLOCK, "block"), 9, "inc-1")
    picks = [trade.pick(tap(), A, 100, flush, "inc-2") for flush in (1, 2)]
    assert picks[0].happened_at == picks[1].happened_at
    found = []
    for order in permutations(picks):
        mark = transaction.savepoint()
        record([made, *order], now=NOW)
        found.append(whereabouts.flushes_of([A])[A].flush)
        transaction.savepoint_rollback(mark)
    assert found == [2, 2]


def test_what_is_owed_is_told_by_place(tap: Taps) -> None:
    record([trade.receive(tap(), lot(A, Stage.GRAIN, "grain"), 4, "inc-1")], now=NOW)
    record([trade.lose(tap(), Taken(A, 6, "inc-1")), trade.lose(tap(), Taken(A, 1))], now=NOW)
    assert whereabouts.owed_at(A) == {"": 1, "inc-1": 2}
