"""The mixing card on paper: what is weighed out, with room for what was really weighed."""

from __future__ import annotations

from dataclasses import dataclass
from textwrap import shorten

from reportlab.lib.colors import black
from reportlab.lib.enums import TA_RIGHT
from reportlab.lib.styles import ParagraphStyle
from reportlab.lib.units import mm
from reportlab.platypus import Flowable, KeepTogether, Spacer, Table, TableStyle

from pinset.paper.letters import BOLD, PLAIN
from pinset.paper.pages import Pages, pages_pdf
from pinset.paper.words import HEAD, item, paragraph

MARGIN, FOOT = 12 * mm, 6 * mm
LONGEST_NAME = 48  # of the farm, at the foot of a page
SHARES = (0.36, 0.22, 0.20, 0.22)  # of the width: name, weight, moisture, really weighed
TALL = 13 * mm  # of a line somebody writes into

TEXT = ParagraphStyle("mix", fontName=PLAIN, fontSize=12, leading=14.5, splitLongWords=1)
SMALL = ParagraphStyle("mixsmall", parent=TEXT, fontSize=10, leading=12)
TITLE = ParagraphStyle("mixtitle", parent=TEXT, fontName=BOLD, fontSize=22, leading=27)
LEAD = ParagraphStyle("mixlead", parent=TEXT, fontName=BOLD, fontSize=15, leading=19)
WHAT = ParagraphStyle("mixwhat", parent=TEXT, fontName=BOLD, fontSize=14, leading=16)
WEIGHT = ParagraphStyle("mixweight", parent=TEXT, fontName=BOLD, fontSize=18, leading=20,
                        alignment=TA_RIGHT)  # fmt: skip


@dataclass(frozen=True, slots=True)
class SheetLine:
    """One thing that is weighed."""

    name: str
    weight: str
    moisture: str


@dataclass(frozen=True, slots=True)
class MixSheet:
    """Everything that stands on the card, in words."""

    farm: str
    title: str
    nitrogen: str  # first
    ratio: str  # second
    heads: tuple[str, str, str, str]
    lines: tuple[SheetLine, ...]
    facts: tuple[tuple[str, str], ...]
    remarks: tuple[str, ...]
    cautions_head: str
    cautions: tuple[str, ...]
    made: str  # at the foot


def mix_pdf(sheet: MixSheet, paper: str = "a4") -> bytes:
    """Return the card as PDF; the same card gives the same bytes.

    Parameters
    ----------
    sheet : MixSheet
        What stands on it.
    paper : str
        ``a4`` or ``letter``.

    Raises
    ------
    InputError
        If the paper is another.

    Examples
    --------
    A service fills the sheet, see :mod:`pinset.services.mixing.sheet`::

        data = mix_pdf(sheet, "letter")
    """
    name = shorten(sheet.farm, LONGEST_NAME, placeholder="…")
    pages = Pages(
        title=f"{sheet.farm}: {sheet.title}",
        foot=f"{name}. {sheet.made}",
        margin=MARGIN,
        foot_room=FOOT,
        foot_size=10,
        foot_drop=2 * mm,
        foot_colour=black,
    )
    return pages_pdf(pages, lambda wide: _story(sheet, wide), paper)


def _story(sheet: MixSheet, wide: float) -> list[Flowable]:
    story: list[Flowable] = [
        paragraph(sheet.title, TITLE),
        paragraph(sheet.nitrogen, LEAD),
        paragraph(sheet.ratio, TEXT),
        Spacer(1, 3 * mm),
        _weighed(sheet, wide),
        Spacer(1, 3 * mm),
        _facts(sheet, wide),
        Spacer(1, 2 * mm),
    ]
    story += [item(each) for each in sheet.remarks]
    cautions: list[Flowable] = [paragraph(sheet.cautions_head, HEAD)]
    story.append(KeepTogether([*cautions, *(item(each) for each in sheet.cautions)]))
    return story


def _weighed(sheet: MixSheet, wide: float) -> Table:
    rows: list[list[object]] = [[paragraph(each, SMALL) for each in sheet.heads]]
    rows += [
        [paragraph(each.name, WHAT), paragraph(each.weight, WEIGHT),
         paragraph(each.moisture, SMALL), ""]
        for each in sheet.lines
    ]  # fmt: skip
    table = Table(
        rows,
        colWidths=[wide * share for share in SHARES],
        rowHeights=None,
        repeatRows=1,
    )
    table.setStyle(
        TableStyle([
            ("VALIGN", (0, 0), (-1, -1), "MIDDLE"),
            ("LINEBELOW", (0, 0), (-1, 0), 1.2, black),
            ("LINEBELOW", (0, 1), (-1, -1), 0.5, black),
            ("BOX", (3, 1), (3, -1), 0.8, black),
            ("LEFTPADDING", (0, 0), (0, -1), 0),
            ("RIGHTPADDING", (1, 0), (1, -1), 10),
            ("TOPPADDING", (0, 1), (-1, -1), TALL / 4),
            ("BOTTOMPADDING", (0, 1), (-1, -1), TALL / 4),
        ])
    )  # fmt: skip
    return table


def _facts(sheet: MixSheet, wide: float) -> Table:
    rows = [[paragraph(name, SMALL), paragraph(value, TEXT)] for name, value in sheet.facts]
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
