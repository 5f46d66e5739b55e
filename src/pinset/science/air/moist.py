"""Moist air in one state: humidity, dew point, wet bulb, heat, by the library psychrolib.

All is in SI; US units are turned at the edges. The library takes moist air for an ideal gas:
its humidity ratio reads about 0.45 % below that of a real gas, dew point and wet bulb are within
0.02 K.

Everything is per kilogram of **dry** air, which stays the same while water comes and goes.
"""

from __future__ import annotations

from dataclasses import dataclass

from pinset.errors import InputError
from pinset.science.air.psychro import psychrolib
from pinset.science.checks import within

SEA_PA = 101_325.0
COLDEST_C, HOTTEST_C = -60.0, 90.0
LEAST_PA, MOST_PA = 30_000.0, 120_000.0  # outside, wherever somebody farms
_LOWEST_M, _HIGHEST_M = -500.0, 6000.0
_HOTTEST_VAPOUR_C = 200.0


def pressure_at(altitude_m: float) -> float:
    """Return the pressure of the standard atmosphere at an altitude, in Pa.

    Parameters
    ----------
    altitude_m : float
        -500 to 6000. [m]

    Raises
    ------
    InputError
        If the altitude is out of range.

    Notes
    -----
    ASHRAE Fundamentals 2017 ch. 1 eq. 3, which takes the altitude for a geopotential height: up
    to 21 Pa below `science.steam.gauge.atmosphere` at 4000 m, much less than any weather.

    Examples
    --------
    >>> round(pressure_at(500.0))
    95461
    """
    within("altitude", altitude_m, _LOWEST_M, _HIGHEST_M, "m")
    return float(psychrolib.GetStandardAtmPressure(altitude_m))


def saturation_pa(temperature_c: float) -> float:
    """Return the pressure of saturated vapour over water, below 0.01 degC over ice, in Pa.

    Raises
    ------
    InputError
        If the temperature is not -60 to 200 degC.
    """
    within("temperature", temperature_c, COLDEST_C, _HOTTEST_VAPOUR_C, "degC")
    return float(psychrolib.GetSatVapPres(temperature_c))


def vapour_enthalpy(temperature_c: float) -> float:
    """Return the heat in a kilogram of water vapour, from water at 0 degC, in J/kg.

    Notes
    -----
    ``2501 + 1.86 T`` kJ/kg, as in the enthalpy of moist air.
    """
    return 1e3 * (2501.0 + 1.86 * temperature_c)


@dataclass(frozen=True, slots=True)
class MoistAir:
    """Air in one state; made by :func:`air_of` and its sisters.

    Raises
    ------
    InputError
        If a number is out of its range, or the air holds more vapour than it can.
    """

    temperature_c: float  # -60 to 90
    humidity_ratio: float  # water vapour per dry air, above 0 [kg/kg]
    pressure_pa: float = SEA_PA

    def __post_init__(self) -> None:
        """Refuse what is no air."""
        _check(self.temperature_c, self.pressure_pa)
        most = psychrolib.GetSatHumRatio(self.temperature_c, self.pressure_pa)
        if not 0.0 < self.humidity_ratio <= most * (1.0 + 1e-9):
            accepted = f"above 0 to {most:.5g} kg/kg, which is all this air can hold"
            raise InputError("humidity ratio", self.humidity_ratio, accepted)

    @property
    def humidity(self) -> float:
        """Relative humidity, 0 to 1."""
        found = psychrolib.GetRelHumFromHumRatio(
            self.temperature_c, self.humidity_ratio, self.pressure_pa
        )
        return min(1.0, float(found))

    @property
    def dew_point_c(self) -> float:
        """The temperature of a surface on which it begins to condense; below 0.01 as ice."""
        found = psychrolib.GetTDewPointFromHumRatio(
            self.temperature_c, self.humidity_ratio, self.pressure_pa
        )
        return float(found)

    @property
    def wet_bulb_c(self) -> float:
        """The coldest that evaporating water makes it."""
        found = psychrolib.GetTWetBulbFromHumRatio(
            self.temperature_c, self.humidity_ratio, self.pressure_pa
        )
        return float(found)

    @property
    def enthalpy(self) -> float:
        """Heat in it, from dry air and water at 0 degC, in J per kg of dry air."""
        return float(psychrolib.GetMoistAirEnthalpy(self.temperature_c, self.humidity_ratio))

    @property
    def volume(self) -> float:
        """Of a kilogram of dry air with its vapour, in m3/kg."""
        found = psychrolib.GetMoistAirVolume(
            self.temperature_c, self.humidity_ratio, self.pressure_pa
        )
        return float(found)

    @property
    def heat_capacity(self) -> float:
        """Of a kilogram of dry air with its vapour, in J/(kg K)."""
        return 1006.0 + 1860.0 * self.humidity_ratio

    def dry_air(self, flow_m3_s: float) -> float:
        """Return the dry air in a stream that is measured in this state, in kg/s.

        Raises
        ------
        InputError
            If the flow is below 0.
        """
        if not flow_m3_s >= 0.0:
            raise InputError("air flow", flow_m3_s, "0 m3/s or more")
        return flow_m3_s / self.volume


