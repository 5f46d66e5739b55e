"""What one tap wrote down, in one sentence."""

from __future__ import annotations

from collections.abc import Sequence

from pinset.services.floor.records import Deed
from pinset.services.floor.taps import Saying
from pinset.services.looking.causes import cause_of
from pinset.services.views import Done
from pinset.services.words import joined, kilograms

SAID = {
    Deed.SHAKE: "shaken",
    Deed.LOOK: "looked over, nothing seen",
    Deed.MOVE: "moved on",
    Deed.CARRY: "moved",
    Deed.CLEAR: "cleared out, spent",
    Deed.DISCARD: "thrown out",
    Deed.LOSE: "lost",
    Deed.HOLD: "held back",
    Deed.RELEASE: "offered again",
}
WHOLE_LOTS = frozenset({Deed.HOLD, Deed.RELEASE})


def sentence_of(saying: Saying, done: Sequence[Done], system: str) -> str:
    """Return what was written down; ``system`` is the farm's choice of units."""
    if saying.deed is Deed.USE:
        return joined([each.sentence for each in done])
    lots = saying.lots
    if saying.deed is Deed.PICK:
        weight = kilograms(saying.grams or 0, system)
        return f"{next(iter(lots))}: {weight} picked."
    said = SAID[saying.deed]
    if saying.deed is Deed.CARRY:
        said = f"{said} to {saying.choice}"
    elif saying.choice:
        is_loss = saying.deed is Deed.LOSE
        said = f"{said}, {cause_of(saying.choice).words if is_loss else saying.choice}"
    if saying.deed in WHOLE_LOTS:
        return f"{joined(list(lots))}: {said}."
    of_each = [
        f"{units} of {lot}{_numbers(saying.units.get(lot, ()))}" for lot, units in lots.items()
    ]
    return f"{joined(of_each)}: {said}."


def _numbers(units: Sequence[int]) -> str:
    if not units:
        return ""
    return f" ({'unit' if len(units) == 1 else 'units'} {', '.join(map(str, units))})"
