"""What people type about air, read into SI; each refusal names the field by its form name."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from math import isfinite

from pinset.errors import InputError
from pinset.science.air.ranges import Range
from pinset.units import Quantity, parse

PERCENT = 100.0
BARE = {
    "metric": {
        Quantity.MASS: "kg",
        Quantity.VOLUME: "m³",
        Quantity.LENGTH: "m",
        Quantity.AREA: "m²",
        Quantity.TEMPERATURE: "°C",
        Quantity.GAUGE_PRESSURE: "Pa",
        Quantity.TIME: "min",
        Quantity.FLOW: "m³/h",
        Quantity.SPEED: "m/s",
        Quantity.POWER: "W",
    },
    "us": {
        Quantity.MASS: "lb",
        Quantity.VOLUME: "ft³",
        Quantity.LENGTH: "ft",
        Quantity.AREA: "ft²",
        Quantity.TEMPERATURE: "°F",
        Quantity.GAUGE_PRESSURE: "in wg",
        Quantity.TIME: "min",
        Quantity.FLOW: "cfm",
        Quantity.SPEED: "fpm",
        Quantity.POWER: "Btu/h",
    },
}
"""What a bare number counts in."""


@dataclass(frozen=True, slots=True)
class Typed:
    """A filled form."""

    values: Mapping[str, str]
    system: str  # metric or us

    def given(self, name: str) -> str:
        """Return what was typed, without blanks around it; empty if nothing."""
        return self.values.get(name, "").strip()

    def measure(self, name: str, quantity: Quantity, accepted: str = "") -> float:
        """Return a measure in SI, of any sign.

        Raises
        ------
        InputError
            Unless it is one.
        """
        unit = BARE[self.system][quantity]
        if not self.given(name):
            raise InputError(name, "", accepted or f"a number in {unit}, or with its unit")
        return parse(quantity, self.given(name), unit, name)

    def above(self, name: str, quantity: Quantity) -> float:
        """Return a measure in SI, above 0.

        Raises
        ------
        InputError
            Unless it is one.
        """
        accepted = f"more than 0 {BARE[self.system][quantity]}"
        value = self.measure(name, quantity, accepted)
        if not value > 0.0:
            raise InputError(name, self.given(name), accepted)
        return value

    def least(self, name: str, quantity: Quantity, empty: float | None = 0.0) -> float:
        """Return a measure in SI, 0 or more; ``empty`` where nothing was typed.

        Raises
        ------
        InputError
            If it is below 0 or none, or nothing was typed and ``empty`` is None.
        """
        if not self.given(name) and empty is not None:
            return empty
        accepted = f"0 {BARE[self.system][quantity]} or more"
        value = self.measure(name, quantity, accepted)
        if not value >= 0.0:
            raise InputError(name, self.given(name), accepted)
        return value

    def humidity(self, name: str) -> float:
        """Return a relative humidity typed in percent, as a fraction.

        Raises
        ------
        InputError
            Unless it is 1 to 100 %.
        """
        return self.number(name, 1.0, PERCENT, "1 to 100 % relative humidity", "%") / PERCENT

    def number(self, name: str, low: float, high: float, accepted: str, unit: str = "") -> float:
        """Return a bare number in its bounds.

        Raises
        ------
        InputError
            Unless it is one.
        """
        value = _number(self.given(name).removesuffix(unit))
        if value is None or not low <= value <= high:
            raise InputError(name, self.given(name), accepted)
        return value

    def number_or(
        self, name: str, empty: float, low: float, high: float, accepted: str, unit: str = ""
    ) -> float:
        """Return :meth:`number`, or ``empty`` where nothing was typed.

        Raises
        ------
        InputError
            As :meth:`number`.
        """
        return self.number(name, low, high, accepted, unit) if self.given(name) else empty

    def span(self, name: str, unit: str, accepted: str) -> Range:
        """Return one number or two, ``38-52``, 0 or more, the lower first.

        Raises
        ------
        InputError
            Unless it is that.
        """
        text = self.given(name).removesuffix(unit).strip()
        parts = text.replace("–", "-").replace(" to ", "-").split("-")
        ends = [_number(part) for part in parts]
        known = [end for end in ends if end is not None and end >= 0.0]
        if len(known) != len(ends) or len(known) not in {1, 2} or known[0] > known[-1]:
            raise InputError(name, self.given(name), accepted)
        return Range(known[0], (known[0] + known[-1]) / 2.0, known[-1])

    def ppm(self, name: str, empty: float | None = None) -> float:
        """Return a reading of CO2.

        Raises
        ------
        InputError
            Unless it is 0 to 1,000,000 ppm.
        """
        accepted = "0 to 1,000,000 ppm"
        if empty is not None:
            return self.number_or(name, empty, 0.0, 1e6, accepted, "ppm")
        return self.number(name, 0.0, 1e6, accepted, "ppm")


def _number(text: str) -> float | None:
    try:
        value = float(text.strip().replace(",", "."))
    except ValueError:
        return None
    return value if isfinite(value) else None


def at_its_field(problem: InputError, fields: Mapping[str, str]) -> InputError:
    """Return why a sum was refused, at the field of the form behind its argument."""
    accepted = problem.accepted.replace("degC", "°C")
    name = fields.get(problem.field, problem.field)
    return InputError(name, problem.given, accepted, problem.hint.replace("degC", "°C"))
