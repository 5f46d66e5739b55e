"""A cook drawn: temperatures over time as our own SVG, by classes only."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from pinset.services.cooks.heat_lines import HeatLine, HeatLines, letter
from pinset.web.formats import temperature
from pinset.web.heat_ticks import DAY, degrees, time_in_words, times

WIDE, HIGH = 440.0, 290.0
LEFT, RIGHT, TOP, BOTTOM = 74.0, 8.0, 34.0, 32.0
NEAR_EDGE = 34.0  # a label under its tick would run out of the frame
LONG_WORD = 215.0  # room for the words at the line from which it was enough
COLDEST_C, HOTTEST_C = 0.0, 150.0
AREA_SHARE = 0.4  # of the height, for the highest speed
LEAST_RATE = 0.01  # of the reference's; less is not drawn

Point = tuple[float, float]
Piece = tuple[Point, ...]


@dataclass(frozen=True, slots=True)
class Tick:
    """A mark on an axis."""

    at: float
    label: str
    anchor: str = "middle"


@dataclass(frozen=True, slots=True)
class Stroke:
    """A line as it is drawn."""

    shape: str  # class
    points: str


@dataclass(frozen=True, slots=True)
class Mark:
    """A lone reading, or the letter of a line, at a place."""

    shape: str  # class
    x: float
    y: float
    letter: str = ""


@dataclass(frozen=True, slots=True)
class Entry:
    """A line of the key."""

    shape: str
    name: str
    letter: str = ""  # as it stands on the line


@dataclass(frozen=True, slots=True)
class Drawing:
    """What the template draws."""

    strokes: tuple[Stroke, ...]
    dots: tuple[Mark, ...]
    letters: tuple[Mark, ...]
    areas: tuple[str, ...]
    across: tuple[Tick, ...]
    up: tuple[Tick, ...]
    enough: Tick | None  # from where on, with its words' anchor; the label is the time
    held: tuple[str, str] | None  # times between which the slowest core held
    key: tuple[Entry, ...]
    heads: tuple[str, ...]  # names of the lines, for the table
    rows: tuple[tuple[str, tuple[str, ...]], ...]  # a time, what each line read then
    has_earned: bool  # whether the last cell of a row is F0 so far
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

    Examples
    --------
    In a view, for the template part ``parts/heat_chart.html``, which needs ``drawing``::

        drawing = drawn(lines_of_log(log, judged), {"chamber": _("chamber")}, judged.sentence)
    """
    points = [point for line in lines.lines for piece in line.pieces for point in piece]
    end = max((minute for minute, _ in points), default=1.0) or 1.0
    top = max(100.0, min(HOTTEST_C, max((c for _, c in points), default=100.0))) + 4.0
    low = min(COLDEST_C, max(-50.0, min((c for _, c in points), default=0.0)))
    floor = HIGH - BOTTOM

    def at(minute: float, celsius: float) -> Point:
        share = (max(low, min(celsius, top)) - low) / (top - low)
        return round(_x(minute, end), 1), round(floor - (floor - TOP) * share, 1)

    shapes = tuple(_shapes(lines.lines))
    drawn_lines = tuple(zip(lines.lines, shapes, strict=True))
    lettered = [each for each in drawn_lines if each[1][1]]
    enough = None if lines.enough_min is None else at(lines.enough_min, low)[0]
    marks = tuple(times(end, lines.started))
    named = tuple(_name(line, names) for line in lines.lines)
    return Drawing(
        strokes=tuple(
            Stroke(shape, " ".join(f"{x},{y}" for x, y in (at(*point) for point in piece)))
            for line, (shape, _) in drawn_lines
            for piece in line.pieces
            if len(piece) > 1
        ),
        dots=tuple(
            Mark(shape, *at(*piece[0]))
            for line, (shape, _) in drawn_lines
            for piece in line.pieces
            if len(piece) == 1
        ),
        letters=tuple(
            Mark(shape, *at(*_place(line, end * (number + 1) / (len(lettered) + 1))), own)
            for number, (line, (shape, own)) in enumerate(lettered)
        ),
        areas=tuple(_areas(lines.killing, end)),
        across=tuple(
            Tick(x, label if x <= WIDE - NEAR_EDGE else "")
            for x, label in ((at(minute, low)[0], label) for minute, label in marks)
        ),
        up=tuple(Tick(at(0.0, c)[1], label) for c, label in degrees(top) if c >= low),
        enough=None
        if enough is None or lines.enough_min is None
        else Tick(
            enough,
            time_in_words(lines.enough_min, lines.started, with_day=end > DAY),
            "end" if enough > WIDE - LONG_WORD else "start",
        ),
        held=None
        if lines.held_min is None
        else (
            time_in_words(lines.held_min[0], lines.started, with_day=end > DAY),
            time_in_words(lines.held_min[1], lines.started, with_day=end > DAY),
        ),
        key=tuple(
            Entry(shape, name, own) for (shape, own), name in zip(shapes, named, strict=True)
        ),
        heads=named,
        rows=tuple(_rows(lines, marks)),
        has_earned=bool(lines.earned),
        words=words,
    )


