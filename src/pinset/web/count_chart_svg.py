"""What is counted over half a year, drawn with its usual level and its upper limit."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from statistics import median
from typing import Protocol

from django.utils import timezone
from django.utils.translation import gettext as _

from pinset.web.formats import short_day

WIDE, HIGH, EDGE = 320.0, 110.0, 8.0
FEWEST = 2  # counts that make a drawing
GAP = timedelta(days=28)  # the line is broken where nobody counted for so long
_MOST_TIMES = 4.0  # a limit so far above what was counted is left out of the drawing
_HALF = 4.0  # side of a square that marks a count of an alarm, halved
_TEN = 10.0


class Point(Protocol):
    """One count."""

    @property
    def at(self) -> datetime:
        """When it was counted."""

    @property
    def value(self) -> float:
        """What is drawn."""

    @property
    def limit(self) -> float | None:
        """Above it the count stands out; None: that is not known."""

    @property
    def is_raised(self) -> bool:
        """Whether it stands out."""


@dataclass(frozen=True, slots=True)
class CountDrawing:
    """Counts over time."""

    words: str  # for those who do not see it
    top: str  # what the upper edge stands for; the foot is 0
    first: str
    last: str
    strokes: tuple[str, ...]  # points of the polylines
    dots: tuple[tuple[float, float], ...]
    squares: tuple[tuple[float, float], ...]  # upper left corners: counts of an alarm
    side: float
    usual: float | None  # height of the line
    limits: tuple[str, ...]  # points of the polylines
    has_limit_above: bool  # some of the limit lies above the drawing


def drawing_of(
    points: Sequence[Point], usual: float | None, *, is_share: bool, limit_words: str
) -> CountDrawing | None:
    """Return the drawing of counts; None where no two on two days are there.

    Parameters
    ----------
    points : sequence of Point
        In their order of time.
    usual : float or None
        The level that is usual.
    is_share : bool
        Whether they are shares, said in per cent.
    limit_words : str
        What the limit of the last count means, with %(limit)s in it.
    """
    if len(points) < FEWEST or points[0].at == points[-1].at:
        return None
    begin, span = points[0].at, (points[-1].at - points[0].at).total_seconds()
    counted = max(*(each.value for each in points), usual or 0.0)
    limits = [each.limit for each in points if each.limit is not None]
    near = [each for each in limits if each <= _MOST_TIMES * counted]
    top = max(counted, median(near) if near else 0.0) * 1.05 or 1.0

    def across(at: datetime) -> float:
        return round(EDGE + (WIDE - 2 * EDGE) * (at - begin).total_seconds() / span, 1)

    def up(value: float) -> float:
        return round(HIGH - EDGE - (HIGH - 2 * EDGE) * value / top, 1)

    spots = [(each.at, across(each.at), up(each.value)) for each in points]
    upper = [
        (each.at, across(each.at), up(each.limit))
        for each in points
        if each.limit is not None and each.limit <= top
    ]
    raised = [each.is_raised for each in points]
    return CountDrawing(
        words=_words(points, usual, is_share=is_share, limit_words=limit_words),
        top=shown(top, is_share=is_share),
        first=_day(points[0].at),
        last=_day(points[-1].at),
        strokes=_strokes(spots),
        dots=tuple((x, y) for (_at, x, y), is_in in zip(spots, raised, strict=True) if not is_in),
        squares=tuple(
            (round(x - _HALF, 1), round(y - _HALF, 1))
            for (_at, x, y), is_in in zip(spots, raised, strict=True)
            if is_in
        ),
        side=2 * _HALF,
        usual=None if usual is None else up(usual),
        limits=_strokes(upper),
        has_limit_above=len(upper) < len(limits),
    )


def shown(value: float, *, is_share: bool) -> str:
    """Return flies per trap and day, or a share in per cent."""
    number = 100.0 * value if is_share else value
    said = f"{number:.2g}" if number < _TEN else f"{number:.0f}"
    return f"{said} %" if is_share else said


def _day(moment: datetime) -> str:
    """Return the day of a moment by the farm's clock."""
    return short_day(timezone.localtime(moment))


def _strokes(spots: Sequence[tuple[datetime, float, float]]) -> tuple[str, ...]:
    """Return lines through spots, broken where nobody counted for long."""
    parts: list[list[tuple[datetime, float, float]]] = []
    for spot in spots:
        if parts and spot[0] - parts[-1][-1][0] <= GAP:
            parts[-1].append(spot)
        else:
            parts.append([spot])
    return tuple(
        " ".join(f"{x},{y}" for _at, x, y in part) for part in parts if len(part) >= FEWEST
    )


def _words(
    points: Sequence[Point], usual: float | None, *, is_share: bool, limit_words: str
) -> str:
    values = [each.value for each in points]
    low, high, last = (
        shown(each, is_share=is_share) for each in (min(values), max(values), values[-1])
    )
    words = _("%(first)s to %(end)s: %(low)s to %(high)s, last %(last)s") % {
        "first": _day(points[0].at),
        "end": _day(points[-1].at),
        "low": low,
        "high": high,
        "last": last,
    }
    if usual is not None:
        words += _("; usual is %(usual)s") % {"usual": shown(usual, is_share=is_share)}
    if points[-1].limit is not None:
        words += limit_words % {"limit": shown(points[-1].limit, is_share=is_share)}
    return words
