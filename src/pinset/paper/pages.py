"""Numbered pages: a margin, a story, and at each foot what the paper is and page x of y."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from io import BytesIO

from reportlab.lib import pagesizes
from reportlab.lib.colors import Color
from reportlab.pdfgen.canvas import Canvas
from reportlab.platypus import BaseDocTemplate, Flowable, Frame, PageTemplate

from pinset.errors import InputError
from pinset.paper.letters import PLAIN, printable, ready

SIZES = {"a4": pagesizes.A4, "letter": pagesizes.LETTER}


@dataclass(frozen=True, slots=True)
class Pages:
    """How the pages of one paper look."""

    title: str  # of the document
    foot: str  # stands at the left of each foot
    margin: float
    foot_room: float  # kept free above the foot
    foot_size: float  # of its letters
    foot_drop: float  # below the margin's edge
    foot_colour: Color
    subject: str | None = None


def pages_pdf(
    pages: Pages, story: Callable[[float], Sequence[Flowable]], paper: str = "a4"
) -> bytes:
    """Return a paper as PDF; the same story gives the same bytes.

    Parameters
    ----------
    pages : Pages
        What stands round the story.
    story : callable
        From the width there is, in points, to what stands on the paper; called twice.
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
    _, counted = _built(pages, story, SIZES[paper], 0)
    return _built(pages, story, SIZES[paper], counted)[0]


def _built(
    pages: Pages,
    story: Callable[[float], Sequence[Flowable]],
    size: tuple[float, float],
    number: int,
) -> tuple[bytes, int]:
    """Return the PDF and how many pages it has; ``number`` is what each says there are."""
    wide, high = size
    out = BytesIO()
    counted = 0
    margin, inside = pages.margin, wide - 2 * pages.margin

    def foot(canvas: Canvas, document: BaseDocTemplate) -> None:
        nonlocal counted
        counted = document.page
        canvas.setFont(PLAIN, pages.foot_size)
        canvas.setFillColor(pages.foot_colour)
        base = margin - pages.foot_drop
        canvas.drawString(margin, base, printable(pages.foot))
        canvas.drawRightString(wide - margin, base, f"page {document.page} of {number}")

    tall = high - 2 * margin - pages.foot_room
    frame = Frame(margin, margin + pages.foot_room, inside, tall, 0, 0, 0, 0)
    document = BaseDocTemplate(
        out,
        pagesize=size,
        title=printable(pages.title),
        author="pinset",
        subject=printable(pages.subject) if pages.subject is not None else None,
        lang="en",
        invariant=1,
        pageTemplates=[PageTemplate(frames=[frame], onPage=foot)],
    )
    document.build(list(story(inside)))
    return out.getvalue(), counted
