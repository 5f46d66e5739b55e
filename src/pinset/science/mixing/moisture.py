"""Moisture of a sample, from its weights."""

from __future__ import annotations

from pinset.errors import InputError
from pinset.science.air.ranges import Range

CRYSTAL_WATER = 0.209
"""Of gypsum's mass, all of it driven off by a hot oven; at 105 °C some of it. Molar masses:
2 x 18.015 of 172.17."""


def moisture_of_sample(wet_kg: float, dry_kg: float) -> float:
    """Return the moisture of a sample weighed before and after drying, of its wet mass.

    Parameters
    ----------
    wet_kg, dry_kg : float
        Before and after; any one unit of mass for both. [kg]

    Raises
    ------
    InputError
        If a weight is not above 0, or it is heavier dried than wet.

    References
    ----------
    Trautmann and Krasny 1997, Composting in the Classroom, chapter 3: 10 g wet and 2.3 g dry.

    Examples
    --------
    >>> round(moisture_of_sample(10.0, 2.3), 3)
    0.77
    """
    if not wet_kg > 0.0:
        raise InputError("weight before drying", wet_kg, "above 0")
    if not 0.0 < dry_kg <= wet_kg:
        hint = "The two weights may be swapped." if dry_kg > wet_kg else ""
        raise InputError("weight after drying", dry_kg, f"above 0, at most {wet_kg:g}", hint)
    return 1.0 - dry_kg / wet_kg


def moisture_with_gypsum(wet_kg: float, dry_kg: float, gypsum_kg: float) -> Range:
    """Return the moisture of a sample that holds gypsum, which loses crystal water in the oven.

    How much it loses hangs on the oven, so the answer is a range: all of it kept (what the weights
    say, too wet if it did lose some) to all of it lost.

    Raises
    ------
    InputError
        As of :func:`moisture_of_sample`; or if there is more gypsum than dried sample.
    """
    plain = moisture_of_sample(wet_kg, dry_kg)
    if not 0.0 <= gypsum_kg <= dry_kg:
        raise InputError("gypsum in the sample", gypsum_kg, f"0 to {dry_kg:g}, the dried sample")
    least = max(0.0, plain - CRYSTAL_WATER * gypsum_kg / wet_kg)
    return Range(least, (least + plain) / 2.0, plain)


def dry_kg_of(wet_kg: float, moisture_wet: float) -> float:
    """Return the dry mass in a wet one.

    Raises
    ------
    InputError
        If the mass is below 0 or the moisture none.
    """
    if not (wet_kg >= 0.0 and 0.0 <= moisture_wet < 1.0):
        raise InputError("mass and moisture", (wet_kg, moisture_wet), "0 or more, and 0 to below 1")
    return wet_kg * (1.0 - moisture_wet)
