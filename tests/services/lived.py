"""Lots that lived on the small farm: made, lost from, moved, picked and cleared."""

from __future__ import annotations

from datetime import timedelta

from farm.small_farm import CODES, NOW, TODAY, Taps, lot
from pinset.chain.stages import Stage
from pinset.farm import door, trade
from pinset.farm.trade import Taken

MADE = 60
"""Days ago."""


def live(tap: Taps, number: int, lost: int = 1, grams: int = 450) -> str:
    """Record the whole life of a lot of 20 blocks, with so many grams from each that stands."""
    code, left = CODES[number], 20 - lost
    child = lot(code, Stage.BLOCK, "block", made_on=TODAY - timedelta(days=MADE))

    def at(day: float) -> float:
        return (day - MADE) * 24.0

    entries = [trade.inoculate(tap(hours=at(0)), [], child, 20, "inc-1")]
    if lost:
        entries.append(trade.lose(tap(hours=at(6)), Taken(code, lost, "inc-1")))
    if left:
        taken = Taken(code, left, "inc-1")
        grown = {"grown_at": "grow-1"}
        entries += [
            trade.move(tap(hours=at(12)), taken, "grow-1", step="fruiting"),
            trade.pick(tap(hours=at(22 + number % 3)), code, grams * left, 1, "cold-1", **grown),
            trade.spend(tap(hours=at(30)), Taken(code, left, "grow-1")),
        ]
    door.record(entries, now=NOW)
    return code


def growing(tap: Taps) -> str:
    """Record a lot of 20 blocks that is still growing."""
    child = lot(CODES[90], Stage.BLOCK, "block", made_on=TODAY - timedelta(days=3))
    door.record([trade.inoculate(tap(hours=-72), [], child, 20, "inc-1")], now=NOW)
    return child.code
