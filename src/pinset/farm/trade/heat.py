"""Entries about a cook after it: what came of it, and how that is known."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from enum import StrEnum
from typing import Any

from pinset.errors import InputError
from pinset.farm.entries import Kind, NewEntry, NewMention
from pinset.farm.trade.parts import Tap

JUDGED = "judged"
"""Role of the mention of each prepared lot of a cook; its value is the verdict."""


class CookVerdict(StrEnum):
    """What came of a cook."""

    PASS = "pass"  # noqa: S105 - it fulfilled the farm's rule, or somebody's own judgement says so
    FAIL = "fail"  # it fell short
    UNJUDGED = "unjudged"  # looked at, and not to be told


def verdict(
    tap: Tap,
    *,
    cook: str,
    lots: Sequence[str],
    verdict: str,
    details: Mapping[str, Any] | None = None,
) -> NewEntry:
    """A cook was judged. Judging again is another entry; the newest by its moment counts.

    Parameters
    ----------
    tap : Tap
        Who judged, and when.
    cook : str
        Code of the cook.
    lots : sequence of str
        Its prepared lots; none if it made none.
    verdict : str
        ``pass``, ``fail`` or ``unjudged``.
    details : mapping, optional
        Plain values: the rule, the digest of the log (``log``), probes, method, positions.

    Raises
    ------
    InputError
        If the cook has no code, or there is no such verdict.
    """
    if not cook:
        raise InputError("cook", cook, "the code of a cook")
    if verdict not in set(CookVerdict):
        raise InputError("verdict", verdict, f"one of {', '.join(CookVerdict)}")
    return tap.entry(
        Kind.VERDICT,
        mentions=tuple(NewMention(lot, JUDGED, value=str(verdict)) for lot in dict.fromkeys(lots)),
        details={**(details or {}), "cook": cook, "verdict": str(verdict)},
    )
