"""How a cook stands, in the few words that lots, jobs and refusals use."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from pinset.farm.queries.cooks import Judged
from pinset.science.steam.check import DOUBTFUL_AIR

BY_HAND = "judged by hand, no log"
NOT_YET = "not judged yet"
LIME = "lime"  # the treatment of a verdict on a lime bath
_BY_LOG = {"pass": "passed", "fail": "too short"}
_SAID = {"pass": "passed", "fail": "failed"}


def is_by_hand(details: Mapping[str, Any]) -> bool:
    """Say whether a verdict is somebody's own, without a log."""
    return bool(details.get("by_hand"))


def _air_of(details: Mapping[str, Any]) -> float:
    """Return the share of air that a judged log says was left in; 0: none, or not to be told."""
    steam = (details.get("judged") or {}).get("steam") or {}
    return float(steam.get("air", 0.0))


def has_doubtful_air(details: Mapping[str, Any]) -> bool:
    """Say whether a verdict by a log leaves in doubt what units elsewhere in the load got."""
    return not is_by_hand(details) and _air_of(details) >= DOUBTFUL_AIR


def verdict_in_words(verdict: str, details: Mapping[str, Any]) -> str:
    """Return a verdict as people read it: ``passed``, ``too short``, ``not judged yet``.

    ``details`` are those of its entry; one given by hand says so.
    """
    if verdict not in _SAID:
        return NOT_YET
    if is_by_hand(details):
        return f"{_SAID[verdict]}, {BY_HAND}"
    if details.get("treatment") == LIME:
        return f"{_SAID[verdict]}, lime bath"
    said = (_BY_LOG if details.get("log") else _SAID)[verdict]
    if verdict == "pass" and has_doubtful_air(details):
        return f"{said} where it was measured, with {_air_of(details):.0%} air left in"
    return said


def cook_in_words(cook: str, judged: Judged | None) -> str:
    """Return a cook and how it stands: ``cook kettle-20260312-1000: passed``; empty without one."""
    if not cook:
        return ""
    said = verdict_in_words(judged.verdict, judged.details) if judged else NOT_YET
    return f"cook {cook}: {said}"
