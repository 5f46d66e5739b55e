"""What the colonies on settle plates say: of the air little, and a clean plate very little."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from pinset.farm.queries.story import Happened
from pinset.farm.trade.benchwork import Word
from pinset.science.air.settling import SKIN_M_S, SPORE_M_S, air_of_plates
from pinset.services.bench.lists import plates_of
from pinset.services.bench.records import PlateCount, Plates
from pinset.services.words import joined, plural
from pinset.tables.bench_checks import CheckList, checks

BESIDE = "room"
"""Plates there tell of the room, not of what falls into vessels at the bench."""


def is_count(happened: Happened) -> bool:
    """Say whether an entry counts colonies: it comes days after the session."""
    return happened.details.get("word") == Word.COUNTED.value


def counted(entries: Sequence[Happened]) -> PlateCount | None:
    """Return the last count among what was said of a session; None if there is none."""
    said = [each for each in entries if is_count(each)]
    return _count(said[-1].details) if said else None


@dataclass(frozen=True, slots=True)
class BenchCount:
    """Colonies on the plates that stood at the bench itself."""

    colonies: int
    plates: int
    minutes: float


def bench_count(happened: Happened) -> BenchCount | None:
    """Return the count of the plates at the bench; None if all stood in the room beside it."""
    stood, told = (dict(happened.details.get(name, {})) for name in ("stood", "colonies"))
    there = [where for where in stood if where != BESIDE]
    minutes = float(happened.details.get("minutes", 0))
    plates = sum(int(stood[where]) for where in there)
    if not plates or minutes <= 0.0:
        return None
    return BenchCount(sum(int(told.get(where, 0)) for where in there), plates, minutes)


def _count(details: Mapping[str, Any]) -> PlateCount:
    words = {each.key: each.words for each in checks(CheckList.PLATE)}
    told = dict(details.get("colonies", {}))
    stood = sum(each.count for each in plates_of({"plates": details.get("stood", {})}))
    found = tuple(
        Plates(where, words.get(where) or where, int(count)) for where, count in told.items()
    )
    minutes = int(details.get("minutes", 0))
    return PlateCount(found, stood, minutes, _sentence(found, stood, minutes))


def _sentence(found: Sequence[Plates], plates: int, minutes: int) -> str:
    total = sum(each.count for each in found)
    where = joined([f"{each.count} {each.words}" for each in found])
    said = f"{plural(total, 'colony', 'colonies')} on {plural(plates, 'plate')} in {minutes} min"
    if not (plates and minutes):
        return f"{said}."
    flakes, spores = (
        air_of_plates(total, plates, minutes, velocity, at_most=not total)
        for velocity in (SKIN_M_S, SPORE_M_S)
    )
    if not total:
        return (
            f"{said}. A clean plate is weak evidence: up to {flakes:,.0f} a cubic metre of flakes "
            f"and dust, or {spores:,.0f} of free spores, would often have left it clean (95 %)."
        )
    return (
        f"{said} ({where}): about {flakes:,.0f} a cubic metre if they came on flakes and dust, "
        f"{spores:,.0f} if as free spores, of which plates catch few."
    )
