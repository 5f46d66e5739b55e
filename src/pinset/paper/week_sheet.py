"""The week on paper: black on white, a box to tick for each job, large enough for arm's length."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from textwrap import shorten
from typing import Any

from reportlab.lib.colors import black
from reportlab.lib.enums import TA_RIGHT
from reportlab.lib.styles import ParagraphStyle
from reportlab.lib.units import mm
from reportlab.platypus import (
    CondPageBreak,
    Flowable,
    KeepTogether,
    Spacer,
    Table,
    TableStyle,
)

from pinset.paper.letters import BOLD, PLAIN
from pinset.paper.pages import Pages, pages_pdf
from pinset.paper.words import paragraph

MARGIN, FOOT, BOX = 12 * mm, 6 * mm, 7 * mm
BOX_WIDE, HOUR_WIDE, COUNT_WIDE = 11 * mm, 23 * mm, 19 * mm
ROOM = 55 * mm  # under the name of a day, else it goes to the next page
LONGEST_NAME = 48  # of the farm, at the foot of a page
LONGEST_LINE = 280  # signs
FOOT_SIZE = 10

TEXT = ParagraphStyle("text", fontName=PLAIN, fontSize=12, leading=14.5, splitLongWords=1)
SAID = ParagraphStyle("said", parent=TEXT, fontSize=11.5, leading=13.5)
TITLE = ParagraphStyle("title", parent=TEXT, fontName=BOLD, fontSize=22, leading=27)
DAY = ParagraphStyle("day", parent=TEXT, fontName=BOLD, fontSize=19, leading=24)
PLACE = ParagraphStyle("place", parent=TEXT, fontName=BOLD, fontSize=13, leading=16)
ASIDE = ParagraphStyle("aside", parent=TEXT, fontSize=11.5, leading=16, alignment=TA_RIGHT)
WHAT = ParagraphStyle("what", parent=TEXT, fontName=BOLD, fontSize=13.5, leading=16)
COUNT = ParagraphStyle("count", parent=TEXT, fontName=BOLD, fontSize=18, leading=17,
                       alignment=TA_RIGHT)  # fmt: skip
HOUR = ParagraphStyle("hour", parent=TEXT, fontName=BOLD, fontSize=14, leading=17)
LATE = ParagraphStyle("late", parent=SAID, fontName=BOLD)


@dataclass(frozen=True, slots=True)
class SheetJob:
    """A job as it stands on the paper, in words."""

    before_hour: str  # "before"; empty: it begins at its hour
    hour: str  # "10:30"; empty: no hour
    count: str
    what: str
    says: tuple[str, ...]  # lots, due hour, place, minutes: a line each
    warns: tuple[str, ...]  # what must not be passed over: lateness, cautions in short


@dataclass(frozen=True, slots=True)
class SheetPlace:
    """The jobs of one day in one place."""

    title: str
    note: str
    jobs: tuple[SheetJob, ...]


@dataclass(frozen=True, slots=True)
class SheetDay:
    """One day of the week."""

    title: str
    note: str
    places: tuple[SheetPlace, ...]
    expected: tuple[tuple[str, str], ...]  # hour and words; no jobs yet, so no box


@dataclass(frozen=True, slots=True)
class WeekSheet:
    """Everything that stands on the paper, in words."""

    farm: str
    title: str
    notes: tuple[str, ...]
    days: tuple[SheetDay, ...]
    expected_head: str
    nothing: str  # on a day without jobs
    made: str  # at the foot: when it was made


class _Box(Flowable):
    """A box to tick."""

    def __init__(self) -> None:
        super().__init__()
        self.width = self.height = BOX

    def draw(self) -> None:
        """Draw it."""
        self.canv.setStrokeColor(black)
        self.canv.setLineWidth(1.4)
        self.canv.rect(0, 0, BOX, BOX)


def week_pdf(sheet: WeekSheet, paper: str = "a4") -> bytes:
    """Return the week as PDF; the same sheet gives the same bytes.

    Parameters
    ----------
    sheet : WeekSheet
        What stands on it.
    paper : str
        ``a4`` or ``letter``.

    Raises
    ------
    InputError
        If the paper is another.

    Examples
    --------
    A service fills the sheet, see :mod:`pinset.services.week.paper`::

        data = week_pdf(sheet, "letter")
    """
    name = shorten(sheet.farm, LONGEST_NAME, placeholder="…")
    pages = Pages(
        title=f"{sheet.farm}: {sheet.title}",
        foot=f"{name}. {sheet.made}",
        margin=MARGIN,
        foot_room=FOOT,
        foot_size=FOOT_SIZE,
        foot_drop=2 * mm,
        foot_colour=black,
    )
    return pages_pdf(pages, lambda wide: _story(sheet, wide), paper)


def _story(sheet: WeekSheet, wide: float) -> list[Flowable]:
    story: list[Flowable] = [paragraph(sheet.title, TITLE), paragraph(sheet.farm, TEXT)]
    story += [paragraph(note, TEXT) for note in sheet.notes]
    for day in sheet.days:
        story += [CondPageBreak(ROOM), Spacer(1, 5 * mm), _heading(day, wide)]
        if not day.places and not day.expected:
            story.append(paragraph(sheet.nothing, TEXT))
        for place in day.places:
            story += _place(place, day.title, wide)
        if day.expected:
            story += _expected(day, sheet.expected_head, wide)
    return story


def _heading(day: SheetDay, wide: float) -> Table:
    rows = [[paragraph(day.title, DAY)]]
    if day.note:
        rows.append([paragraph(day.note, LATE)])
    table = Table(rows, colWidths=[wide])
    table.setStyle(
        TableStyle([
            ("LINEABOVE", (0, 0), (-1, 0), 2.4, black),
            ("LEFTPADDING", (0, 0), (-1, -1), 0),
            ("TOPPADDING", (0, 0), (-1, -1), 1),
            ("BOTTOMPADDING", (0, 0), (-1, -1), 2),
        ])
    )  # fmt: skip
    return table


def _place(place: SheetPlace, day: str, wide: float) -> list[Flowable]:
    """Return the jobs of a place; its name and its day stand again on a page it runs on to."""
    name = f"{place.title}: {place.note}" if place.note else place.title
    head = Table(
        [[paragraph(name, PLACE), paragraph(day, ASIDE)]],
        colWidths=[wide * 0.68, wide * 0.32],
    )
    head.setStyle(_tight(("VALIGN", (0, 0), (-1, -1), "BOTTOM")))
    rows: list[list[object]] = [[head, "", "", ""]]
    rows += [_row(job) for job in place.jobs]
    table = Table(
        rows,
        colWidths=[BOX_WIDE, HOUR_WIDE, COUNT_WIDE, wide - BOX_WIDE - HOUR_WIDE - COUNT_WIDE],
        repeatRows=1,
    )
    table.setStyle(
        _tight(
            ("SPAN", (0, 0), (-1, 0)),
            ("LINEBELOW", (0, 0), (-1, 0), 1.2, black),
            ("LINEBELOW", (0, 1), (-1, -1), 0.5, black),
            ("VALIGN", (0, 1), (-1, -1), "TOP"),
            ("TOPPADDING", (0, 1), (-1, -1), 4),
            ("BOTTOMPADDING", (0, 1), (-1, -1), 5),
            ("RIGHTPADDING", (2, 1), (2, -1), 8),
            ("NOSPLIT", (0, 0), (-1, min(1, len(place.jobs)))),
        )
    )
    return [Spacer(1, 2.5 * mm), table]


def _tight(*more: Any) -> TableStyle:
    return TableStyle([
        ("LEFTPADDING", (0, 0), (-1, -1), 0),
        ("RIGHTPADDING", (0, 0), (-1, -1), 0),
        *more,
    ])  # fmt: skip


def _row(job: SheetJob) -> list[object]:
    said: list[Flowable] = [paragraph(_short(job.what), WHAT)]
    said += [paragraph(_short(line), SAID) for line in job.says]
    said += [paragraph(_short(line), LATE) for line in job.warns]
    return [_Box(), _hour(job), paragraph(job.count, COUNT), said]


def _short(text: str) -> str:
    """Return a text that leaves room on the page: a job is never split over two."""
    return text if len(text) <= LONGEST_LINE else f"{text[: LONGEST_LINE - 1]}…"


def _hour(job: SheetJob) -> list[Flowable]:
    """Return an hour; what follows its digits (next day) goes below them."""
    clock, _, after = job.hour.partition(" ")
    words = ((job.before_hour, SAID), (clock, HOUR), (after, SAID))
    return [paragraph(text, style) for text, style in words if text]


def _expected(day: SheetDay, head: str, wide: float) -> Sequence[Flowable]:
    rows = [[paragraph(at, HOUR), paragraph(text, TEXT)] for at, text in day.expected]
    table = Table(rows, colWidths=[HOUR_WIDE, wide - HOUR_WIDE])
    table.setStyle(
        _tight(
            ("TOPPADDING", (0, 0), (-1, -1), 1),
            ("BOTTOMPADDING", (0, 0), (-1, -1), 2),
            ("VALIGN", (0, 0), (-1, -1), "TOP"),
        )
    )
    return [Spacer(1, 2.5 * mm), KeepTogether([paragraph(f"{head}, {day.title}", PLACE), table])]
