"""The record of a judged cook on paper: verdict, drawing, figures, inputs, method, cautions."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from textwrap import shorten

from reportlab.lib.colors import HexColor
from reportlab.lib.units import mm
from reportlab.platypus import (
    CondPageBreak,
    Flowable,
    KeepTogether,
    Spacer,
    Table,
    TableStyle,
)

from pinset.paper.cook_drawing import PaperChart, PaperLine, drawing, key
from pinset.paper.pages import Pages, pages_pdf
from pinset.paper.words import BODY, CELL, HEAD, SMALL, SOFT, TITLE, VERDICT, item, paragraph

__all__ = ["CookRecord", "PaperChart", "PaperLine", "cook_pdf"]

MARGIN, FOOT = 15 * mm, 4 * mm
ROOM = 25 * mm  # under a heading, else it goes to the next page
LONGEST_TITLE = 50  # at the foot of a page
RULE = HexColor("#bdb8a8")
NAME_SHARE, LAST_SHARE = 0.2, 0.26  # of the table of probes; the last holds words


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
    others: tuple[tuple[str, str], ...] = ()  # earlier verdicts: when, what it said


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

    Examples
    --------
    A service fills the record, see :mod:`pinset.services.cooks.judge.paper`::

        data = cook_pdf(record, "letter")
    """
    pages = Pages(
        title=record.title,
        foot=f"{shorten(record.title, LONGEST_TITLE, placeholder='…')}. {record.foot}",
        margin=MARGIN,
        foot_room=FOOT,
        foot_size=8,
        foot_drop=3 * mm,
        foot_colour=SOFT,
        subject=record.verdict,
    )
    return pages_pdf(pages, lambda wide: _story(record, wide), paper)


def _story(record: CookRecord, wide: float) -> list[Flowable]:
    story: list[Flowable] = [
        paragraph(record.title, TITLE),
        paragraph(record.subtitle, SMALL),
        Spacer(1, 2 * mm),
        paragraph(record.verdict, VERDICT),
        paragraph(record.sentence),
        Spacer(1, 2 * mm),
    ]
    if record.chart is not None:
        story += [drawing(record.chart, wide), key(record.chart, wide), Spacer(1, 2 * mm)]
    if record.probes:
        story += [_probes(record, wide), Spacer(1, 2 * mm)]
    story += [item(words) for words in record.remarks]
    if record.cautions:
        cautions: list[Flowable] = [paragraph("Cautions", HEAD)]
        cautions += [item(each) for each in record.cautions]
        story.append(KeepTogether(cautions))
    parts = [("The cook", record.facts), ("What the verdict rests on", record.inputs)]
    if record.others:
        parts.append(("Other verdicts on this cook", record.others))
    for head, pairs in parts:
        story += [CondPageBreak(ROOM), paragraph(head, HEAD), _pairs(pairs, wide)]
    return story


def _probes(record: CookRecord, wide: float) -> Table:
    rows = [[paragraph(each, SMALL) for each in record.probe_heads]]
    rows += [[paragraph(each, CELL) for each in row] for row in record.probes]
    between = len(record.probe_heads) - 2
    if between > 0:
        shares = [NAME_SHARE, *[(1.0 - NAME_SHARE - LAST_SHARE) / between] * between, LAST_SHARE]
    else:
        shares = [1.0 / len(record.probe_heads)] * len(record.probe_heads)
    table = Table(rows, colWidths=[wide * share for share in shares], repeatRows=1)
    table.setStyle(
        TableStyle([
            ("LINEBELOW", (0, 0), (-1, -1), 0.4, RULE),
            ("VALIGN", (0, 0), (-1, -1), "TOP"),
            ("LEFTPADDING", (0, 0), (-1, -1), 0),
            ("RIGHTPADDING", (0, 0), (-1, -1), 4),
        ])
    )  # fmt: skip
    return table


def _pairs(pairs: Sequence[tuple[str, str]], wide: float) -> Flowable:
    rows = [[paragraph(name, SMALL), paragraph(value, CELL)] for name, value in pairs if value]
    if not rows:
        return paragraph("nothing", BODY)
    table = Table(rows, colWidths=[wide * 0.2, wide * 0.8])
    table.setStyle(
        TableStyle([
            ("VALIGN", (0, 0), (-1, -1), "TOP"),
            ("LEFTPADDING", (0, 0), (-1, -1), 0),
            ("TOPPADDING", (0, 0), (-1, -1), 0.5),
            ("BOTTOMPADDING", (0, 0), (-1, -1), 0.5),
        ])
    )  # fmt: skip
    return table
