"""Spawn rates, fill weights and moistures: how far a unit of spawn goes.

A rate is spawn per substrate, the spawn itself not counted in the substrate. It means nothing
without its basis: 7 % wet on dry is 3.5 % dry on dry when the grain is half water.
"""

from __future__ import annotations

from pinset.chain.register import Parent, RateBasis, Step
from pinset.chain.stages import Stage
from pinset.errors import InputError


def _refuse_moisture(name: str, moisture: float) -> None:
    if not 0.0 <= moisture < 1.0:
        raise InputError(name, moisture, "a fraction of wet mass from 0 to below 1")


def convert_rate(
    rate: float,
    basis: RateBasis,
    to_basis: RateBasis,
    *,
    spawn_moisture: float,
    substrate_moisture: float,
) -> float:
    """Return a spawn rate on another basis.

    Parameters
    ----------
    rate : float
        Spawn per substrate, on ``basis``. [-]
    basis, to_basis : RateBasis
        Wet on wet, wet on dry, or dry on dry.
    spawn_moisture, substrate_moisture : float
        Water per wet mass. [-]

    Returns
    -------
    float
        Spawn per substrate, on ``to_basis``. [-]

    Raises
    ------
    InputError
        If the rate is negative or a moisture outside 0 to 1.

    Notes
    -----
    wet on dry = wet on wet / (1 - substrate moisture); dry on dry = wet on dry (1 - spawn
    moisture). Exact.

    Examples
    --------
    >>> convert_rate(0.07, RateBasis.WET_ON_DRY, RateBasis.DRY_ON_DRY,
    ...              spawn_moisture=0.5, substrate_moisture=0.7)
    0.035
    """
    if not rate >= 0.0:
        raise InputError("spawn rate", rate, "0 or more")
    _refuse_moisture("spawn moisture", spawn_moisture)
    _refuse_moisture("substrate moisture", substrate_moisture)
    to_wet_on_dry = {
        RateBasis.WET_ON_WET: 1.0 / (1.0 - substrate_moisture),
        RateBasis.WET_ON_DRY: 1.0,
        RateBasis.DRY_ON_DRY: 1.0 / (1.0 - spawn_moisture),
    }
    return rate * to_wet_on_dry[basis] / to_wet_on_dry[to_basis]


def spawn_grams(
    fill_g: float,
    rate: float,
    basis: RateBasis,
    *,
    spawn_moisture: float,
    substrate_moisture: float,
) -> float:
    """Return the wet spawn that one unit of substrate takes.

    Parameters
    ----------
    fill_g : float
        Wet substrate in the unit. [g]
    rate : float
        Spawn per substrate on ``basis``. [-]
    basis : RateBasis
        What the rate is reckoned on.
    spawn_moisture, substrate_moisture : float
        Water per wet mass. [-]

    Returns
    -------
    float
        Wet spawn. [g]

    Raises
    ------
    InputError
        If a mass or rate is negative or a moisture outside 0 to 1.

    Examples
    --------
    >>> spawn_grams(2500, 0.05, RateBasis.WET_ON_WET, spawn_moisture=0.5, substrate_moisture=0.62)
    125.0
    """
    if not fill_g >= 0.0:
        raise InputError("fill weight", fill_g, "0 g or more")
    wet_on_wet = convert_rate(
        rate,
        basis,
        RateBasis.WET_ON_WET,
        spawn_moisture=spawn_moisture,
        substrate_moisture=substrate_moisture,
    )
    return fill_g * wet_on_wet


