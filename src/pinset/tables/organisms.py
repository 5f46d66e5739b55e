"""What heat has to kill: organisms with a published D, and what is known to outlive a treatment.

Where a publication gives a range over strains or media, the value is its longest D. The quality of
an organism is that of its least sure number. A D in `organisms.csv` shares its key with the
temperature it was measured at; `organism_names.csv` names the organism and the D it is known by.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum
from functools import cache

from pinset.errors import InputError
from pinset.tables.loader import Quality, Value, packaged_rows, table

_FILE = "organisms.csv"
_COLUMNS = ("key", "name", "form", "treatment", "entry")
_NONE = "-"
_MINUTES = {"s": 1.0 / 60.0, "min": 1.0, "h": 60.0}
_SURENESS = tuple(Quality)


class Treatment(StrEnum):
    """The kind of heat treatment an organism is a target of."""

    STERILISING = "sterilising"  # a chance of sterility may be reckoned
    PASTEURISING = "pasteurising"  # never: a flora is to remain


class Outcome(StrEnum):
    """What came of a time at a temperature."""

    SURVIVES = "survives"
    DOES_NOT_SURVIVE = "does_not_survive"
    TAKEN_AS_ENOUGH = "taken_as_enough"  # by practice or advice; not measured


@dataclass(frozen=True, slots=True)
class Organism:
    """An organism an owner may choose as the target of a cook."""

    key: str
    name: str
    form: str  # spores, conidia, cells
    treatment: Treatment
    temperature_c: float  # at which D was measured
    d_minutes: float  # the longest published
    d_minutes_low: float
    d_minutes_high: float
    z: float | None  # K; None where none is published: the owner has to give it
    z_low: float | None
    z_high: float | None
    quality: Quality  # of the less sure of D and z
    rows: tuple[Value, ...]  # the published values, each with source and note

    @property
    def is_target_of_sterilising(self) -> bool:
        """Whether a chance that a unit is not sterile may be reckoned with it."""
        return self.treatment is Treatment.STERILISING


@dataclass(frozen=True, slots=True)
class Endurance:
    """What a time at a temperature did to an organism, where no D is known."""

    key: str
    name: str
    form: str
    temperature_c: float
    minutes: float
    outcome: Outcome
    row: Value


def _minutes(row: Value, value: float) -> float:
    return 10.0**value if row.unit == "log10 min" else value * _MINUTES[row.unit]


def _ends(row: Value) -> tuple[float, float]:
    if row.low is None or row.high is None:
        return row.value, row.value
    return row.low, row.high


def _organism(name: Mapping[str, str]) -> Organism:
    values, key = table(_FILE), name["key"]
    entry = f"{key}.{name['entry']}"
    d = values.get(entry, "d") or values.one(entry, "log10_d")
    z = values.get(key, "z")
    least, most = _ends(d)
    z_low, z_high = (None, None) if z is None else _ends(z)
    rows = (d,) if z is None else (d, z)
    return Organism(
        key=key,
        name=name["name"],
        form=name["form"],
        treatment=Treatment(name["treatment"]),
        temperature_c=values.one(entry, "temperature_c").value,
        d_minutes=_minutes(d, d.value),
        d_minutes_low=_minutes(d, least),
        d_minutes_high=_minutes(d, most),
        z=None if z is None else z.value,
        z_low=z_low,
        z_high=z_high,
        quality=max((row.quality for row in rows), key=_SURENESS.index),
        rows=rows,
    )


def _names() -> list[dict[str, str]]:
    return packaged_rows("organism_names.csv", _COLUMNS)


@cache
def organisms() -> Mapping[str, Organism]:
    """Return every organism with a published D, by its key."""
    return {name["key"]: _organism(name) for name in _names() if name["entry"] != _NONE}


def organism(key: str) -> Organism:
    """Return one organism.

    Raises
    ------
    InputError
        If there is none of that key.

    Examples
    --------
    >>> found = organism("geobacillus-stearothermophilus")
    >>> found.d_minutes, found.temperature_c, found.z, found.quality.value
    (2.0, 121.0, 10.0, 'memory')
    """
    found = organisms().get(key)
    if found is None:
        raise InputError("organism", key, f"one of {', '.join(organisms())}")
    return found


@cache
def endurances() -> tuple[Endurance, ...]:
    """Return what times at a temperature are known to have done, where no D is known."""
    names = {name["key"]: name for name in _names()}
    values = table(_FILE)
    found = []
    for row in values.rows:
        if row.name not in set(Outcome):
            continue
        key = row.key.rpartition(".")[0]
        found.append(
            Endurance(
                key=key,
                name=names[key]["name"],
                form=names[key]["form"],
                temperature_c=values.one(row.key, "temperature_c").value,
                minutes=_minutes(row, row.value),
                outcome=Outcome(row.name),
                row=row,
            )
        )
    return tuple(found)
