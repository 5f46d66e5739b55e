"""The verdicts on one cook taken together: which still count, and which of them rules.

Several logs of one cook are normal: two loggers in one load. The slowest core over all of them
rules, so a log that fell short is not outvoted by a longer one. It counts until it is taken back,
or until a later pass sets it aside by name, with a reason said for that alone.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

PASS, FAIL, UNJUDGED = "pass", "fail", "unjudged"
SET_ASIDE = "set_aside"
"""Name in the details of a pass: the client ids of the earlier verdicts it does not let count."""
BECAUSE = "set_aside_because"
"""Name in the same details: why they do not count."""
REPLACES = "replaces"
"""Name in what a verdict rests on: SHA-256 of logs that are the beginning of its own."""


@dataclass(frozen=True, slots=True)
class Said:
    """One verdict on a cook that was not taken back."""

    entry: str  # client id
    verdict: str  # pass, fail, unjudged
    details: Mapping[str, Any]  # of its entry

    @property
    def log(self) -> str:
        """SHA-256 of the log it rests on; empty: none."""
        return str(self.details.get("log", ""))

    @property
    def sets_aside(self) -> frozenset[str]:
        """Entries that do not count any more because of this one."""
        return frozenset(self.details.get(SET_ASIDE, ()))

    @property
    def replaces(self) -> frozenset[str]:
        """SHA-256 of the logs that are the beginning of its own."""
        return frozenset((self.details.get("judged") or {}).get(REPLACES, ()))

    @property
    def is_own_pass(self) -> bool:
        """Whether somebody passed the cook by what was watched, which always has its reason."""
        return self.verdict == PASS and bool(self.details.get("by_hand"))

    @property
    def earned(self) -> float | None:
        """Minutes the slowest core earned: F0, or the hold where only that is asked for."""
        judged = self.details.get("judged") or {}
        cores = [each for each in judged.get("probes", ()) if each.get("role", "core") == "core"]
        by = "f0_min" if "F0" in str(judged.get("rule", "F0")) else "hold_min"
        found = [each[by] for each in cores if each.get(by) is not None]
        return min(found, default=None)

    @property
    def leaves_open(self) -> bool:
        """Whether it is of a core of which nothing can be told, so that it may have been short."""
        probes = (self.details.get("judged") or {}).get("probes", ())
        return self.verdict == UNJUDGED and any(each.get("unclear") for each in probes)


def counting(said: Sequence[Said]) -> tuple[Said, ...]:
    """Return the verdicts that count together, the oldest first.

    A log that is judged again is counted once, as it was judged last, and so is one of which the
    whole log is judged; but one that fell short counts until it is taken back or set aside.

    Parameters
    ----------
    said : sequence of Said
        All that were not taken back, the oldest first.
    """
    counted: list[Said] = []
    for each in said:
        counted = [before for before in counted if not _ends(each, before)]
        counted.append(each)
    return tuple(counted)


def _ends(later: Said, before: Said) -> bool:
    """Say whether a later verdict ends an earlier one."""
    if before.entry in later.sets_aside:
        return True
    if later.is_own_pass and before.verdict == UNJUDGED:
        return True
    is_same_log = bool(before.log) and before.log in {later.log, *later.replaces}
    return is_same_log and (before.verdict != FAIL or later.verdict == FAIL)


def ruling(counted: Sequence[Said]) -> Said | None:
    """Return which of the verdicts that count is the cook's; None if there is none.

    One that fell short rules, then one with a core of which nothing can be told, then the pass with
    the slowest core, and only then a log that says nothing of any core. Among equals the newest.

    Parameters
    ----------
    counted : sequence of Said
        Of :func:`counting`, the oldest first.
    """
    for among in (
        [each for each in counted if each.verdict == FAIL],
        [each for each in counted if each.leaves_open],
        [each for each in counted if each.verdict == PASS],
        list(counted),
    ):
        if among:
            return min(reversed(among), key=_slowness)
    return None


def _slowness(said: Said) -> float:
    return float("inf") if said.earned is None else said.earned