def units_per_parent(
    spawn_unit_g: float,
    fill_g: float,
    rate: float,
    basis: RateBasis,
    *,
    spawn_moisture: float,
    substrate_moisture: float,
) -> float:
    """Return how many units one unit of spawn starts at a spawn rate.

    Parameters
    ----------
    spawn_unit_g : float
        Wet spawn in one unit (a jar, a bag). [g]
    fill_g : float
        Wet substrate in one unit to be spawned. [g]
    rate : float
        Spawn per substrate on ``basis``, above 0. [-]
    basis : RateBasis
        What the rate is reckoned on.
    spawn_moisture, substrate_moisture : float
        Water per wet mass. [-]

    Returns
    -------
    float
        Units, not rounded. [units]

    Raises
    ------
    InputError
        If a mass or the rate is not above 0, or a moisture outside 0 to 1.

    Examples
    --------
    >>> units_per_parent(650, 2500, 0.1, RateBasis.WET_ON_WET,
    ...                  spawn_moisture=0.5, substrate_moisture=0.6)
    2.6
    """
    if not spawn_unit_g > 0.0:
        raise InputError("spawn in one unit", spawn_unit_g, "more than 0 g")
    each = spawn_grams(
        fill_g,
        rate,
        basis,
        spawn_moisture=spawn_moisture,
        substrate_moisture=substrate_moisture,
    )
    if not each > 0.0:
        raise InputError("fill weight and spawn rate", (fill_g, rate), "both above 0")
    return spawn_unit_g / each


def planned_units_per_parent(parent: Parent, parent_step: Step, step: Step) -> float:
    """Return how many units a parent starts: by its spawn rate where one is given, else as planned.

    Parameters
    ----------
    parent : Parent
        The link of the route.
    parent_step, step : Step
        The steps it joins; their fill weights and moistures are used with a spawn rate.

    Returns
    -------
    float
        Units per parent unit. [units]

    Raises
    ------
    InputError
        If the weights needed for the spawn rate are missing.
    """
    if parent.spawn_rate is None or parent_step.stage is Stage.LIQUID:
        return parent.units_per_parent
    return units_per_parent(
        parent_step.fill_g,
        step.fill_g,
        parent.spawn_rate,
        parent.spawn_rate_basis or RateBasis.WET_ON_WET,
        spawn_moisture=parent_step.fill_moisture,
        substrate_moisture=step.fill_moisture,
    )


def biological_efficiency(fresh_per_kg_wet_g: float, substrate_moisture: float) -> float:
    """Return the biological efficiency of a yield per kilogram of wet substrate.

    Parameters
    ----------
    fresh_per_kg_wet_g : float
        Fresh mushrooms of all flushes per kilogram of wet substrate. [g/kg]
    substrate_moisture : float
        Water per wet mass. [-]

    Returns
    -------
    float
        Fresh mushrooms per dry substrate, as a fraction (1 is "100 %"). [-]

    Raises
    ------
    InputError
        If the yield is negative or the moisture outside 0 to 1.

    Examples
    --------
    >>> round(biological_efficiency(225, 0.7), 6)
    0.75
    """
    if not fresh_per_kg_wet_g >= 0.0:
        raise InputError("yield", fresh_per_kg_wet_g, "0 g per kg or more")
    _refuse_moisture("substrate moisture", substrate_moisture)
    return fresh_per_kg_wet_g / 1000.0 / (1.0 - substrate_moisture)


def yield_grams(efficiency: float, fill_g: float, substrate_moisture: float) -> float:
    """Return the fresh mushrooms one unit gives over all flushes.

    Parameters
    ----------
    efficiency : float
        Fresh mushrooms per dry substrate. [-]
    fill_g : float
        Wet substrate in the unit. [g]
    substrate_moisture : float
        Water per wet mass. [-]

    Returns
    -------
    float
        [g]

    Raises
    ------
    InputError
        If a number is negative or the moisture outside 0 to 1.

    Examples
    --------
    >>> round(yield_grams(0.75, 5000, 0.7), 6)
    1125.0
    """
    if not (efficiency >= 0.0 and fill_g >= 0.0):
        raise InputError("efficiency and fill weight", (efficiency, fill_g), "both 0 or more")
    _refuse_moisture("substrate moisture", substrate_moisture)
    return efficiency * fill_g * (1.0 - substrate_moisture)
