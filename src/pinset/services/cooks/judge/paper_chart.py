"""The drawing of a judged cook, filled for paper: in the farm's units and by its clock."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import tzinfo

from pinset.paper.cook_drawing import PaperChart, PaperLine
from pinset.services.cooks.heat_lines import HeatLine, HeatLines, letter
from pinset.services.cooks.heat_ticks import DAY, HOUR, TimeTick, time_ticks
from pinset.units import Quantity, convert

WHERE = {
    "core": "in a unit",
    "chamber": "chamber",
    "other": "elsewhere",
    "steam": "steam at the pressure read",
}
DASHES = {"chamber": (6, 3), "steam": (1, 2)}
OTHER_DASHES = ((9, 3), (9, 2, 2, 2), (3, 3))
MOST_TICKS = 8
HOTTEST_C, COLDEST_C = 150.0, 0.0
ROOM_C = 4.0  # above the hottest reading
METRIC, US = (20, 40, 60, 80, 100, 121), (50, 100, 150, 200, 250)
LEAST_RATE = 0.01  # of the reference's; less is not drawn


def paper_chart(lines: HeatLines, units: str, zone: tzinfo) -> PaperChart | None:
    """Return a cook as it is drawn on paper, or None if there is nothing to draw.

    Parameters
    ----------
    lines : HeatLines
        What is drawn.
    units : str
        ``metric`` or ``us``.
    zone : tzinfo
        The farm's.
    """
    points = [point for line in lines.lines for piece in line.pieces for point in piece]
    if not points:
        return None
    unit = "°F" if units == "us" else "°C"

    def shown(celsius: float) -> float:
        return convert(Quantity.TEMPERATURE, celsius, unit)

    end = max(minute for minute, _ in points) or 1.0
    high = max(100.0, min(max(celsius for _, celsius in points), HOTTEST_C)) + ROOM_C
    low = min(COLDEST_C, max(-50.0, min(celsius for _, celsius in points)))
    most = max((rate for piece in lines.killing for _, rate in piece), default=0.0)
    return PaperChart(
        lines=tuple(
            PaperLine(
                name,
                tuple(tuple((minute, shown(c)) for minute, c in piece) for piece in line.pieces),
                line.is_ruling,
                dash,
                own,
            )
            for line, name, dash, own in _told_apart(lines.lines)
        ),
        killing=tuple(
            tuple((minute, rate / most) for minute, rate in piece)
            for piece in lines.killing
            if most > LEAST_RATE and len(piece) > 1
        ),
        enough_min=lines.enough_min,
        across=tuple(
            (tick.minute, _label(tick, end))
            for tick in time_ticks(end, lines.started, zone, MOST_TICKS)
        ),
        up=tuple(
            (float(mark), f"{mark} {unit}")
            for mark in (US if units == "us" else METRIC)
            if shown(low) <= mark < shown(high)
        ),
        end_min=end,
        low=shown(low),
        high=shown(high),
    )


def _told_apart(
    lines: tuple[HeatLine, ...],
) -> Iterator[tuple[HeatLine, str, tuple[int, ...], str]]:
    """Yield each line with its name, its dash and its letter; the ruling core needs neither."""
    others = 0
    for line in lines:
        name = line.name or WHERE.get(line.role, line.role)
        if line.is_ruling:
            yield line, f"{name}, the slowest", (), ""
        elif line.role in DASHES:
            yield line, name, DASHES[line.role], ""
        else:
            yield line, name, OTHER_DASHES[others % len(OTHER_DASHES)], letter(others)
            others += 1


def _label(tick: TimeTick, end: float) -> str:
    if tick.moment is None:
        return f"{tick.minute:.0f} min" if end < 4 * HOUR else f"{tick.minute / HOUR:g} h"
    if tick.is_midnight and end > DAY:
        return f"{tick.moment:%m-%d}"
    return f"{tick.moment:%H:%M}"
