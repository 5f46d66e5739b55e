"""How long vessels keep that stand prepared and are not inoculated yet."""

from __future__ import annotations

PREPARED_KEEPS_DAYS = 14
"""Sterile and closed. [d]; common practice, no source."""

PASTEURISED_KEEPS = (("straw", 1),)
"""Kinds of cook that are not sterile, and how long they keep. [d]; common practice, no source."""


def prepared_days(cook: str) -> int:
    """Return how many days prepared vessels of a kind of cook keep from its day on. [d]."""
    return dict(PASTEURISED_KEEPS).get(cook, PREPARED_KEEPS_DAYS)
