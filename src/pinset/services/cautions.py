"""The cautions that stand beside work that can hurt somebody."""

from __future__ import annotations

from collections.abc import Iterable
from functools import cache

from pinset.tables.cautions import caution, cautions

IN_SHORT = {
    "pressure": "pressure",
    "pressure-rules": "pressure rules",
    "relief-valve": "relief valve",
    "dry-firing": "boiling dry",
    "venting": "air left in",
    "vacuum": "vacuum",
    "opening": "opening too early",
    "condensate": "drains",
    "wet-floor": "wet floor",
    "sealed-vessel": "sealed drums",
    "not-proof": "no proof",
    "steam": "steam",
    "hot-agar": "hot agar",
    "hot-glass": "hot jars",
    "scald": "boiling water",
    "alcohol-flame": "alcohol and flame",
    "mouldy-units": "mould",
    "orange-mould": "orange mould",
    "spores": "spores",
    "co2": "carbon dioxide",
    "carbon-monoxide": "carbon monoxide",
    "lifting": "lifting",
    "dust": "dust",
    "lime": "lime",
    "disinfectants": "disinfectants",
    "mist-water": "mist",
    "wrong-species": "wrong species",
    "food": "food",
    "uv-c": "UV-C",
}
"""Each hazard in a word or two, where the sentences are folded away."""


def sentences(keys: Iterable[str]) -> tuple[str, ...]:
    """Return the sentences of these cautions, each with who decides."""
    return tuple(caution(key).words for key in dict.fromkeys(keys))


def hazard_of(sentence: str) -> str:
    """Return the hazard a caution's sentence speaks of, in a word or two; empty if not known."""
    return IN_SHORT.get(_keys().get(sentence, ""), "")


@cache
def _keys() -> dict[str, str]:
    return {each.words: key for key, each in cautions().items()}


def hazards() -> tuple[tuple[str, str], ...]:
    """Return the key of every caution with its hazard in a word or two."""
    return tuple(IN_SHORT.items())
