"""A cook drawn: temperatures over time as our own SVG, by classes only."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta

from django.utils import timezone

from pinset.services.heat_lines import HeatLine, HeatLines
from pinset.web.formats import system, temperature

WIDE, HIGH = 440.0, 300.0
LEFT, RIGHT, TOP, BOTTOM = 54.0, 8.0, 16.0, 32.0
STEPS_MIN = (5, 10, 15, 30, 60, 120, 240, 480, 720, 1440, 2880)
MOST_TICKS = 6
LEAST_C, MOST_C = 0.0, 130.0


@dataclass(frozen=True, slots=True)
class Tick:
    """A mark on an axis."""

    at: float
    label: str


@dataclass(frozen=True, slots=True)
class Stroke:
    """A line as it is drawn."""

    shape: str  # class
    points: str


@dataclass(frozen=True, slots=True)
class Entry:
    """A line of the key."""

    shape: str
    name: str


@dataclass(frozen=True, slots=True)
class Drawing:
    """What the template draws."""

    strokes: tuple[Stroke, ...]
    areas: tuple[str, ...]
    across: tuple[Tick, ...]
    up: tuple[Tick, ...]
    enough_at: float | None
    key: tuple[Entry, ...]
    words: str


def drawn(lines: HeatLines, names: Mapping[str, str], words: str) -> Drawing:
    """Return a cook as it is drawn.

    Parameters
    ----------
    lines : HeatLines
        What is drawn.
    names : mapping
        Names for the key, by the name or the role of a line.
    words : str
        What it shows, for who cannot see it.
    """
    points = [point for line in lines.lines for piece in line.pieces for point in piece]
    end = max((minute for minute, _ in points), default=1.0) or 1.0
    top = max(100.0, min(MOST_C + 20.0, max((c for _, c in points), default=100.0))) + 4.0
    low = min(LEAST_C, min((c for _, c in points), default=0.0))

    def x(minute: float) -> float:
        return round(LEFT + (WIDE - LEFT - RIGHT) * minute / end, 1)

    def y(celsius: float) -> float:
        share = (min(celsius, top) - low) / (top - low)
        return round(HIGH - BOTTOM - (HIGH - TOP - BOTTOM) * share, 1)

    shapes = dict(_shapes(lines.lines))
    strokes = [
        Stroke(shapes[index], " ".join(f"{x(m)},{y(c)}" for m, c in piece))
        for index, line in enumerate(lines.lines)
        for piece in line.pieces
        if len(piece) > 1
    ]
    most = max((rate for piece in lines.killing for _, rate in piece), default=0.0)
    floor = HIGH - BOTTOM
    areas = [
        f"{x(piece[0][0])},{floor} "
        + " ".join(f"{x(m)},{round(floor - 0.4 * (floor - TOP) * r / most, 1)}" for m, r in piece)
        + f" {x(piece[-1][0])},{floor}"
        for piece in lines.killing
        if most > 0.01 and len(piece) > 1  # noqa: PLR2004  (a hundredth of the reference's rate)
    ]
    return Drawing(
        strokes=tuple(strokes),
        areas=tuple(areas),
        across=tuple(Tick(x(m), label) for m, label in _times(end, lines.started)),
        up=tuple(Tick(y(c), label) for c, label in _degrees(top)),
        enough_at=None if lines.enough_min is None else x(lines.enough_min),
        key=tuple(
            Entry(shapes[index], names.get(line.name) or line.name or names.get(line.role, ""))
            for index, line in enumerate(lines.lines)
        ),
        words=words,
    )


def _shapes(lines: tuple[HeatLine, ...]) -> Iterator[tuple[int, str]]:
    """Yield a class for each line: the ruling core is the strongest, others differ by dash."""
    cores = 0
    for index, line in enumerate(lines):
        if line.role in {"chamber", "steam"}:
            yield index, f"heat-{line.role}"
        elif line.is_ruling:
            yield index, "heat-core"
        else:
            cores += 1
            yield index, f"heat-other{(cores - 1) % 3 + 1}"


def _times(end: float, started: str) -> Iterator[tuple[float, str]]:
    step = next((each for each in STEPS_MIN if end / each <= MOST_TICKS), STEPS_MIN[-1])
    begin = datetime.fromisoformat(started) if started else None
    if begin is not None and begin.tzinfo is not None:
        begin = timezone.localtime(begin)
    for number in range(int(end / step) + 1):
        minute = float(number * step)
        if begin is not None:
            yield minute, f"{begin + timedelta(minutes=minute):%H:%M}"
        else:
            yield minute, f"{minute:.0f} min" if step < 60 else f"{minute / 60:g} h"  # noqa: PLR2004


def _degrees(top: float) -> Iterator[tuple[float, str]]:
    if system() == "us":
        for fahrenheit in (50, 100, 150, 200, 250):
            celsius = (fahrenheit - 32) / 1.8
            if celsius < top:
                yield celsius, temperature(celsius)
        return
    for celsius in (20.0, 40.0, 60.0, 80.0, 100.0, 121.0):
        if celsius < top:
            yield celsius, temperature(celsius)