def _check(temperature_c: float, pressure_pa: float) -> None:
    within("air temperature", temperature_c, COLDEST_C, HOTTEST_C, "degC")
    within("air pressure", pressure_pa, LEAST_PA, MOST_PA, "Pa")


def air_of(temperature_c: float, humidity: float, pressure_pa: float = SEA_PA) -> MoistAir:
    """Return air of a relative humidity.

    Parameters
    ----------
    temperature_c : float
        -60 to 90. [degC]
    humidity : float
        Above 0 to 1: no air is wholly dry. [1]
    pressure_pa : float
        30 000 to 120 000. [Pa]

    Raises
    ------
    InputError
        If a number is out of its range.

    Examples
    --------
    >>> round(air_of(16.0, 0.9).dew_point_c, 1)
    14.4
    """
    _check(temperature_c, pressure_pa)
    if not 0.0 < humidity <= 1.0:
        hint = "85 % is 0.85." if humidity > 1.0 else "No air is wholly dry."
        raise InputError("relative humidity", humidity, "above 0 to 1", hint)
    ratio = psychrolib.GetHumRatioFromRelHum(temperature_c, humidity, pressure_pa)
    return MoistAir(temperature_c, float(ratio), pressure_pa)


def air_of_wet_bulb(
    temperature_c: float, wet_bulb_c: float, pressure_pa: float = SEA_PA
) -> MoistAir:
    """Return air by its dry and wet bulb; as :func:`air_of`.

    Raises
    ------
    InputError
        If a number is out of its range, or the wet bulb is above the dry one or too far below it.
    """
    _check(temperature_c, pressure_pa)
    if not COLDEST_C <= wet_bulb_c <= temperature_c:
        hint = "The wet bulb is never the warmer one."
        raise InputError("wet bulb", wet_bulb_c, f"at most {temperature_c:g} degC", hint)
    ratio = float(psychrolib.GetHumRatioFromTWetBulb(temperature_c, wet_bulb_c, pressure_pa))
    if ratio <= psychrolib.MIN_HUM_RATIO:
        hint = "So cold a wet bulb needs air drier than dry."
        raise InputError("wet bulb", wet_bulb_c, "one that this air can have", hint)
    return MoistAir(temperature_c, ratio, pressure_pa)


def air_of_dew_point(
    temperature_c: float, dew_point_c: float, pressure_pa: float = SEA_PA
) -> MoistAir:
    """Return air by its temperature and dew point; as :func:`air_of`.

    Raises
    ------
    InputError
        If a number is out of its range, or the dew point is above the temperature.
    """
    _check(temperature_c, pressure_pa)
    if not COLDEST_C <= dew_point_c <= temperature_c:
        raise InputError("dew point", dew_point_c, f"at most {temperature_c:g} degC")
    ratio = float(psychrolib.GetHumRatioFromTDewPoint(dew_point_c, pressure_pa))
    return MoistAir(temperature_c, ratio, pressure_pa)


def saturated(temperature_c: float, pressure_pa: float = SEA_PA) -> MoistAir:
    """Return air that holds all the vapour it can; errors as :func:`air_of`."""
    return air_of(temperature_c, 1.0, pressure_pa)


def air_of_enthalpy(enthalpy: float, humidity_ratio: float, pressure_pa: float) -> MoistAir:
    """Return air by its heat and vapour per kg of dry air; errors as :class:`MoistAir`."""
    celsius = psychrolib.GetTDryBulbFromEnthalpyAndHumRatio(enthalpy, humidity_ratio)
    return MoistAir(float(celsius), humidity_ratio, pressure_pa)
