"""How a tube of UV-C lights what is near it: an extended source, not a point.

Keitz: ``E = P / (2 pi^2 L D) (2a + sin 2a)``, ``a = atan(L / 2D)``, for a point that faces the
middle of the tube. The law of the inverse square is four times too high at a hand's breadth.
**What lies in a shadow gets nothing**, and neither does what lies under dust.
"""

from __future__ import annotations

from math import pi

import numpy as np

from pinset.errors import InputError
from pinset.science.checks import Many, Values, within

_MOST_M = 20.0


def _arc(arc_m: float) -> None:
    if not 0.0 < arc_m <= _MOST_M:
        hint = "The arc is a little shorter than the tube."
        raise InputError("arc of the lamp", arc_m, f"above 0 to {_MOST_M:g} m", hint)


def per_watt_facing(arc_m: float, distance_m: float) -> float:
    """Return the irradiance of a surface that faces the middle of a tube, by watt of UV-C.

    Parameters
    ----------
    arc_m : float
        Length of the arc, not of the tube, above 0 to 20. [m]
    distance_m : float
        From the tube's middle, above 0. [m]

    Returns
    -------
    float
        [1/m2]

    Raises
    ------
    InputError
        If a length is not above 0.

    Examples
    --------
    >>> round(100.0 * 12.0 * per_watt_facing(0.83, 1.0), 1)  # uW/cm2
    109.5
    """
    return float(per_watt(arc_m, distance_m, [0.0], [0.0])[0])


def per_watt(arc_m: float, height_m: float, along_m: Many, across_m: Many) -> Values:
    """Return the irradiance of points of a flat surface below a tube, by watt of UV-C.

    Parameters
    ----------
    arc_m : float
        Length of the arc, above 0 to 20. [m]
    height_m : float
        Of the tube above the surface, to which it is parallel, above 0. [m]
    along_m, across_m : array_like
        Where the points are from below the middle of the tube, along it and across, of shapes
        that go together. [m]

    Returns
    -------
    ndarray
        [1/m2]

    Raises
    ------
    InputError
        If a length is missing or out of range.

    Notes
    -----
    Keitz's form for a point off the middle: each half of the tube has its own angle. A tube gives
    off light as its surface seen from there (Lambert), and the surface takes it by the cosine.
    """
    _arc(arc_m)
    if not 0.0 < height_m <= _MOST_M:
        raise InputError("distance of the lamp", height_m, f"above 0 to {_MOST_M:g} m")
    along = within("place along the lamp", along_m, -_MOST_M, _MOST_M, "m")
    across = within("place across the lamp", across_m, -_MOST_M, _MOST_M, "m")
    distance = np.hypot(height_m, across)
    ahead = np.arctan((arc_m / 2.0 - along) / distance)
    behind = np.arctan((arc_m / 2.0 + along) / distance)
    angles = ahead + behind + (np.sin(2.0 * ahead) + np.sin(2.0 * behind)) / 2.0
    return np.asarray(angles / (2.0 * pi**2 * arc_m * distance) * (height_m / distance))
