"""What settles from the air: on plates that stand open, and into vessels.

All is said in colony forming units (cfu). What a plate catches depends on how fast things fall, and
that spans a factor of sixteen between flakes of skin and free mould spores: a plate is turned into
a number per cubic metre only under a stated velocity, and is best compared with other plates.
"""

from __future__ import annotations

from math import expm1, pi

from scipy.stats import gamma

from pinset.errors import InputError

PLATE_MM = 90.0
PLATE_M2 = pi * (PLATE_MM / 2000.0) ** 2
"""Area of a plate of the usual width. [m2]"""

SKIN_M_S = 0.0046
"""How fast a flake of skin of 12 um falls, as Whyte took it. [m/s]"""

SPORE_M_S = 0.0003
"""How fast free mould spores of about 3 um fall; Stokes with the slip correction gives 0.00027.
[m/s]"""

_ONE_SIDED = 0.95


def landings(cfu_m3: float, velocity_m_s: float, area_m2: float, seconds: float) -> float:
    """Return how many cfu are expected to land on an open surface.

    Parameters
    ----------
    cfu_m3 : float
        In the air above it, 0 or more. [1/m3]
    velocity_m_s : float
        At which it falls, above 0. [m/s]
    area_m2, seconds : float
        Of the opening, and how long it is open, 0 or more. [m2] [s]

    Raises
    ------
    InputError
        If a number is out of its range.

    Notes
    -----
    The relation of Whyte, N = C v A t, in still air.
    """
    if not (cfu_m3 >= 0.0 and velocity_m_s > 0.0 and area_m2 >= 0.0 and seconds >= 0.0):
        given = (cfu_m3, velocity_m_s, area_m2, seconds)
        raise InputError("landing", given, "0 or more, and a velocity above 0")
    return cfu_m3 * velocity_m_s * area_m2 * seconds


def chance_of_any(expected: float, openings: int = 1) -> float:
    """Return the chance that at least one lands, in so many openings alike.

    Raises
    ------
    InputError
        If either is below 0.
    """
    if not (expected >= 0.0 and openings >= 0):
        raise InputError("landings", (expected, openings), "0 or more")
    return -expm1(-expected * openings)


def air_of_plates(
    colonies: int, plates: int, minutes: float, velocity_m_s: float, *, at_most: bool = False
) -> float:
    """Return the cfu in a cubic metre of air that plates speak of.

    Parameters
    ----------
    colonies : int
        On all plates together, 0 or more.
    plates : int
        Of 90 mm, above 0.
    minutes : float
        That each stood open, above 0. [min]
    velocity_m_s : float
        At which things are taken to fall. [m/s]
    at_most : bool
        Whether the exact one-sided 95 % bound is wanted instead of the estimate.

    Raises
    ------
    InputError
        If a number is out of its range.
    """
    if not (colonies >= 0 and plates > 0 and minutes > 0.0 and velocity_m_s > 0.0):
        given = (colonies, plates, minutes, velocity_m_s)
        raise InputError("settle plates", given, "one plate or more, open for a while")
    count = most_colonies(colonies) if at_most else float(colonies)
    return count / (velocity_m_s * PLATE_M2 * plates * minutes * 60.0)


def most_colonies(colonies: int, certainty: float = _ONE_SIDED) -> float:
    """Return the greatest mean that a count still allows, one-sided and exact (Garwood).

    Examples
    --------
    >>> round(most_colonies(0), 3)
    2.996
    """
    if not (colonies >= 0 and 0.0 < certainty < 1.0):
        raise InputError("colonies", (colonies, certainty), "0 or more, certainty within 0 and 1")
    return float(gamma.ppf(certainty, colonies + 1))


def into_a_vessel(
    colonies: float, plates: int, minutes: float, mouth_cm2: float, open_min: float
) -> float:
    """Return how many cfu are expected to land in a vessel, by plates that stood beside it.

    Parameters
    ----------
    colonies : float
        On all plates together; may be a bound.
    plates : int
        Of 90 mm.
    minutes : float
        That each stood open. [min]
    mouth_cm2 : float
        Of the vessel. [cm2]
    open_min : float
        That it stood open. [min]

    Raises
    ------
    InputError
        If a number is out of its range.

    Notes
    -----
    Whatever falls on a plate falls as fast into a vessel, so no velocity is needed.
    """
    if not (colonies >= 0.0 and plates > 0 and minutes > 0.0 and mouth_cm2 > 0.0 and open_min >= 0):
        given = (colonies, plates, minutes, mouth_cm2, open_min)
        raise InputError("settle plates", given, "one plate or more, open for a while")
    area_cm2 = PLATE_M2 * 1e4 * plates
    return colonies / (area_cm2 * minutes) * mouth_cm2 * open_min
