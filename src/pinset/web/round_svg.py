"""What a room showed over weeks, drawn as one line for each thing that is read off."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import datetime

from django.utils.translation import gettext as _

from pinset.services.looking.readings import Readings
from pinset.services.looking.room_views import RoundRow
from pinset.web.formats import temperature, whole

WIDE, HIGH, EDGE = 320.0, 84.0, 8.0
FEWEST = 2  # readings that make a line


@dataclass(frozen=True, slots=True)
class Line:
    """One reading over time."""

    name: str
    points: str  # of the polyline
    dots: tuple[tuple[float, float], ...]
    low: str
    high: str
    words: str  # for those who do not see it


def humidity(value: float) -> str:
    """Return a relative humidity with its unit."""
    return f"{value:.0f} %"


def ppm(value: float) -> str:
    """Return carbon dioxide with its unit."""
    return f"{whole(value)} ppm"


def per_day(value: float) -> str:
    """Return flies per trap and day."""
    return f"{value:.1f}"


def lines_of(rows: Sequence[RoundRow]) -> tuple[Line, ...]:
    """Return the lines of a room's rounds, those with two readings or more."""
    drawn: tuple[tuple[str, Callable[[Readings], float | None], Callable[[float], str]], ...] = (
        (_("Temperature"), lambda each: each.temperature_c, temperature),
        (_("Humidity"), lambda each: each.humidity_percent, humidity),
        (_("Carbon dioxide"), lambda each: each.co2_ppm, ppm),
        (_("Flies per trap and day"), lambda each: each.flies_per_trap_day, per_day),
    )
    found = []
    for name, read, shown in drawn:
        values = [(row.at, value) for row in rows if (value := read(row.readings)) is not None]
        if len(values) >= FEWEST:
            found.append(_line(name, values, shown))
    return tuple(found)


def _line(
    name: str, values: Sequence[tuple[datetime, float]], shown: Callable[[float], str]
) -> Line:
    first, last = values[0][0], values[-1][0]
    low, high = min(value for _at, value in values), max(value for _at, value in values)
    time = (last - first).total_seconds() or 1.0
    height = (high - low) or 1.0
    dots = tuple(
        (
            round(EDGE + (WIDE - 2 * EDGE) * (at - first).total_seconds() / time, 1),
            round(HIGH - EDGE - (HIGH - 2 * EDGE) * (value - low) / height, 1),
        )
        for at, value in values
    )
    words = _("%(name)s: %(low)s to %(high)s, last %(last)s") % {
        "name": name,
        "low": shown(low),
        "high": shown(high),
        "last": shown(values[-1][1]),
    }
    points = " ".join(f"{x},{y}" for x, y in dots)
    return Line(name, points, dots, shown(low), shown(high), words)
