"""What people write: kept whole, or refused with the length that fits; never cut in silence."""

from __future__ import annotations

from pinset.errors import InputError

LONGEST_NOTE = 2000
LONGEST_REASON = 200
KEPT = frozenset("\n\t")


def written(field: str, text: str, most: int) -> str:
    """Return a text without signs nobody can see.

    Raises
    ------
    InputError
        If it is longer than fits.
    """
    clean = "".join(sign for sign in text if sign.isprintable() or sign in KEPT).strip()
    if len(clean) > most:
        raise InputError(field, f"{len(clean)} signs", f"at most {most} signs")
    return clean
