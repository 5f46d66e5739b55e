"""How fast small things fall in still air: Stokes' law with the slip that small ones feel."""

from __future__ import annotations

from math import exp

from pinset.science.checks import within

_AIR_KG_M3, _VISCOSITY = 1.204, 1.82e-5  # at 20 degC, 101.325 kPa [kg/m3] [Pa s]
_FREE_PATH_M = 0.0665e-6  # of air molecules there (memory)
_GRAVITY = 9.80665


def falls_at(diameter_um: float, density: float = 1000.0) -> float:
    """Return the speed at which a ball settles in still air of 20 degC.

    Parameters
    ----------
    diameter_um : float
        Aerodynamic, if the density is left as it is; 0.1 to 50, beyond which the law ends. [um]
    density : float
        Of the ball, 100 to 10000. [kg/m3]

    Returns
    -------
    float
        [m/s]

    Raises
    ------
    InputError
        If a number is out of its range.

    Notes
    -----
    Cunningham's slip correction ``1 + Kn (1.257 + 0.4 exp(-1.1 / Kn))``, Kn from the radius.

    Examples
    --------
    >>> round(100.0 * falls_at(3.0), 3)
    0.028
    """
    within("diameter", diameter_um, 0.1, 50.0, "um")
    within("density", density, 100.0, 1e4, "kg/m3")
    metre = diameter_um * 1e-6
    knudsen = 2.0 * _FREE_PATH_M / metre
    slip = 1.0 + knudsen * (1.257 + 0.4 * exp(-1.1 / knudsen))
    return (density - _AIR_KG_M3) * _GRAVITY * metre**2 * slip / (18.0 * _VISCOSITY)
