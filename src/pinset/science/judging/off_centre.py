"""A core's probe that stood off the middle of its unit: what the middle may have had.

Off the middle it is hotter while heat comes in. How much hotter follows from the profile across a
unit once heat has come through: the first term of the series (Carslaw and Jaeger, *Conduction of
Heat in Solids*, 2nd ed. 1959, section 9.3; memory), with a surface as hot as the chamber. A ball's
profile is taken, the steepest of the usual shapes, so that the middle comes out colder rather than
hotter than it was. While the unit cools its middle is the hotter; then what was read counts.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from pinset.errors import InputError
from pinset.science.judging.findings import Given, seen_f0
from pinset.science.judging.hold_runs import held_in
from pinset.science.judging.records import OffCentre, Rule, Values

MOST_SHARE = 0.8  # of the way to the face: further out a probe says nothing of the middle
MOST_MM = 1000.0
LEAST_MM = 1.0  # nearer the middle than anybody can set a probe


@dataclass(frozen=True, slots=True)
class Middle:
    """What the middle of a unit may have had whose probe stood off it."""

    f0_min: float | None  # None: not to be told
    hold_min: float | None
    words: str


def middle_c(read_c: Values, chamber_c: Values, share: float) -> Values:
    """Return the middle of a unit by a probe off it, shape (n,).

    Parameters
    ----------
    read_c, chamber_c : ndarray, shape (n,)
        The probe and the chamber at the same times. [degC]
    share : float
        How far off the middle it stood, of the way to the nearest face: 0 to 0.8.

    Raises
    ------
    InputError
        If the share is out of range.

    Examples
    --------
    >>> middle_c(np.array([20.0, 100.0]), np.array([20.0, 121.0]), 0.5).round(1).tolist()
    [20.0, 88.0]
    """
    if not 0.0 <= share <= MOST_SHARE:
        raise InputError("share", share, f"0 to {MOST_SHARE:g} of the way to the face")
    profile = float(np.sinc(share))  # of a ball: sin(pi x) / (pi x)
    colder = chamber_c - (chamber_c - read_c) / profile
    return np.where(chamber_c > read_c, np.maximum(colder, np.min(read_c)), read_c)


def middle_of(given: Given, chambers: Sequence[Given], rule: Rule) -> Middle | None:
    """Return what the middle may have had; None: the probe stood there, or nobody said."""
    off = given.probe.off
    if off is None or off.mm < LEAST_MM:
        return None
    where = f"its probe stood {off.mm:g} mm off the middle"
    if off.half_mm is None:
        return Middle(None, None, f"{where}, and nobody said how far it is from there to the face")
    if off.mm > MOST_SHARE * off.half_mm:
        return Middle(None, None, f"{where}, {off.half_mm:g} mm from the face: too far out")
    if not chambers:
        return Middle(None, None, f"{where}, and without a probe in the chamber the middle is open")
    around = np.max(
        [np.interp(given.seconds, each.seconds, each.temperature_c) for each in chambers], axis=0
    )
    inside = middle_c(given.temperature_c, around, off.mm / off.half_mm)
    pieces = replace(given, temperature_c=inside).pieces()
    f0 = sum(seen_f0(*each) for each in pieces)
    hold = None if rule.hold_c is None else held_in(pieces, rule.hold_c).sure
    said = [] if rule.f0 is None else [f"F0 {f0:.1f} min"]
    if hold is not None:
        said.append(f"{hold:.0f} min at {rule.hold_in_words}")
    return Middle(f0, hold, f"{where}, where it is hotter; the middle may have had only "
                            f"{' and '.join(said)}")  # fmt: skip


def read_off(text: str) -> OffCentre:
    """Return where a core's probe stood as it is said: ``0``, ``20`` or ``20/75``, in mm.

    The second number is from the middle to the nearest face.

    Raises
    ------
    InputError
        If it is none of these.

    Examples
    --------
    >>> read_off("20/75"), read_off("0")
    (OffCentre(mm=20.0, half_mm=75.0), OffCentre(mm=0.0, half_mm=None))
    """
    off, slash, half = text.partition("/")
    try:
        found = OffCentre(float(off), float(half) if slash else None)
    except ValueError:
        found = OffCentre(-1.0)
    is_in = 0.0 <= found.mm <= MOST_MM
    if not is_in or (found.half_mm is not None and not found.mm <= found.half_mm <= MOST_MM):
        raise InputError(
            "off",
            text,
            f"mm off the middle of the unit, 0 to {MOST_MM:g}, and behind a slash those from the "
            "middle to the nearest face: 0, or 20/75",
        )
    return found
