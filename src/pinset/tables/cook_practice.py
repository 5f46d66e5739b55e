"""How growers cook, as presets to start from: times of practice, never proof that anything is dead.

Where a range is quoted the value is what is quoted most, else its upper end. The farm edits what it
takes, and the lethality reckoned from a log stands beside it.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum
from functools import cache

from pinset.errors import InputError
from pinset.tables.loader import Quality, Value, packaged_rows, sources, table
from pinset.units import PSI_PA

_FILE = "cook_practice.csv"
_COLUMNS = ("key", "name", "kind")
_RULE = "rule."
_MINUTES = {"min": 1.0, "h": 60.0}


class CookKind(StrEnum):
    """What heats, or does its work."""

    PRESSURE_STEAM = "pressure steam"
    OPEN_STEAM = "open steam"  # its temperature falls with altitude
    HOT_WATER = "hot water"
    LIME = "lime"  # chemical: no lethality is reckoned


def _flag(row: Value) -> str:
    if row.quality is Quality.COMMON_PRACTICE:
        return "common practice, no source"
    if row.quality is Quality.MEMORY:
        return "common practice, from memory"
    source = sources()[row.source]
    place = "" if row.place == "-" else f", {row.place}"
    return f"practice, {row.quality.value} in {source.authors} {source.year}{place}"


@dataclass(frozen=True, slots=True)
class CookPreset:
    """A cook as growers do it."""

    key: str
    name: str
    kind: CookKind
    hold: Value
    temperature: Value | None  # degC; None where the gauge says it, or nothing is heated
    gauge: Value | None  # psi, at sea level
    others: tuple[Value, ...]  # holds that other sources give

    @property
    def hold_minutes(self) -> float:
        """Return how long it is held, in minutes."""
        return self.hold.value * _MINUTES[self.hold.unit]

    @property
    def hold_band_minutes(self) -> tuple[float, float]:
        """Return the shortest and longest that is quoted, in minutes."""
        held = [self.hold, *self.others]
        ends = [end for row in held for end in (row.value, row.low, row.high) if end is not None]
        factor = _MINUTES[self.hold.unit]
        return min(ends) * factor, max(ends) * factor

    @property
    def gauge_kpa(self) -> float | None:
        """Return the gauge pressure at sea level, in kPa; None without pressure."""
        return None if self.gauge is None else self.gauge.value * PSI_PA / 1000.0

    @property
    def flag(self) -> str:
        """Return how the time is known, in words that stand beside it."""
        return _flag(self.hold)

    @property
    def is_thermal(self) -> bool:
        """Whether a lethality can be reckoned for it."""
        return self.kind is not CookKind.LIME


@dataclass(frozen=True, slots=True)
class LethalityRule:
    """An F0 that somebody asks for; a farm may take it as its own rule."""

    key: str
    f0_minutes: float
    row: Value

    @property
    def flag(self) -> str:
        """Return how it is known."""
        return _flag(self.row)


@cache
def cook_presets() -> Mapping[str, CookPreset]:
    """Return every preset by its key.

    Raises
    ------
    InputError
        If the table lacks the hold of one.
    """
    values = table(_FILE)
    found = {}
    for name in packaged_rows("cook_names.csv", _COLUMNS):
        key = name["key"]
        hold = values.one(key, "hold")
        others = [row for row in values.rows if (row.key, row.name) == (key, "hold")]
        found[key] = CookPreset(
            key=key,
            name=name["name"],
            kind=CookKind(name["kind"]),
            hold=hold,
            temperature=values.get(key, "temperature_c"),
            gauge=values.get(key, "gauge"),
            others=tuple(row for row in others if row is not hold),
        )
    return found


def cook_preset(key: str) -> CookPreset:
    """Return one preset.

    Raises
    ------
    InputError
        If there is none of that key.

    Examples
    --------
    >>> found = cook_preset("sawdust-bags")
    >>> found.hold_minutes, found.hold_band_minutes, found.flag
    (150.0, (120.0, 180.0), 'common practice, no source')
    """
    found = cook_presets().get(key)
    if found is None:
        raise InputError("cook preset", key, f"one of {', '.join(cook_presets())}")
    return found


@cache
def lethality_rules() -> Mapping[str, LethalityRule]:
    """Return the F0 thresholds that publications name; none of them governs substrate."""
    rows = [row for row in table(_FILE).rows if row.key.startswith(_RULE)]
    keys = [row.key.removeprefix(_RULE) for row in rows]
    return {key: LethalityRule(key, row.value, row) for key, row in zip(keys, rows, strict=True)}


def cook_practice(key: str, name: str) -> Value:
    """Return another value of practice with cooks: how long to vent, how deep to stack.

    Raises
    ------
    InputError
        If the table has none of that key and name.
    """
    return table(_FILE).one(key, name)
