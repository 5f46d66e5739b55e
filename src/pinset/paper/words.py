"""How words look on paper: sizes, weights, and text that may hold any sign."""

from __future__ import annotations

from xml.sax.saxutils import escape

from reportlab.lib.colors import HexColor
from reportlab.lib.styles import ParagraphStyle
from reportlab.platypus import Paragraph

from pinset.paper.letters import BOLD, PLAIN, printable

SOFT = HexColor("#565a51")
BODY = ParagraphStyle("body", fontName=PLAIN, fontSize=9.5, leading=12.5, splitLongWords=1)
SMALL = ParagraphStyle("small", parent=BODY, fontSize=8.5, leading=10.5, textColor=SOFT)
CELL = ParagraphStyle("cell", parent=BODY, fontSize=8.5, leading=10.5)
ITEM = ParagraphStyle("item", parent=BODY, fontSize=9, leading=11.5, leftIndent=13, spaceAfter=1)
TITLE = ParagraphStyle("title", parent=BODY, fontName=BOLD, fontSize=17, leading=21)
VERDICT = ParagraphStyle("verdict", parent=BODY, fontName=BOLD, fontSize=13, leading=17)
HEAD = ParagraphStyle("head", parent=BODY, fontName=BOLD, fontSize=10.5, leading=14, spaceBefore=6)


def paragraph(text: str, style: ParagraphStyle = BODY) -> Paragraph:
    """Return a text as it is printed: no sign of it is taken for a command."""
    return Paragraph(escape(printable(text)), style)


def item(text: str) -> Paragraph:
    """Return a text as one of a list."""
    return Paragraph(escape(printable(text)), ITEM, bulletText="–")
