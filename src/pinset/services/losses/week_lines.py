"""What was lost of every week's lots, in words and as it is drawn."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta

from pinset.learning.losses.weeks import StageWeeks, Week
from pinset.services.losses.words import day_words
from pinset.services.words import joined

SHOWN = timedelta(weeks=26)
"""Weeks within so long are drawn; our own choice."""

MOST_NAMED = 4


@dataclass(frozen=True, slots=True)
class WeekPoint:
    """The lots of one week."""

    at: datetime
    lots: int
    units: float  # of which contamination would have shown by the looks so far
    found: int
    value: float  # share found of them
    limit: float | None  # above it a week stands out
    is_raised: bool


@dataclass(frozen=True, slots=True)
class WeeksLine:
    """The weeks of one stage, the oldest first."""

    sentence: str
    usual: float | None
    points: tuple[WeekPoint, ...]


def weeks_line(found: StageWeeks, zone: str, now: datetime) -> WeeksLine:
    """Return the last half year of a stage."""
    shown = tuple(each for each in found.weeks if now - each.at <= SHOWN)
    return WeeksLine(
        sentence=_sentence(found, shown, zone),
        usual=found.usual,
        points=tuple(
            WeekPoint(
                each.at,
                each.lots,
                each.units,
                each.found,
                each.share,
                each.limit,
                each.is_raised,
            )
            for each in shown
        ),
    )


def _sentence(found: StageWeeks, shown: tuple[Week, ...], zone: str) -> str:
    if found.usual is None or found.wider is None:
        return "Too few weeks, or nothing found in them, to say what a week's losses usually are."
    usual = f"Usually {100.0 * found.usual:.2g} % of a week's units are lost"
    if found.wider > 1.2:  # noqa: PLR2004 - a fifth is what a year of weeks cannot tell from none
        usual += f", and weeks differ {found.wider:.1f} times as much as by chance alone"
    raised = [each for each in shown if each.is_raised]
    if not raised:
        return f"{usual}; no week of the last half year stands out."
    days = [day_words(each.at, zone) for each in raised[-MOST_NAMED:]]
    before = len(raised) - len(days)
    if len(raised) == 1:
        return f"{usual}; the week from {days[0]} on stands out."
    named = f"{joined(days)}{f', and {before} before,' if before else ''}"
    return f"{usual}; the weeks from {named} on stand out."
