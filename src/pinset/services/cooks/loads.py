"""What somebody says of a cook to come: the vessel, the load, and what it is to reach."""

from __future__ import annotations

from dataclasses import dataclass, fields
from enum import StrEnum

from pinset.errors import InputError
from pinset.science.heating.heating import Brick, Cylinder, Shape
from pinset.science.heating.loads import WETTEST_LIQUID, Filling, wettest
from pinset.science.learning.learnt_heat import Learnt

__all__ = ["Filling", "Heat", "LoadPlan"]


class Heat(StrEnum):
    """What heats the load."""

    PRESSURE_STEAM = "pressure"
    OPEN_STEAM = "open"  # as hot as water boils here
    HOT_WATER = "water"


USUAL_MOISTURE = {
    Filling.AGAR: 0.97,
    Filling.GRAIN: 0.48,
    Filling.SAWDUST: 0.6,
    Filling.STRAW: 0.75,
}
"""Where nothing else is said; common practice, no source."""

PLANNED_OF_PLATE = 0.94
"""Of the plate's pressure a cook is planned with at most; the code's own choice, no source.

From 0.95 of it a watched cook is near the plate, and a gauge that is held there swings above it.
"""

BOTTLE_KG = 0.5  # of agar, where neither weight nor size is said

_RANGES: dict[str, tuple[float, float, str]] = {
    "altitude_m": (-400.0, 5000.0, "m"),
    "rating_bar": (0.0, 5.0, "bar gauge, from the vessel's plate"),
    "wanted_c": (40.0, 140.0, "°C"),
    "start_c": (0.0, 60.0, "°C"),
    "come_up_min": (1.0, 1440.0, "min"),
    "units": (1, 100_000, "units"),
    "mass_kg": (0.001, 500.0, "kg in one unit"),
    "moisture": (0.0, WETTEST_LIQUID, "of wet mass, such as 0.6"),
    "diameter_cm": (2.0, 200.0, "cm"),
    "length_cm": (2.0, 300.0, "cm"),
    "width_cm": (2.0, 300.0, "cm"),
    "height_cm": (2.0, 300.0, "cm"),
    "air_c": (-10.0, 45.0, "°C"),
    "inoculate_c": (10.0, 60.0, "°C"),
    "vessel_kg": (0.0, 50_000.0, "kg of metal that is heated too"),
    "vessel_litres": (0.0, 1_000_000.0, "L"),
    "count_per_unit": (1e-6, 1e15, "organisms in a unit"),
    "conductivity": (0.02, 20.0, "W/(m K)"),
    "surface": (1.0, 20_000.0, "W/(m2 K)"),
    "free_air": (0.0, 1.0, "of the volume"),
}


@dataclass(frozen=True, slots=True)
class LoadPlan:
    """A cook to come. Sizes are of the filled part of one unit; a cylinder has no width."""

    heat: Heat = Heat.PRESSURE_STEAM
    filling: Filling = Filling.SAWDUST
    units: int = 1
    mass_kg: float = 2.3
    moisture: float = 0.6
    diameter_cm: float | None = 15.0
    length_cm: float | None = None
    width_cm: float | None = None
    height_cm: float = 20.0
    altitude_m: float = 0.0
    rating_bar: float = 0.0
    wanted_c: float = 121.1
    start_c: float = 20.0
    come_up_min: float = 30.0
    air_c: float = 20.0
    inoculate_c: float = 30.0
    vessel_kg: float = 0.0
    vessel_litres: float = 0.0  # that the load may fill; 0: not known
    organism: str = "geobacillus-stearothermophilus"
    count_per_unit: float = 1e6
    conductivity: float | None = None  # said by hand; with what vapour adds, if that is said too
    surface: float | None = None
    free_air: float | None = None  # of the estimate of vapour
    learnt: Learnt | None = None  # from a log of such a load; before what is said by hand
    learnt_from: str = ""  # that log, in words
    unlike: tuple[str, ...] = ()  # newer logs that disagree with it, in words
    is_doubted: bool = False  # one of them heated slower
    slower: tuple[Learnt, ...] = ()  # what those say of the load, as far as they can be followed

    def __post_init__(self) -> None:
        """Refuse what no cook is, each value with its range."""
        for each in fields(self):
            value = getattr(self, each.name)
            if each.name in _RANGES and value is not None:
                low, high, unit = _RANGES[each.name]
                if not low <= value <= high:  # also refuses NaN
                    raise InputError(each.name, value, f"{low:g} to {high:g} {unit}")
        if self.moisture > wettest(self.filling):
            accepted = f"0 to {wettest(self.filling):g} of wet mass; only liquids hold more"
            raise InputError("moisture", self.moisture, accepted)
        if (self.brick_cm is None) is (self.diameter_cm is None):
            given = "neither" if self.brick_cm is None else "both"
            accepted = "a diameter, or length and width of a bag pressed square"
            raise InputError("size", given, accepted)
        if self.heat is Heat.PRESSURE_STEAM and self.rating_bar <= 0.0:
            raise InputError(
                "rating_bar",
                self.rating_bar or "nothing said",
                "the most the vessel's plate allows, above 0 bar gauge",
                "Without a plate it is no pressure vessel: choose open steam.",
            )
        filled = self.units * self.shape.volume * 1000.0
        if self.vessel_litres and filled > self.vessel_litres:
            raise InputError(
                "units",
                self.units,
                f"a load that fits: {self.units} units fill {filled:.0f} L, the vessel holds "
                f"{self.vessel_litres:.0f} L",
            )

    @property
    def brick_cm(self) -> tuple[float, float] | None:
        """Length and width, or None for a cylinder."""
        if self.length_cm is None or self.width_cm is None:
            return None
        return self.length_cm, self.width_cm

    @property
    def shape(self) -> Shape:
        """The filled part of one unit, in m."""
        if self.brick_cm is None:
            return Cylinder((self.diameter_cm or 0.0) / 200.0, self.height_cm / 100.0)
        length, width = self.brick_cm
        return Brick(length / 100.0, width / 100.0, self.height_cm / 100.0)
