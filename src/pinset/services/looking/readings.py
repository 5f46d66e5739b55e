"""What is read off in a room on a round, checked: temperature, humidity, carbon dioxide, flies."""

from __future__ import annotations

import re
from dataclasses import dataclass

from pinset.errors import InputError
from pinset.units import Quantity, parse, rounded, show

COLDEST_C, HOTTEST_C = -10.0, 60.0
"""No room of a farm is colder or hotter than that with somebody in it."""

MOST_PPM = 100_000.0
MOST_FLIES = 100_000
MOST_TRAPS = 100
MOST_TRAP_DAYS = 60.0
PERCENT = 100.0
PPM_OF_PERCENT = 10_000.0
_NUMBER = re.compile(r"[0-9]{1,9}(?:[.,][0-9]{1,9})?")
_TWO_WAYS = re.compile(r"[1-9][0-9]{0,2},[0-9]{3}")


@dataclass(frozen=True, slots=True)
class Readings:
    """What one room shows; None where nothing was read off."""

    temperature_c: float | None = None
    humidity_percent: float | None = None
    co2_ppm: float | None = None
    flies: int | None = None  # on all its sticky traps together
    traps: int = 1
    trap_days: float | None = None  # since they were hung or counted last

    @property
    def is_empty(self) -> bool:
        """Whether nothing was read off."""
        read = (self.temperature_c, self.humidity_percent, self.co2_ppm, self.flies)
        return all(each is None for each in read)

    @property
    def flies_per_trap_day(self) -> float | None:
        """Return flies per trap and day; None where the days are not known."""
        if self.flies is None or not self.trap_days:
            return None
        return self.flies / (self.traps * self.trap_days)


def kept(readings: Readings) -> dict[str, float]:
    """Return readings as an entry keeps them, those that were read off."""
    found: dict[str, float | None] = {
        "temperature_c": readings.temperature_c,
        "humidity_percent": readings.humidity_percent,
        "co2_ppm": readings.co2_ppm,
        "flies": readings.flies,
    }
    if readings.flies is not None:
        found["traps"] = readings.traps
        found["trap_days"] = readings.trap_days
        per_day = readings.flies_per_trap_day
        found["flies_per_trap_day"] = None if per_day is None else float(rounded(per_day, 4))
    return {name: value for name, value in found.items() if value is not None}


def checked(readings: Readings, system: str = "metric") -> Readings:
    """Return readings that can be.

    Parameters
    ----------
    readings : Readings
        As they were typed.
    system : str
        The farm's choice of units, ``metric`` or ``us``: what a refusal names.

    Raises
    ------
    InputError
        If one cannot be in a room where somebody walks.
    """
    _between("temperature", readings.temperature_c, COLDEST_C, HOTTEST_C, system)
    _between("humidity", readings.humidity_percent, 0.0, PERCENT, " %")
    _between("co2", readings.co2_ppm, 0.0, MOST_PPM, " ppm")
    _between("flies", readings.flies, 0, MOST_FLIES, "")
    if readings.flies is not None:
        _between("traps", readings.traps, 1, MOST_TRAPS, "")
        if readings.trap_days is not None and not 0 < readings.trap_days <= MOST_TRAP_DAYS:
            accepted = f"more than 0 and at most {MOST_TRAP_DAYS:g} days"
            raise InputError("trap_days", readings.trap_days, accepted)
    return readings


def _between(field: str, value: float | None, low: float, high: float, unit: str) -> None:
    if value is None or low <= value <= high:
        return
    if unit in {"metric", "us"}:
        given, lowest, highest = (
            show(Quantity.TEMPERATURE, each, unit) for each in (value, low, high)
        )
        raise InputError(field, given, f"{lowest} to {highest}", "Look at the unit.")
    raise InputError(field, f"{value:g}{unit}", f"{low:g} to {high:,.0f}{unit}")


def temperature_of(text: str, system: str) -> float | None:
    """Return a typed temperature in °C: ``70 F``, ``21``, ``21,5 °C``; None if nothing is typed.

    A bare number is in the farm's own unit.
    """
    if not text.strip():
        return None
    default = "F" if system == "us" else "C"
    return parse(Quantity.TEMPERATURE, text, default, "temperature")


def humidity_of(text: str) -> float | None:
    """Return a typed relative humidity in per cent: ``88``, ``88 %``; None if nothing is typed."""
    bare = text.strip().removesuffix("%").strip()
    return _bare(bare, "humidity", "a relative humidity such as 88 %") if text.strip() else None


def co2_of(text: str) -> float | None:
    """Return typed carbon dioxide in ppm: ``800``, ``800 ppm``, ``0.08 %``; None if nothing is."""
    given = text.strip().lower()
    if not given:
        return None
    accepted = "carbon dioxide such as 800 ppm or 0.08 %"
    if given.endswith("%"):
        return _bare(given.removesuffix("%").strip(), "co2", accepted) * PPM_OF_PERCENT
    return _bare(given.removesuffix("ppm").strip(), "co2", accepted)


def _bare(text: str, field: str, accepted: str) -> float:
    """Return a number with a point or a comma; ``1,240`` can be read two ways and is refused."""
    hint = ""
    if _TWO_WAYS.fullmatch(text):
        hint = f"Write {text.replace(',', '')} or {text.replace(',', '.')}."
    elif _NUMBER.fullmatch(text):
        return float(text.replace(",", "."))
    raise InputError(field, text, accepted, hint)
