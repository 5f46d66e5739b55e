"""Whether a head is that of times, and of nothing that is measured.

``t [s]`` is time, ``T core 1`` a core; ``Minutes`` is time, ``Bag S`` a bag; ``Temps écoulé`` is
time, ``Temps coeur 1`` a core.
"""

from __future__ import annotations

from pinset.files.logger.insides import CORE, MIDDLE, UNIT, VESSEL
from pinset.files.logger.words import Topic, tokens, topics_in, unit_in

_MEASURED = frozenset(f"{CORE} {MIDDLE} {UNIT} {VESSEL}".split())
_PASSED = frozenset(("temps", "écoulé", "ecoule", "total", "réel", "reel"))
"""Beside which the French ``temps`` is time; elsewhere it may be short for temperatures."""


def names_time(head: str) -> bool:
    """Return True if a head is that of times, by its words, and of nothing that is measured.

    Parameters
    ----------
    head : str
        Of a column.
    """
    parts = tokens(head)
    words = [part.rstrip("0123456789") for part in parts]
    if any(word in _MEASURED for word in words):
        return False
    beside = {word for word in words if word and word != "t" and not unit_in(word, Topic.TIME)}
    has_number = any(part[-1].isdigit() for part in parts)
    if not beside:
        return bool(parts) and not has_number
    about = topics_in(head)
    if not about & {Topic.TIME, Topic.ELAPSED}:
        return False
    if Topic.TEMPERATURE in about:
        return beside <= _PASSED and not has_number
    return True
