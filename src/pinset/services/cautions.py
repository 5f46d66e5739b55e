"""The cautions that stand beside work that can hurt somebody."""

from __future__ import annotations

from collections.abc import Iterable

from pinset.tables.cautions import caution


def sentences(keys: Iterable[str]) -> tuple[str, ...]:
    """Return the sentences of these cautions, each with who decides."""
    return tuple(caution(key).words for key in dict.fromkeys(keys))
