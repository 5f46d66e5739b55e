"""What lots of tubes ask for, counted, in words."""

from __future__ import annotations

from collections.abc import Mapping

from pinset.chain.shelf_life import Asks
from pinset.services.words import joined, plural

WORDS = {
    Asks.TEST: ("to wake", "to wake"),
    Asks.RENEW: ("to move into a new tube", "to move into new tubes"),
    Asks.MOTHER: ("to leave for its mother", "to leave for their mother"),
}


def counted_due(due: Mapping[Asks, int]) -> str:
    """Return ``2 lots of tubes to wake and 1 lot of tubes to move into a new tube``."""
    return joined(
        [
            f"{plural(due[asks], 'lot')} of tubes {words[due[asks] != 1]}"
            for asks, words in WORDS.items()
            if due.get(asks)
        ]
    )
