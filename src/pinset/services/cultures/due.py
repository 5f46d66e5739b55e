"""What is due on the cold shelf, in one sentence for Today."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from zoneinfo import ZoneInfo

from pinset.chain.shelf_life import Asks
from pinset.services.book_reader import Reader
from pinset.services.cultures.kept import kept_cultures
from pinset.services.words import joined, plural

WORDS = {
    Asks.TEST: ("to wake", "to wake"),
    Asks.RENEW: ("to move into a new tube", "to move into new tubes"),
    Asks.MOTHER: ("to leave for its mother", "to leave for their mother"),
}


def shelf_notes(reader: Reader) -> tuple[str, ...]:
    """Return what is due on the shelf today: one sentence, or none.

    On a day on which nobody works it waits for the next.
    """
    if not reader.works_on(reader.today):
        return ()
    due: Counter[Asks] = Counter()
    names: dict[str, None] = {}
    for kept in kept_cultures(reader.today, ZoneInfo(reader.book.farm.time_zone)):
        for tube in kept.tubes:
            asked = kept.asked(tube, reader.today)
            if asked.is_due(reader.today):
                due[asked.asks] += 1
                names[reader.name(kept.variety)] = None
    if not due:
        return ()
    said = f"Cold shelf: {counted_due(due)} ({joined(list(names))})"
    return (f"{said}. Books, Cultures says which.",)


def counted_due(due: Mapping[Asks, int]) -> str:
    """Return ``2 lots of tubes to wake and 1 lot of tubes to move into a new tube``."""
    return joined(
        [
            f"{plural(due[asks], 'lot')} of tubes {words[due[asks] != 1]}"
            for asks, words in WORDS.items()
            if due.get(asks)
        ]
    )
