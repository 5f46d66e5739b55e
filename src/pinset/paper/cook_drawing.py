"""A cook drawn on paper: temperatures over time in black and grey, with its key."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from reportlab.graphics.shapes import Circle, Drawing, Line, Polygon, PolyLine, String
from reportlab.lib.colors import Color, HexColor, black, white
from reportlab.lib.styles import ParagraphStyle
from reportlab.lib.units import mm
from reportlab.pdfbase.pdfmetrics import stringWidth
from reportlab.platypus import Flowable, Paragraph, Table, TableStyle

from pinset.paper.letters import BOLD, PLAIN, printable
from pinset.paper.words import SMALL, paragraph

RULE, WASH, GREY = HexColor("#bdb8a8"), HexColor("#e6dfcc"), HexColor("#565a51")
HIGH, LEFT, FOOT, HEAD, EDGE = 54 * mm, 15 * mm, 7 * mm, 6 * mm, 2 * mm
WORD = 8  # points
SAMPLE = 26
KILLING_SHARE = 0.4  # of the height, for the highest speed
ENOUGH = "enough from here"
KILLING = "how fast it kills in the slowest core"
KEY = ParagraphStyle("key", parent=SMALL, leading=10)

Points = tuple[tuple[float, float], ...]
Anchor = Literal["start", "middle", "end"]


@dataclass(frozen=True, slots=True)
class PaperLine:
    """A temperature over time: pieces of (minutes, degrees as shown)."""

    name: str
    pieces: tuple[Points, ...]
    is_ruling: bool = False
    dash: tuple[int, ...] = ()
    letter: str = ""  # on the line and in the key


@dataclass(frozen=True, slots=True)
class PaperChart:
    """What is drawn, in the units that are shown."""

    lines: tuple[PaperLine, ...]
    killing: tuple[Points, ...]  # minutes, 0 to 1; two points or more each
    enough_min: float | None
    across: tuple[tuple[float, str], ...]  # minutes, label
    up: tuple[tuple[float, str], ...]  # degrees as shown, label
    end_min: float
    low: float
    high: float


class _Frame:
    """Where minutes and degrees lie on the paper."""

    def __init__(self, chart: PaperChart, wide: float) -> None:
        self.right = wide - EDGE
        self._across = (self.right - LEFT) / (chart.end_min or 1.0)
        self._low = chart.low
        self._up = (HIGH - FOOT - HEAD) / ((chart.high - chart.low) or 1.0)
        self._top = chart.high

    def at(self, minute: float, degrees: float) -> tuple[float, float]:
        held = max(self._low, min(degrees, self._top))
        return LEFT + self._across * minute, FOOT + self._up * (held - self._low)


def drawing(chart: PaperChart, wide: float) -> Drawing:
    """Return a cook drawn as wide as this, in points."""
    shown, frame = Drawing(wide, HIGH), _Frame(chart, wide)
    _axes(shown, chart, frame)
    for piece in chart.killing:
        xs = [frame.at(minute, chart.low)[0] for minute, _ in piece]
        ys = [FOOT + KILLING_SHARE * (HIGH - FOOT - HEAD) * share for _, share in piece]
        edge = [value for point in zip(xs, ys, strict=True) for value in point]
        corners = [xs[0], FOOT, *edge, xs[-1], FOOT]
        shown.add(Polygon(corners, fillColor=WASH, strokeColor=None))
    for line in chart.lines:
        _line(shown, line, frame)
    if chart.enough_min is not None:
        _enough(shown, frame.at(chart.enough_min, chart.low)[0], frame.right)
    lettered = [line for line in chart.lines if line.letter and line.pieces]
    for number, line in enumerate(lettered, start=1):
        _letter(shown, line, frame, chart.end_min * number / (len(lettered) + 1))
    return shown


def _axes(shown: Drawing, chart: PaperChart, frame: _Frame) -> None:
    for degrees, label in chart.up:
        y = frame.at(0.0, degrees)[1]
        shown.add(Line(LEFT, y, frame.right, y, strokeColor=RULE, strokeWidth=0.4))
        shown.add(_word(LEFT - 3, y - 2.7, label, "end"))
    for minute, label in chart.across:
        x = frame.at(minute, chart.low)[0]
        shown.add(Line(x, FOOT, x, FOOT - 3, strokeColor=RULE, strokeWidth=0.4))
        half = stringWidth(printable(label), PLAIN, WORD) / 2
        if x + half <= frame.right + EDGE:
            shown.add(_word(x, 1.5 * mm, label, "middle"))


def _word(x: float, y: float, text: str, anchor: Anchor, font: str = PLAIN) -> String:
    return String(x, y, printable(text), fontName=font, fontSize=WORD,
                  fillColor=GREY if font == PLAIN else black, textAnchor=anchor)  # fmt: skip


def _line(shown: Drawing, line: PaperLine, frame: _Frame) -> None:
    for piece in line.pieces:
        points = [value for point in piece for value in frame.at(*point)]
        if len(piece) == 1:
            shown.add(Circle(points[0], points[1], 1.4, strokeColor=None, fillColor=_ink(line)))
        else:
            shown.add(PolyLine(points, strokeColor=_ink(line), strokeWidth=_thick(line),
                               strokeDashArray=list(line.dash),
                               strokeLineJoin=1))  # fmt: skip


def _ink(line: PaperLine) -> Color:
    return black if line.is_ruling else GREY


def _thick(line: PaperLine) -> float:
    return 1.8 if line.is_ruling else 0.9


def _enough(shown: Drawing, x: float, right: float) -> None:
    shown.add(Line(x, FOOT, x, HIGH - 2, strokeColor=black, strokeWidth=0.8,
                   strokeDashArray=[1, 1]))  # fmt: skip
    is_left = x + 4 + stringWidth(ENOUGH, BOLD, WORD) > right
    shown.add(_word(x - 3 if is_left else x + 3, HIGH - WORD, ENOUGH,
                    "end" if is_left else "start", BOLD))  # fmt: skip


def _letter(shown: Drawing, line: PaperLine, frame: _Frame, minute: float) -> None:
    points = [point for piece in line.pieces for point in piece]
    x, y = frame.at(*min(points, key=lambda point: abs(point[0] - minute)))
    half = stringWidth(line.letter, BOLD, WORD) / 2
    shown.add(_patch(x - half - 1, y - 4, x + half + 1, y + 4, white))
    shown.add(_word(x, y - 2.8, line.letter, "middle", BOLD))


def _patch(left: float, low: float, right: float, high: float, colour: Color) -> Polygon:
    corners = [left, low, right, low, right, high, left, high]
    return Polygon(corners, fillColor=colour, strokeColor=None)


def key(chart: PaperChart, wide: float) -> Flowable:
    """Return what the lines are, three beside each other."""
    entries: list[tuple[Drawing, Paragraph]] = []
    for line in chart.lines:
        sample = Drawing(SAMPLE, WORD)
        sample.add(Line(0, 3, SAMPLE - 2, 3, strokeColor=_ink(line), strokeWidth=_thick(line),
                        strokeDashArray=list(line.dash)))  # fmt: skip
        entries.append((sample, paragraph(f"{line.letter} {line.name}".strip(), KEY)))
    if chart.killing:
        sample = Drawing(SAMPLE, WORD)
        sample.add(_patch(0, 0, SAMPLE - 2, 7, WASH))
        entries.append((sample, paragraph(KILLING, KEY)))
    beside = 3
    cells: list[Flowable | str] = [cell for entry in entries for cell in entry]
    cells += [""] * (-len(cells) % (2 * beside))
    rows = [cells[at : at + 2 * beside] for at in range(0, len(cells), 2 * beside)]
    name = (wide - LEFT - beside * SAMPLE) / beside
    table = Table(rows, colWidths=[SAMPLE + 4, name - 4] * beside, hAlign="RIGHT")
    table.setStyle(
        TableStyle([
            ("VALIGN", (0, 0), (-1, -1), "TOP"),
            ("LEFTPADDING", (0, 0), (-1, -1), 0),
            ("RIGHTPADDING", (0, 0), (-1, -1), 4),
            ("TOPPADDING", (0, 0), (-1, -1), 1),
            ("BOTTOMPADDING", (0, 0), (-1, -1), 1),
        ])
    )  # fmt: skip
    return table
