"""What people in a room shed, by what they wear: intervals, since published figures span decades.

Garments keep microbes back fourteenfold but fine particles only twofold, so a counter at 0.5 um
does not show what good clothing is worth; one at 5 um, or plates, do.
"""

from __future__ import annotations

from enum import StrEnum

from pinset.errors import InputError
from pinset.science.air.ranges import Range, published


class Clothes(StrEnum):
    """What somebody wears."""

    OWN = "own-clothes"
    CLEAN = "clean-clothes"  # clean-room garments


class Counted(StrEnum):
    """What is counted in the air."""

    FINE = "0.5um"  # 0.5 um and larger
    COARSE = "5um"  # 5 um and larger
    MICROBES = "microbes"  # particles that carry them


def shed(clothes: Clothes, counted: Counted, people: int = 1) -> Range:
    """Return how much people shed who move about.

    Parameters
    ----------
    clothes : Clothes
        On all of them.
    counted : Counted
        What of it.
    people : int
        0 or more.

    Returns
    -------
    Range
        [1/s]

    Raises
    ------
    InputError
        If there are fewer than no people.

    Notes
    -----
    Mean of 55 people by Whyte and Hejab 2007; for the bounds see the table.
    """
    if people < 0:
        raise InputError("people", people, "0 or more")
    return published(f"person.{clothes}", f"sheds_{counted}").times(people / 60.0)
