"""Entries about a cook after it: what came of it, what it taught, and how that is known."""

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


def learnt(tap: Tap, *, cook: str, load: Mapping[str, Any], details: Mapping[str, Any]) -> NewEntry:
    """A log taught how a load heats. The newest entry of such a load counts.

    Parameters
    ----------
    tap : Tap
        Who learnt it, and when.
    cook : str
        Code of the cook whose log it is.
    load : mapping
        What stood in the cook, as it is typed: filling, mass, moisture, size.
    details : mapping
        Plain values: the digest of the log (``log``), the fit, and that in words (``sentence``).

    Raises
    ------
    InputError
        If the cook has no code, or nothing is said of the load.
    """
    if not cook:
        raise InputError("cook", cook, "the code of a cook")
    if not load:
        raise InputError("load", "", "what stood in the cook")
    return tap.entry(Kind.LEARNT, details={**details, "cook": cook, "load": dict(load)})
