"""What is published of a species: the values its route can start from.

They are start values. The strain owns its numbers, not the species, and the farm's own records
take over.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache

from pinset.errors import InputError
from pinset.tables.loader import Table, Value, packaged_rows, table

STEPS = (
    "tube",
    "plate",
    "grain",
    "grain-2",
    "sawdust",
    "block",
    "ripening",
    "pinning",
    "fruiting",
    "picked",
)
"""Steps of the table, in the order of the chain; pinning and fruiting are one step of a route."""

_COLUMNS = ("key", "name", "latin", "substrate", "climate")


@dataclass(frozen=True, slots=True)
class Species:
    """A species under the name growers sell it by."""

    key: str
    name: str
    latin: str
    substrate: str  # what its yields are published for: straw, sawdust, compost
    climate: str  # of its grow room, in a word


@dataclass(frozen=True, slots=True)
class StepDefaults:
    """Published values of one step; None where the table has none."""

    code: str
    temperature_c: Value
    loss: Value
    days: Value | None = None  # None only for what is picked
    units_per_parent: Value | None = None
    keeps_days_warm: Value | None = None
    keeps_days_cold: Value | None = None
    cold_min_c: Value | None = None


@dataclass(frozen=True, slots=True)
class FlushDefaults:
    """Published values of one flush."""

    gap_days: Value
    share: Value
    lost_before: Value


@dataclass(frozen=True, slots=True)
class SpeciesDefaults:
    """Everything published here of one species."""

    species: Species
    steps: Mapping[str, StepDefaults]
    substrate: str
    biological_efficiency: Value  # fresh mushrooms of all flushes per dry substrate
    fill_moisture: Value
    flushes: tuple[FlushDefaults, ...]


@cache
def all_species() -> Mapping[str, Species]:
    """Return every species of the tables by its key."""
    return {row["key"]: Species(**row) for row in packaged_rows("species.csv", _COLUMNS)}


def species_of(name: str) -> Species:
    """Return a species by key, trade name or Latin name, in any case.

    Raises
    ------
    InputError
        If the tables do not know it.
    """
    wanted = name.strip().lower()
    for species in all_species().values():
        if wanted in {species.key, species.name.lower(), species.latin.lower()}:
            return species
    accepted = ", ".join(f"{s.name} ({s.latin})" for s in all_species().values())
    raise InputError("species", name, f"one of {accepted}")


def practice(key: str, name: str) -> Value:
    """Return a value of common practice: minutes, lead hours, vessels, cooks.

    Raises
    ------
    InputError
        If the table has none of that key and name.
    """
    return table("practice.csv").one(key, name)


def _step(rows: Table, species: str, code: str) -> StepDefaults:
    key = f"{species}.{code}"
    return StepDefaults(
        code=code,
        temperature_c=rows.one(key, "temperature_c"),
        loss=rows.one(key, "loss"),
        days=rows.get(key, "days"),
        units_per_parent=rows.get(key, "units_per_parent"),
        keeps_days_warm=rows.get(key, "keeps_days_warm"),
        keeps_days_cold=rows.get(key, "keeps_days_cold"),
        cold_min_c=rows.get(key, "cold_min_c"),
    )


def _flushes(rows: Table, key: str) -> tuple[FlushDefaults, ...]:
    found: list[FlushDefaults] = []
    while rows.get(flush := f"{key}.flush-{len(found) + 1}", "share") is not None:
        found.append(
            FlushDefaults(
                gap_days=rows.one(flush, "gap_days"),
                share=rows.one(flush, "share"),
                lost_before=rows.one(flush, "lost_before"),
            )
        )
    return tuple(found)


@cache
def defaults_for(species: str) -> SpeciesDefaults:
    """Return the published values of a species.

    Parameters
    ----------
    species : str
        Key, trade name or Latin name.

    Returns
    -------
    SpeciesDefaults
        Each value with low, high, unit, source and quality.

    Raises
    ------
    InputError
        If the tables do not know the species.

    Examples
    --------
    >>> defaults_for("shiitake").steps["ripening"].days.value
    90.0
    """
    known = species_of(species)
    rows, yields = table("route_steps.csv"), table("yields.csv")
    steps = {
        code: _step(rows, known.key, code)
        for code in STEPS
        if rows.get(f"{known.key}.{code}", "loss") is not None
    }
    key = f"{known.key}.{known.substrate}"
    return SpeciesDefaults(
        species=known,
        steps=steps,
        substrate=known.substrate,
        biological_efficiency=yields.one(key, "biological_efficiency"),
        fill_moisture=yields.one(key, "fill_moisture"),
        flushes=_flushes(yields, key),
    )
