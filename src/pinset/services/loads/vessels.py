"""Prepared vessels and how their cook stands: which may be inoculated, and which need a reason."""

from __future__ import annotations

from dataclasses import dataclass
from enum import IntEnum

from pinset.farm.queries.alive import PreparedLot, prepared
from pinset.farm.queries.cooks import standing_verdicts
from pinset.farm.trade import CookVerdict
from pinset.services.cooks.words import cook_in_words, has_doubtful_air


class Sound(IntEnum):
    """How much speaks for a vessel, the best first."""

    PASSED = 0  # or of no known cook: there when the farm was loaded
    WITH_AIR = 1  # passed where it was measured, with more air left in than is sure
    NOT_JUDGED = 2
    FAILED = 3


@dataclass(frozen=True, slots=True)
class Vessels:
    """Prepared vessels of one lot at one place."""

    lot: PreparedLot
    sound: Sound
    words: str  # cook kettle-20260312-1000: passed; empty: no cook is known


def standing_vessels() -> tuple[Vessels, ...]:
    """Return the prepared vessels that stand ready: those of passed cooks first, then by age."""
    lots = prepared()
    judged = standing_verdicts({lot.cook for lot in lots})
    found = []
    for lot in lots:
        said = judged.get(lot.cook)
        sound = Sound.NOT_JUDGED
        if not lot.cook or (said and said.verdict == CookVerdict.PASS):
            sound = Sound.WITH_AIR if said and has_doubtful_air(said.details) else Sound.PASSED
        elif said and said.verdict == CookVerdict.FAIL:
            sound = Sound.FAILED
        found.append(Vessels(lot, sound, cook_in_words(lot.cook, said)))
    return tuple(sorted(found, key=lambda each: (each.sound, each.lot.made_on)))
