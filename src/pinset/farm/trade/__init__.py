"""Builders of entries, one for each thing that happens on a farm. Pure: nothing is stored here.

Services and the demo build every entry with these, so that the same thing is always written down
in the same way.
"""

from __future__ import annotations

from pinset.farm.trade.benchwork import session
from pinset.farm.trade.cultures import cleared, measured, woken
from pinset.farm.trade.heat import CookVerdict, learnt, verdict
from pinset.farm.trade.laboratory import cook, inoculate, opening, prepare, receive
from pinset.farm.trade.looking import (
    correct,
    decide,
    drop,
    judge,
    look,
    mended,
    note,
    put_off,
    rounds,
    shake,
)
from pinset.farm.trade.parts import ParentShare, Taken, Tap, with_units
from pinset.farm.trade.rooms import clone, cull, lose, move, recount, recount_places, spend
from pinset.farm.trade.selling import deliver, dry, order, pack, pick, sell, sell_dried, waste
from pinset.farm.trade.upkeep import ChoreReading, chore_done, instruction_read

__all__ = [
    "ChoreReading",
    "CookVerdict",
    "ParentShare",
    "Taken",
    "Tap",
    "chore_done",
    "cleared",
    "clone",
    "cook",
    "correct",
    "cull",
    "decide",
    "deliver",
    "drop",
    "dry",
    "inoculate",
    "instruction_read",
    "judge",
    "learnt",
    "look",
    "lose",
    "measured",
    "mended",
    "move",
    "note",
    "opening",
    "order",
    "pack",
    "pick",
    "prepare",
    "put_off",
    "receive",
    "recount",
    "recount_places",
    "rounds",
    "sell",
    "sell_dried",
    "session",
    "shake",
    "spend",
    "verdict",
    "waste",
    "with_units",
    "woken",
]