def _shapes(lines: tuple[HeatLine, ...]) -> Iterator[tuple[str, str]]:
    """Yield class and letter of each line: the ruling core is the strongest, others have both."""
    others = 0
    for line in lines:
        if line.role in {"chamber", "steam"}:
            yield f"heat-{line.role}", ""
        elif line.is_ruling:
            yield "heat-core", ""
        else:
            yield f"heat-other{others % 3 + 1}", letter(others)
            others += 1


def _name(line: HeatLine, names: Mapping[str, str]) -> str:
    if line.is_probe and line.name:
        return line.name
    return names.get(line.name) or line.name or names.get(line.role, "")


def _place(line: HeatLine, minute: float) -> Point:
    """Return where a line stands at a time, or the reading nearest to it."""
    celsius = _value(line.pieces, minute)
    if celsius is not None:
        return minute, celsius
    points = (point for piece in line.pieces for point in piece)
    return min(points, key=lambda point: abs(point[0] - minute), default=(minute, 0.0))


def _value(pieces: tuple[Piece, ...], minute: float) -> float | None:
    """Return what a line reads at a time, None in a gap."""
    for piece in pieces:
        if piece[0][0] <= minute <= piece[-1][0]:
            after = min(bisect_right(piece, minute, key=lambda point: point[0]), len(piece) - 1)
            (begin, low), (end, high) = piece[max(after - 1, 0)], piece[after]
            return low if end <= begin else low + (high - low) * (minute - begin) / (end - begin)
    return None


def _rows(
    lines: HeatLines, marks: tuple[tuple[float, str], ...]
) -> Iterator[tuple[str, tuple[str, ...]]]:
    """Yield what every line reads at the ticks, and what was earned so far."""
    for minute, label in marks:
        cells = [_value(line.pieces, minute) for line in lines.lines]
        said = ["" if each is None else temperature(each) for each in cells]
        if lines.earned:
            earned = _value(lines.earned, minute)
            said.append("" if earned is None else f"{earned:.1f}")
        yield label, tuple(said)


def _areas(killing: tuple[Piece, ...], end: float) -> Iterator[str]:
    """Yield areas that show how fast it killed, the highest two fifths of the frame."""
    most = max((rate for piece in killing for _, rate in piece), default=0.0)
    if most <= LEAST_RATE:
        return
    floor = HIGH - BOTTOM
    for piece in killing:
        if len(piece) > 1:
            xs = [round(_x(minute, end), 1) for minute, _ in piece]
            ys = [round(floor - AREA_SHARE * (floor - TOP) * rate / most, 1) for _, rate in piece]
            edge = " ".join(f"{x},{y}" for x, y in zip(xs, ys, strict=True))
            yield f"{xs[0]},{floor} {edge} {xs[-1]},{floor}"


def _x(minute: float, end: float) -> float:
    return LEFT + (WIDE - LEFT - RIGHT) * minute / end
