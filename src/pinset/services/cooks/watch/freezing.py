"""Readings below freezing: the reckoning begins at 0 degC, and what is frozen is told."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from pinset.errors import Finding, Severity
from pinset.services.cooks.watch.records import WatchReading
from pinset.services.cooks.watch.speech import Speech

FREEZING_C = 0.0
"""Steam tables and the heat of wet substrate begin here. [degC]"""


def thawed(
    rows: Sequence[WatchReading], speech: Speech
) -> tuple[list[WatchReading], list[Finding]]:
    """Return readings with none below freezing, and what is said of those that were.

    A slip of the hand as much as a winter barn: neither may stop the
    reckoning of a cook that goes on.
    """
    found: list[Finding] = []
    for what, words in (("chamber_c", "chamber"), ("core_c", "core")):
        cold = [v for row in rows if (v := getattr(row, what)) is not None and v < FREEZING_C]
        if cold:
            found.append(_finding(words, min(cold), len(cold), speech))
    return [
        replace(row, chamber_c=_thawed(row.chamber_c), core_c=_thawed(row.core_c)) for row in rows
    ], found


def _thawed(celsius: float | None) -> float | None:
    return None if celsius is None else max(FREEZING_C, celsius)


def _finding(what: str, coldest: float, count: int, speech: Speech) -> Finding:
    many = "A reading" if count == 1 else f"{count} readings"
    was = "was" if count == 1 else "were"
    sentence = (
        f"{many} of the {what} {was} below freezing, {speech.degrees(coldest)}; "
        f"taken as {speech.degrees(FREEZING_C)}."
    )
    hint = "If it was a slip, take it back. Ice takes much heat to melt: thaw a frozen load first."
    return Finding("watch.freezing", Severity.WARNING, what, sentence, hint)
