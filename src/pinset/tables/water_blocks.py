"""How long pieces of a culture keep in sterile water, beside the shelf of tubes."""

from __future__ import annotations

from pinset.tables.loader import Value, table


def water_blocks() -> Value:
    """Return the days that blocks of agar keep in sterile water at the warmth of a cellar."""
    return table("storage.csv").one("distilled-water-blocks.5-20-c", "keeps_days")
