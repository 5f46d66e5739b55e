"""Doses of UV-C: what a lamp gives in a time, what published doses make of it, what people bear.

One organism's published doses span fifty-fold, by how its spores were exposed. So there is no kill
figure here, only a range; plan by its worst. Light in a room is a supplement: it replaces neither
filter nor wiping.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from math import inf
from statistics import median

from pinset.errors import InputError
from pinset.science.air.ranges import Range, over, published, range_of
from pinset.science.checks import within
from pinset.tables.air import air_value
from pinset.tables.loader import table

J_M2 = 10.0
"""A mJ/cm2 in J/m2."""

W_M2 = 0.01
"""A uW/cm2 in W/m2."""

WORKDAY_S = 8 * 3600.0
_AGED_H = 2000.0


class Organism(StrEnum):
    """What doses are published of."""

    A_NIGER = "aspergillus-niger"
    A_FLAVUS = "aspergillus-flavus"
    A_FUMIGATUS = "aspergillus-fumigatus"
    PENICILLIUM = "penicillium"
    RHIZOPUS = "rhizopus"
    BACILLUS = "bacillus-subtilis"
    E_COLI = "escherichia-coli"


@dataclass(frozen=True, slots=True)
class Lamp:
    """A tube of UV-C, as old as it is."""

    uvc_w: Range  # when new [W]
    arc_m: float
    burnt_h: float
    life_h: float  # that its maker rates it for

    def __post_init__(self) -> None:
        """Refuse what no lamp has."""
        if not self.uvc_w.low > 0.0:
            raise InputError("UV-C of the lamp", self.uvc_w.low, "above 0 W")
        if not self.life_h > _AGED_H:
            raise InputError("rated life of the lamp", self.life_h, f"above {_AGED_H:g} h")
        within("hours burnt", self.burnt_h, 0.0, 1e6, "h")


def uvc_of(lamp_w: float) -> Range:
    """Return the UV-C of a low-pressure lamp by its electric power, in W.

    Raises
    ------
    InputError
        If the power is not above 0.
    """
    if not lamp_w > 0.0:
        raise InputError("power of the lamp", lamp_w, "above 0 W")
    return published("lamp", "uvc_share").times(lamp_w)


def kept(lamp: Lamp) -> Range:
    """Return the share of its first UV-C that a lamp still gives.

    The low is the least the standard asks of a new kind of lamp, 0.85 at 2000 h and 0.65 at the end
    of its rated life; beyond that nothing is promised. The high is a lamp that does not age. A
    reading with a 254 nm meter replaces both.
    """
    aged, ended = (published("lamp", name).middle for name in ("kept_at_2000_h", "kept_at_end"))
    hours = lamp.burnt_h
    if hours > lamp.life_h:
        return Range(0.0, ended, 1.0)
    if hours <= _AGED_H:
        promised = 1.0 - (1.0 - aged) * hours / _AGED_H
    else:
        promised = aged - (aged - ended) * (hours - _AGED_H) / (lamp.life_h - _AGED_H)
    return Range(promised, (1.0 + promised) / 2.0, 1.0)


def irradiance(lamp: Lamp, per_watt: float) -> Range:
    """Return how strongly a point is lit, by :func:`~pinset.science.air.lamp.per_watt`, in W/m2.

    Raises
    ------
    InputError
        If the geometry is below 0.
    """
    if not per_watt >= 0.0:
        raise InputError("irradiance per watt", per_watt, "0 or more per m2")
    return over(lambda watts, share: watts * share * per_watt, lamp.uvc_w, kept(lamp))


def dose(lit_w_m2: Range, seconds: float) -> Range:
    """Return the dose of a point that is lit so strongly for so long, in J/m2.

    Raises
    ------
    InputError
        If the time is below 0.
    """
    if not seconds >= 0.0:
        raise InputError("time", seconds, "0 s or more")
    return lit_w_m2.times(seconds)


def dose_per_log(organism: Organism) -> Range:
    """Return the dose for one tenth left, over every way it was published, in J/m2.

    The middle is the median of what was published; the same dose from a weaker lamp kills less.
    """
    key = f"uv.{organism}"
    rows = [
        range_of(row)
        for row in table("air.csv").rows
        if row.key == key and row.name.startswith("dose_")
    ]
    low, high = min(row.low for row in rows), max(row.high for row in rows)
    return Range(low, median(row.middle for row in rows), high).times(J_M2)


def logs_killed(organism: Organism, given_j_m2: Range, shoulder_j_m2: float = 0.0) -> Range:
    """Return by how many powers of ten a dose cuts what it reaches.

    Parameters
    ----------
    organism : Organism
        Which.
    given_j_m2 : Range
        0 or more. [J/m2]
    shoulder_j_m2 : float
        Dose that does nothing yet, 0 or more. [J/m2]

    Raises
    ------
    InputError
        If a dose is below 0.
    """
    if not (given_j_m2.low >= 0.0 and shoulder_j_m2 >= 0.0):
        raise InputError("dose", (given_j_m2.low, shoulder_j_m2), "0 J/m2 or more")
    return over(
        lambda given, each: max(0.0, given - shoulder_j_m2) / each,
        given_j_m2,
        dose_per_log(organism),
    )


def seconds_for(organism: Organism, logs: float, lit_w_m2: Range) -> Range:
    """Return how long it takes to cut an organism by powers of ten; plan by the high, in s.

    Raises
    ------
    InputError
        If either is not above 0.
    """
    if not (logs > 0.0 and lit_w_m2.high > 0.0):
        raise InputError("powers of ten and irradiance", (logs, lit_w_m2.high), "above 0")
    return over(
        lambda each, lit: each * logs / lit if lit > 0.0 else inf, dose_per_log(organism), lit_w_m2
    )


def people_limit_j_m2() -> float:
    """Return the dose at 254 nm that eyes and skin may get in a working day, in J/m2."""
    return air_value("uv.people", "eight_hours").value * J_M2


def permitted_s(lit_w_m2: float) -> float:
    """Return how long somebody may stand in UV-C of 254 nm in a day, in s.

    Parameters
    ----------
    lit_w_m2 : float
        Where the eyes or bare skin are, 0 or more. [W/m2]

    Returns
    -------
    float
        At most a working day of eight hours. [s]

    Raises
    ------
    InputError
        If the irradiance is below 0.

    Notes
    -----
    A room is locked or interlocked while the lamp burns; this says why, not that one may go in.
    """
    if not lit_w_m2 >= 0.0:
        raise InputError("irradiance", lit_w_m2, "0 W/m2 or more")
    return min(WORKDAY_S, people_limit_j_m2() / lit_w_m2) if lit_w_m2 > 0.0 else WORKDAY_S
