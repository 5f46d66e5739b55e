"""A farm's rule for straw in cold lime water: ``lime=12h`` or ``lime=12h/pH12``.

Lime keeps competitors down by alkalinity, not by heat, so no lethality is reckoned of it; hours and
pH are written down and held against the rule (usual are 8 to 24 h in saturated lime water of about
pH 12; common practice, no source).
"""

from __future__ import annotations

import re
from dataclasses import dataclass

from pinset.errors import InputError

LEAST_HOURS, MOST_HOURS = 1.0, 96.0
LEAST_PH, MOST_PH = 7.0, 14.0
ACCEPTED = "lime=HOURS, or lime=HOURS/pH, such as lime=12h/pH12"
_RULE = re.compile(
    r"lime\s*=\s*(\d+(?:\.\d+)?)\s*h?\s*(?:/\s*(?:pH\s*)?(\d+(?:\.\d+)?))?", re.IGNORECASE
)


@dataclass(frozen=True, slots=True)
class LimeRule:
    """What a lime bath is to have had."""

    hours: float
    ph: float | None = None  # at its end, at least; None: not asked

    @property
    def words(self) -> str:
        """The rule as people read it."""
        at = f" at pH {self.ph:g} or more" if self.ph is not None else ""
        return f"{self.hours:g} h in lime water{at}"


def is_lime(rule: str) -> bool:
    """Say whether a rule is of a lime bath and not of heat."""
    return rule.strip().lower().startswith("lime")


def read_lime(rule: str) -> LimeRule:
    """Return the rule of a lime bath.

    Raises
    ------
    InputError
        If the text is no such rule, or hours or pH are out of range.

    Examples
    --------
    >>> read_lime("lime=12h/pH12").words
    '12 h in lime water at pH 12 or more'
    """
    found = _RULE.fullmatch(rule.strip())
    if found is None:
        raise InputError("rule", rule, ACCEPTED)
    hours, ph = float(found[1]), None if found[2] is None else float(found[2])
    if not LEAST_HOURS <= hours <= MOST_HOURS:
        raise InputError("rule", rule, f"{LEAST_HOURS:g} to {MOST_HOURS:g} hours")
    if ph is not None and not LEAST_PH <= ph <= MOST_PH:
        raise InputError("rule", rule, f"a pH of {LEAST_PH:g} to {MOST_PH:g}")
    return LimeRule(hours, ph)
