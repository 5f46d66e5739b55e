"""Logs of a short cook that came after somebody decided on its lots and say far less.

Who kept a lot of a cook of F0 4 weighed that, and not the F0 0.3 of a log that came later.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

from pinset.farm.queries.cooks import Judged

WORSE = 0.9
"""Of what was known then: less is far less, and asked about. The code's own choice: no source."""


def worse_since(short: Sequence[Judged], decided_at: datetime) -> str:
    """Return what a later log says that is far worse than what was known; empty: none does.

    Parameters
    ----------
    short : sequence of Judged
        The verdicts that count by which a cook was too short.
    decided_at : datetime
        When somebody decided, with its zone.
    """
    known = min(map(_earned, (each for each in short if each.at <= decided_at)), default=_EVER)
    later = [each for each in short if each.at > decided_at and _earned(each) < WORSE * known]
    if not later:
        return ""
    worst = min(later, key=_earned)
    name = worst.details.get("log_name") or "a later log"
    of = "F0" if "F0" in str((worst.details.get("judged") or {}).get("rule", "F0")) else "a hold of"
    less = f", where {known:.1f} min was known" if known < _EVER else ""
    return f"Kept before {name} was there, which says {of} {_earned(worst):.1f} min{less}."


_EVER = float("inf")


def _earned(judged: Judged) -> float:
    """Return the minutes the slowest core earned, infinite where no log says it."""
    earned = judged.said.earned
    return _EVER if earned is None else earned
