"""How far a question or an answer may reach: pages and terminal ask alike, services refuse."""

from __future__ import annotations

from pinset.errors import InputError

MOST_PAGES = 1_000_000
MOST_WEEKS = 156
MOST_SESSION_DAYS = 36_500
MOST_FLUSHES = 12
MOST_UNITS = 100_000
MOST_GRAMS = 10_000_000
"""Of one answer: ten tonnes. [g]"""


def within(field: str, number: int, least: int, most: int) -> int:
    """Return a whole number that is within its bounds.

    Parameters
    ----------
    field : str
        The input by the name the reader knows.
    number, least, most : int
        What was given, and the bounds, both allowed.

    Raises
    ------
    InputError
        If it is not.
    """
    if not least <= number <= most:
        raise InputError(field, number, f"a whole number from {least} to {most}")
    return number
