"""The record of a judged cook on paper: verdict, drawing, figures, inputs, method, cautions."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from io import BytesIO
from xml.sax.saxutils import escape

from reportlab.graphics.shapes import Drawing, Line, Polygon, PolyLine, String
from reportlab.lib import pagesizes
from reportlab.lib.colors import HexColor, black
from reportlab.lib.styles import ParagraphStyle
from reportlab.lib.units import mm
from reportlab.pdfgen.canvas import Canvas
from reportlab.platypus import (
    BaseDocTemplate,
    Flowable,
    Frame,
    KeepTogether,
    PageTemplate,
    Paragraph,
    Spacer,
    Table,
    TableStyle,
)

from pinset.errors import InputError
from pinset.paper.letters import BOLD, PLAIN, printable, ready

SIZES = {"a4": pagesizes.A4, "letter": pagesizes.LETTER}
MARGIN, FOOT = 18 * mm, 14 * mm
SOFT, RULE, WASH = HexColor("#565a51"), HexColor("#bdb8a8"), HexColor("#e6dfcc")
DRAWN_HIGH = 62 * mm


@dataclass(frozen=True, slots=True)
class PaperLine:
    """A temperature over time: pieces of (minutes, degrees as shown)."""

    name: str
    pieces: tuple[tuple[tuple[float, float], ...], ...]
    is_ruling: bool = False
    dash: tuple[int, ...] = ()


@dataclass(frozen=True, slots=True)
class PaperChart:
    """What is drawn, in the units that are shown."""

    lines: tuple[PaperLine, ...]
    killing: tuple[tuple[tuple[float, float], ...], ...]  # minutes, 0 to 1
    enough_min: float | None
    across: tuple[tuple[float, str], ...]  # minutes, label
    up: tuple[tuple[float, str], ...]  # degrees as shown, label
    end_min: float
    low: float
    high: float


@dataclass(frozen=True, slots=True)
class CookRecord:
    """Everything that stands on the paper, in words."""

    title: str
    subtitle: str
    verdict: str
    sentence: str
    facts: tuple[tuple[str, str], ...]
    probe_heads: tuple[str, ...]
    probes: tuple[tuple[str, ...], ...]
    remarks: tuple[str, ...]  # findings and the steam check
    inputs: tuple[tuple[str, str], ...]
    cautions: tuple[str, ...]
    foot: str
    chart: PaperChart | None = None


def cook_pdf(record: CookRecord, paper: str = "a4") -> bytes:
    """Return the record as PDF; the same record gives the same bytes.

    Parameters
    ----------
    record : CookRecord
        What stands on it.
    paper : str
        ``a4`` or ``letter``.

    Raises
    ------
    InputError
        If the paper is another.
    """
    if paper not in SIZES:
        raise InputError("paper", paper, " or ".join(SIZES))
    ready()
    _, pages = _built(record, SIZES[paper], 0)
    return _built(record, SIZES[paper], pages)[0]


def _built(record: CookRecord, size: tuple[float, float], pages: int) -> tuple[bytes, int]:
    """Return the PDF and how many pages it has; ``pages`` is what each page says there are."""
    wide, high = size
    out = BytesIO()
    counted = 0

    def foot(canvas: Canvas, document: BaseDocTemplate) -> None:
        nonlocal counted
        counted = document.page
        canvas.setFont(PLAIN, 7.5)
        canvas.setFillColor(SOFT)
        canvas.drawString(MARGIN, MARGIN, printable(record.foot))
        canvas.drawRightString(wide - MARGIN, MARGIN, f"page {document.page} of {pages}")

    frame = Frame(MARGIN, MARGIN + FOOT, wide - 2 * MARGIN, high - 2 * MARGIN - FOOT, 0, 0, 0, 0)
    document = BaseDocTemplate(
        out,
        pagesize=size,
        title=printable(record.title),
        author="pinset",
        invariant=1,
        pageTemplates=[PageTemplate(frames=[frame], onPage=foot)],
    )
    document.build(_story(record, wide - 2 * MARGIN))
    return out.getvalue(), counted


_BODY = ParagraphStyle("body", fontName=PLAIN, fontSize=9, leading=12.5)
_SMALL = ParagraphStyle("small", parent=_BODY, fontSize=7.5, leading=10, textColor=SOFT)
_CELL = ParagraphStyle("cell", parent=_BODY, fontSize=8, leading=10)
_TITLE = ParagraphStyle("title", parent=_BODY, fontName=BOLD, fontSize=17, leading=22)
_VERDICT = ParagraphStyle("verdict", parent=_BODY, fontName=BOLD, fontSize=13, leading=18)
_HEAD = ParagraphStyle("head", parent=_BODY, fontName=BOLD, fontSize=10, leading=15, spaceBefore=7)


def _p(text: str, style: ParagraphStyle = _BODY) -> Paragraph:
    return Paragraph(escape(printable(text)), style)


def _story(record: CookRecord, wide: float) -> list[Flowable]:
    story: list[Flowable] = [
        _p(record.title, _TITLE),
        _p(record.subtitle, _SMALL),
        Spacer(1, 3 * mm),
        _p(record.verdict, _VERDICT),
        _p(record.sentence),
        Spacer(1, 2 * mm),
    ]
    if record.chart is not None:
        story += [_drawn(record.chart, wide), _key(record.chart), Spacer(1, 2 * mm)]
    if record.probes:
        story.append(_probes(record, wide))
    for words in record.remarks:
        story.append(_p(f"- {words}"))
    story += [_p("The cook", _HEAD), _pairs(record.facts, wide)]
    story += [_p("What the verdict rests on", _HEAD), _pairs(record.inputs, wide)]
    cautions: list[Flowable] = [
        _p("Cautions", _HEAD),
        *(_p(each, _SMALL) for each in record.cautions),
    ]
    story.append(KeepTogether(cautions))
    return story


def _probes(record: CookRecord, wide: float) -> Table:
    rows = [[_p(each, _SMALL) for each in record.probe_heads]]
    rows += [[_p(each, _CELL) for each in row] for row in record.probes]
    shares = [0.26] + [0.74 / (len(record.probe_heads) - 1)] * (len(record.probe_heads) - 1)
    table = Table(rows, colWidths=[wide * share for share in shares], repeatRows=1)
    table.setStyle(
        TableStyle([
            ("LINEBELOW", (0, 0), (-1, -1), 0.4, RULE),
            ("VALIGN", (0, 0), (-1, -1), "TOP"),
            ("LEFTPADDING", (0, 0), (-1, -1), 0),
        ])
    )  # fmt: skip
    return table


def _pairs(pairs: Sequence[tuple[str, str]], wide: float) -> Table:
    rows = [[_p(name, _SMALL), _p(value, _CELL)] for name, value in pairs]
    table = Table(rows, colWidths=[wide * 0.28, wide * 0.72])
    table.setStyle(
        TableStyle([
            ("VALIGN", (0, 0), (-1, -1), "TOP"),
            ("LEFTPADDING", (0, 0), (-1, -1), 0),
            ("TOPPADDING", (0, 0), (-1, -1), 1),
            ("BOTTOMPADDING", (0, 0), (-1, -1), 1),
        ])
    )  # fmt: skip
    return table


def _drawn(chart: PaperChart, wide: float) -> Drawing:
    left, foot = 15 * mm, 7 * mm
    drawing = Drawing(wide, DRAWN_HIGH)
    across = (wide - left - 2 * mm) / (chart.end_min or 1.0)
    up = (DRAWN_HIGH - foot - 3 * mm) / ((chart.high - chart.low) or 1.0)

    def at(minute: float, degrees: float) -> tuple[float, float]:
        return left + across * minute, foot + up * (degrees - chart.low)

    for degrees, label in chart.up:
        y = at(0.0, degrees)[1]
        drawing.add(Line(left, y, wide - 2 * mm, y, strokeColor=RULE, strokeWidth=0.4))
        drawing.add(String(left - 2, y - 2.5, printable(label), fontName=PLAIN, fontSize=7,
                           fillColor=SOFT, textAnchor="end"))  # fmt: skip
    for minute, label in chart.across:
        drawing.add(String(at(minute, 0.0)[0], 1 * mm, printable(label), fontName=PLAIN,
                           fontSize=7, fillColor=SOFT, textAnchor="middle"))  # fmt: skip
    for piece in chart.killing:
        floor = at(0.0, chart.low)[1]
        high = 0.4 * (DRAWN_HIGH - foot)
        flat = [v for m, rate in piece for v in (at(m, chart.low)[0], floor + high * rate)]
        ends = (at(piece[0][0], 0.0)[0], floor), (at(piece[-1][0], 0.0)[0], floor)
        drawing.add(Polygon([*ends[0], *flat, *ends[1]], fillColor=WASH, strokeColor=None))
    for line in chart.lines:
        for piece in line.pieces:
            points = [value for point in piece for value in at(*point)]
            if len(piece) > 1:
                drawing.add(PolyLine(points, strokeColor=black if line.is_ruling else SOFT,
                                     strokeWidth=1.8 if line.is_ruling else 0.9,
                                     strokeDashArray=list(line.dash)))  # fmt: skip
    if chart.enough_min is not None:
        x = at(chart.enough_min, 0.0)[0]
        drawing.add(Line(x, foot, x, DRAWN_HIGH - 2, strokeColor=black, strokeWidth=0.8,
                         strokeDashArray=[1, 1]))  # fmt: skip
        drawing.add(String(x + 2, DRAWN_HIGH - 8, "enough from here", fontName=PLAIN, fontSize=7,
                           fillColor=black))  # fmt: skip
    return drawing


def _key(chart: PaperChart) -> Table:
    cells: list[Flowable] = []
    for line in chart.lines:
        sample = Drawing(26, 8)
        sample.add(Line(0, 4, 24, 4, strokeColor=black if line.is_ruling else SOFT,
                        strokeWidth=1.8 if line.is_ruling else 0.9,
                        strokeDashArray=list(line.dash)))  # fmt: skip
        cells += [sample, _p(line.name, _SMALL)]
    columns = 6
    cells += [_p("", _SMALL)] * (-len(cells) % columns)
    rows = [cells[at : at + columns] for at in range(0, len(cells), columns)]
    table = Table(rows, colWidths=[28, 132] * (columns // 2), hAlign="LEFT")
    table.setStyle(TableStyle([("VALIGN", (0, 0), (-1, -1), "MIDDLE")]))
    return table
