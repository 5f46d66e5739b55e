"""Whole sheets and rolls of labels as PDF, in exact millimetres."""

from __future__ import annotations

from collections.abc import Sequence
from io import BytesIO

from reportlab.lib.colors import HexColor, black
from reportlab.lib.units import mm
from reportlab.pdfgen.canvas import Canvas

from pinset.chain.label_layouts import LabelLayout
from pinset.errors import InputError
from pinset.paper.labels.drawing import LabelMarks, Word, drawn
from pinset.paper.labels.fitting import font
from pinset.paper.labels.words import LabelWords
from pinset.paper.letters import printable

MOST_LABELS = 2000
OUTLINE = HexColor("#9a9a9a")
OUTLINE_PT = 0.3


def labels_pdf(
    labels: Sequence[LabelWords],
    layout: LabelLayout,
    skip: int = 0,
    *,
    title: str = "Labels",
    is_trial: bool = False,
) -> bytes:
    """Return labels on their sheets as PDF; the same labels give the same bytes.

    Parameters
    ----------
    labels : sequence of LabelWords
        In the order in which they take their places.
    layout : LabelLayout
        The paper.
    skip : int
        Places used already on the first sheet.
    title : str
        Of the document.
    is_trial : bool
        Draw the edge of every place, to be held against the labels before any are spent.

    Raises
    ------
    InputError
        If there is no label or too many, or fewer or more places are used than a sheet has.

    Examples
    --------
    A service says what stands on each label, see :mod:`pinset.services.labels.printing`::

        data = labels_pdf([LabelWords("7K4MV/1", facts)], layout, skip=3)
    """
    if not 1 <= len(labels) <= MOST_LABELS:
        raise InputError("labels", len(labels), f"1 to {MOST_LABELS} labels at once")
    if not 0 <= skip < layout.places:
        raise InputError("places used", skip, f"0 to {layout.places - 1} of a sheet")
    out = BytesIO()
    size = (layout.page_width_mm * mm, layout.page_height_mm * mm)
    canvas = Canvas(out, pagesize=size, invariant=1, lang="en")
    canvas.setTitle(printable(title))
    canvas.setAuthor("pinset")
    canvas.setViewerPreference("PrintScaling", "None")  # else a viewer makes them smaller to fit
    for first in range(-skip, len(labels), layout.places):
        if is_trial:
            _outlines(canvas, layout)
        for place in range(layout.places):
            if 0 <= first + place < len(labels):
                _label(canvas, layout, place, drawn(labels[first + place], layout))
        canvas.showPage()
    canvas.save()
    return out.getvalue()


def _label(canvas: Canvas, layout: LabelLayout, place: int, marks: LabelMarks) -> None:
    left, top = layout.corner(place)
    high = layout.page_height_mm
    canvas.setFillColor(black)
    path = canvas.beginPath()
    module = marks.module_mm
    for row, column, wide in marks.code.dark:
        x = left + marks.qr_x_mm + column * module
        y = top + marks.qr_y_mm + (row + 1) * module
        path.rect(x * mm, (high - y) * mm, wide * module * mm, module * mm)
    canvas.drawPath(path, stroke=0, fill=1)
    for word in marks.words:
        _word(canvas, word, left, top, high)


def _word(canvas: Canvas, word: Word, left: float, top: float, high: float) -> None:
    x, y = (left + word.x_mm) * mm, (high - top - word.y_mm) * mm
    canvas.setFont(font(is_strong=word.is_strong), word.size_pt)
    if not word.is_turned:
        canvas.drawString(x, y, word.text)
        return
    canvas.saveState()
    canvas.translate(x, y)
    canvas.rotate(90)
    canvas.drawString(0, 0, word.text)
    canvas.restoreState()


def _outlines(canvas: Canvas, layout: LabelLayout) -> None:
    canvas.setStrokeColor(OUTLINE)
    canvas.setLineWidth(OUTLINE_PT)
    for place in range(layout.places):
        x, y = layout.corner(place)
        canvas.rect(
            x * mm,
            (layout.page_height_mm - y - layout.label_height_mm) * mm,
            layout.label_width_mm * mm,
            layout.label_height_mm * mm,
        )
