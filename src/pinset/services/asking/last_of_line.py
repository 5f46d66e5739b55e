"""What goes with a lot that is taken out: the last tubes, cultures or mother spawn of its line."""

from __future__ import annotations

from collections.abc import Sequence

from pinset.chain.living import LivingLot
from pinset.chain.seen_contaminated import sound_of
from pinset.chain.stages import Stage, noun_of

CULTURES = frozenset({Stage.TUBE, Stage.PLATE, Stage.LIQUID})


def last_of_line(code: str, living: Sequence[LivingLot]) -> str:
    """Return that taking a lot out ends something of its line; empty: enough is left.

    Parameters
    ----------
    code : str
        Of the lot.
    living : sequence of LivingLot
        Everything alive, the lot among it.
    """
    own = next((each for each in living if each.code == code), None)
    if own is None or not is_mother(own):
        return ""
    alike = [
        each
        for each in sound_of(living)
        if each.code != code
        and not each.order
        and each.alive > 0
        and is_mother(each)
        and (each.variety, each.culture) == (own.variety, own.culture)
    ]
    if any(each.stage is own.stage for each in alike):
        return ""
    what = "mother spawn" if own.stage is Stage.GRAIN else noun_of(own.stage, 2)
    goes = "goes" if own.stage is Stage.GRAIN else "go"
    of = f"culture {own.culture}" if own.culture else "its line"
    said = f"The last {what} of {of} {goes} with it"
    return f"{said}." if alike else f"{said}, and nothing is left to begin it from again."


def is_mother(lot: LivingLot) -> bool:
    """Say whether other lots begin from it: a culture, or grain made from one."""
    return lot.stage in CULTURES or (lot.stage is Stage.GRAIN and lot.generation <= 1)
