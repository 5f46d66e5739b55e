"""How a promise was kept: in time, late, in part or not at all."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date

from pinset.planning.season.chances import MET
from pinset.services.words import amount, plural

KEPT, LATE, PART, MISSED = "kept", "kept late", "part kept", "missed"
SETTLED = frozenset({KEPT, LATE, PART, MISSED})
"""How a promise stands that is over."""


@dataclass(frozen=True, slots=True)
class Kept:
    """How a promise was kept, and how many days late."""

    state: str  # one of SETTLED; empty: it is not over yet
    late_days: int = 0
    reason: str = ""


NOT_OVER = Kept("")


def kept_of(
    promised: int, measure: str, due: date, today: date, handed: Mapping[date, int], units: str
) -> Kept:
    """Return how a promise was kept.

    Parameters
    ----------
    promised : int
        What was promised. [g or units]
    measure : str
        gram or unit.
    due, today : date
        Its day, and the farm's.
    handed : mapping of date to int
        What was handed over for it, by the day on which it was. [g or units]
    units : str
        The farm's choice of units.
    """
    whole = sum(handed.values())
    if whole < MET * promised:
        if whole and due <= today:
            return Kept(PART)
        return Kept(MISSED) if due < today else NOT_OVER
    so_far = 0
    for day in sorted(handed):
        so_far += handed[day]
        if so_far >= MET * promised:
            late = (day - due).days
            return Kept(LATE, late, _late(handed, due, late, measure, units)) if late > 0 else _KEPT
    return _KEPT


_KEPT = Kept(KEPT)


def _late(handed: Mapping[date, int], due: date, days: int, measure: str, units: str) -> str:
    after = sum(each for day, each in handed.items() if day > due)
    is_all = after == sum(handed.values())
    what = "Handed" if is_all else f"{amount(after, measure, system=units)} of it handed"
    return f"{what} over {'a day' if days == 1 else plural(days, 'day')} late."
