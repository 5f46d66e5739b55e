"""Bags in spawn run: how much warmer their cores are than the room, and how far apart they stand.

A bag heats itself evenly and loses that through its skin. Both how hard it breathes and how well it
conducts are weakly known, so the answer is wide: one probe in one core, at the peak, replaces it.
"""

from __future__ import annotations

from collections.abc import Callable
from math import inf, pi

from pinset.errors import InputError
from pinset.science.air.ranges import Range, Swing, over, swings
from pinset.science.checks import within
from pinset.science.heating.heating import Brick, Cylinder, Material, Shape, modes_of

FILM_W_M2_K = Range(5.0, 8.0, 10.0)
"""Of a bag that stands free in a room: still air and radiation, to air in motion (memory)."""

CROWDED_W_M2_K = Range(2.0, 3.0, 5.0)
"""Of a bag that faces others as warm as itself: air alone (memory). [W/(m2 K)]"""

_ANY_HEAT = 1e6  # it cancels: nothing is stored when nothing changes [J/(m3 K)]
_GRAVITY, _KELVIN = 9.80665, 293.15
_VISCOSITY, _DIFFUSIVITY = 1.51e-5, 2.12e-5  # of air at 20 degC [m2/s]
_BEST, _FREE = 2.71, 1.71


def core_rise(
    shape: Shape, mass_kg: float, heat_w_kg: Range, conductivity: Range, film: Range = FILM_W_M2_K
) -> Range:
    """Return by how much the core of a bag is warmer than the air around it, in K.

    Parameters
    ----------
    shape : Shape
        Of the filled part. [m]
    mass_kg : float
        In it, above 0. [kg]
    heat_w_kg : Range
        Of its breath, 0 or more. [W/kg]
    conductivity : Range
        Of what is in it, above 0. [W/(m K)]
    film : Range
        Of its skin, above 0. [W/(m2 K)]

    Raises
    ------
    InputError
        If a number is not above 0.

    Notes
    -----
    When all is steady: the core is warmer by as much as it would trail air that warms at the pace
    at which its breath would heat it, for which the series of `science.heating` has a closed form.
    """
    _check(mass_kg, heat_w_kg, conductivity, film)
    return over(_rise(shape, mass_kg), heat_w_kg, conductivity, film)


def rise_moved_by(
    shape: Shape, mass_kg: float, heat_w_kg: Range, conductivity: Range, film: Range = FILM_W_M2_K
) -> tuple[Swing, ...]:
    """Return what moves that answer, the most first; parameters as :func:`core_rise`."""
    _check(mass_kg, heat_w_kg, conductivity, film)
    known = {"heat": heat_w_kg, "conductivity": conductivity, "film": film}
    return swings(_rise(shape, mass_kg), known)


def _rise(shape: Shape, mass_kg: float) -> Callable[..., float]:
    density, body = mass_kg / shape.volume, _thin_first(shape)

    def rise(heat: float, conductivity: float, film: float) -> float:
        lag = modes_of(body, Material(conductivity, _ANY_HEAT, film)).whole_lag
        return heat * density / _ANY_HEAT * lag

    return rise


def _thin_first(shape: Shape) -> Shape:
    """Return the same body with its least edge first, from which its series is quickest."""
    if isinstance(shape, Cylinder):
        return shape
    return Brick(*sorted((shape.length, shape.width, shape.height)))


def _check(mass_kg: float, heat: Range, conductivity: Range, film: Range) -> None:
    if not (mass_kg > 0.0 and conductivity.low > 0.0 and film.low > 0.0):
        given = (mass_kg, conductivity.low, film.low)
        raise InputError("mass, conductivity and film", given, "numbers above 0")
    if not heat.low >= 0.0:
        raise InputError("heat of the breath", heat.low, "0 W/kg or more")


def touching(unit: Cylinder, along: int, across: int, high: int) -> Brick:
    """Return the body that bags make which stand against each other.

    Its mass is that of all of them: the air between round bags makes it lighter, not cooler.

    Raises
    ------
    InputError
        If there is not at least one each way.
    """
    if min(along, across, high) < 1:
        raise InputError("bags each way", (along, across, high), "1 or more")
    return Brick(2.0 * unit.radius * along, 2.0 * unit.radius * across, unit.height * high)


def skin_rise(shape: Shape, mass_kg: float, heat_w_kg: Range, film: Range = FILM_W_M2_K) -> Range:
    """Return by how much the skin of a bag is warmer than the air, in the mean, in K.

    Raises
    ------
    InputError
        If a number is not above 0.
    """
    _check(mass_kg, heat_w_kg, Range.exactly(1.0), film)
    if isinstance(shape, Cylinder):
        skin = 2.0 * pi * shape.radius * (shape.radius + shape.height)
    else:
        faces = shape.length * (shape.width + shape.height) + shape.width * shape.height
        skin = 2.0 * faces
    return over(lambda heat, f: heat * mass_kg / (f * skin), heat_w_kg, film)


def gap_between(height_m: float, warmer_k: Range) -> Range:
    """Return how far apart the skins of bags must stand for air to rise between them, in m.

    Parameters
    ----------
    height_m : float
        Of the bags, 0.02 to 5. [m]
    warmer_k : Range
        Their skins than the air. [K]

    Returns
    -------
    Range
        Low: where a shelf gives off most; below it the air is throttled. High: where each bag is
        as cool as if it stood alone. Infinite where nothing warms the air.

    Raises
    ------
    InputError
        If the height is out of range.

    Notes
    -----
    Bar-Cohen and Rohsenow 1984, isothermal upright plates: 2.71 Ra^(-1/4), and 1.71 times that
    (memory). A first guess for round bags, on the safe side, since they face each other less.
    """
    within("height of the bags", height_m, 0.02, 5.0, "m")

    def best(warmer: float) -> float:
        if warmer <= 0.0:
            return inf
        lift = _GRAVITY / _KELVIN * warmer
        return float(_BEST * (height_m * _VISCOSITY * _DIFFUSIVITY / lift) ** 0.25)

    gap = over(best, warmer_k)
    return Range(gap.low, gap.middle, _FREE * gap.high)


def warmest_room(core_most_c: float, rise: Range) -> Range:
    """Return how warm a room may be for its cores to stay under a limit, in degC: plan by the low.

    Raises
    ------
    InputError
        If the limit is not 0 to 60 degC.
    """
    within("most of a core", core_most_c, 0.0, 60.0, "degC")
    return over(lambda kelvins: core_most_c - kelvins, rise)
