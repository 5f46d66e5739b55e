"""Sheets in exact millimetres: each place against its layout, used places, pages, same bytes."""

from __future__ import annotations

from io import BytesIO

import numpy as np
import pytest
from PIL import Image
from pypdf import PdfReader

from paper.label_looking import FACTS, INCH_MM, LONG_FACTS, cut_out, labels, pages, seen
from pinset.chain.label_layouts import OFFERED, LabelLayout
from pinset.errors import InputError
from pinset.paper.labels.drawing import PAD_MM, UNPRINTED_MM, LabelMarks, drawn
from pinset.paper.labels.qr import LEAST_MM, QUIET
from pinset.paper.labels.sheet import MOST_LABELS, labels_pdf
from pinset.paper.labels.words import LabelWords

DPI = 300
EVERY = pytest.mark.parametrize("layout", OFFERED, ids=lambda each: each.code)
SHEET = OFFERED[0]


def dark(page: Image.Image, x_mm: float, y_mm: float, reach_mm: float = 0.2) -> float:
    """Return the darkest grey within a reach of a point."""
    x, y, r = (round(each * DPI / INCH_MM) for each in (x_mm, y_mm, reach_mm))
    part = np.asarray(page)[max(0, y - r) : y + r + 1, max(0, x - r) : x + r + 1]
    return float(part.min())


@EVERY
def test_a_page_has_the_size_of_its_paper(layout: LabelLayout) -> None:
    [page] = PdfReader(BytesIO(labels_pdf(labels(1), layout))).pages
    assert float(page.mediabox.width) / 72 * INCH_MM == pytest.approx(
        layout.page_width_mm, abs=0.01
    )
    assert float(page.mediabox.height) / 72 * INCH_MM == pytest.approx(
        layout.page_height_mm, abs=0.01
    )


@EVERY
def test_every_place_lies_where_its_layout_says(layout: LabelLayout) -> None:
    """The outlines of a trial sheet stand at margins, sizes and gaps added up by hand."""
    [page] = pages(labels_pdf(labels(1), layout, is_trial=True), DPI)
    for row in range(layout.rows):
        for column in range(layout.columns):
            left = layout.left_mm + column * (layout.label_width_mm + layout.column_gap_mm)
            top = layout.top_mm + row * (layout.label_height_mm + layout.row_gap_mm)
            middle_x = left + layout.label_width_mm - 3.0
            middle_y = top + layout.label_height_mm / 2
            for x, y in (
                (left, middle_y),
                (left + layout.label_width_mm, middle_y),
                (middle_x, top),
                (middle_x, top + layout.label_height_mm),
            ):
                inside = 0.15 < x < layout.page_width_mm - 0.15
                if inside and 0.15 < y < layout.page_height_mm - 0.15:
                    assert dark(page, x, y) < 200, (row, column, x, y)
            assert dark(page, left + 0.6, middle_y, 0.15) > 250


@EVERY
def test_each_code_lies_in_its_place_to_a_tenth_of_a_millimetre(layout: LabelLayout) -> None:
    """Measured by its ink: three finders give a code its four edges."""
    said = labels(layout.places)
    [page] = pages(labels_pdf(said, layout), DPI)
    ink = np.asarray(page) < 128
    for place, each in enumerate(said):
        marks = drawn(each, layout)
        left, top = layout.corner(place)
        side, quiet = marks.code.side * marks.module_mm, QUIET * marks.module_mm - 0.2
        x, y = left + marks.qr_x_mm, top + marks.qr_y_mm
        first_x, first_y = (max(0, round((at - quiet) * DPI / INCH_MM)) for at in (x, y))
        last_x, last_y = (round((at + side + quiet) * DPI / INCH_MM) for at in (x, y))
        part = ink[first_y:last_y, first_x:last_x]
        columns, rows = np.flatnonzero(part.any(axis=0)), np.flatnonzero(part.any(axis=1))
        for found, expected in (
            (first_x + columns[0], x),
            (first_x + columns[-1] + 1, x + side),
            (first_y + rows[0], y),
            (first_y + rows[-1] + 1, y + side),
        ):
            assert found / DPI * INCH_MM == pytest.approx(expected, abs=0.1)


@EVERY
def test_nothing_stands_in_the_quiet_zone(layout: LabelLayout) -> None:
    said = labels(layout.places, LONG_FACTS)
    marks = drawn(said[0], layout)
    label = np.asarray(cut_out(pages(labels_pdf(said, layout), DPI)[0], layout, 0, DPI))
    assert min(_outside(marks, layout)) >= QUIET * marks.module_mm - 1e-9
    side, quiet = marks.code.side * marks.module_mm, QUIET * marks.module_mm
    scale = DPI / INCH_MM
    left, top = marks.qr_x_mm, marks.qr_y_mm
    part = label[
        round((top - quiet) * scale) : round((top + side + quiet) * scale),
        round((left - quiet) * scale) : round((left + side + quiet) * scale),
    ].copy()
    edge = round(quiet * scale)
    part[edge - 2 : -edge + 2, edge - 2 : -edge + 2] = 255
    assert part.min() == 255


def _outside(marks: LabelMarks, layout: LabelLayout) -> list[float]:
    side = marks.code.side * marks.module_mm
    return [
        marks.qr_x_mm,
        marks.qr_y_mm,
        layout.label_width_mm - marks.qr_x_mm - side,
        layout.label_height_mm - marks.qr_y_mm - side,
    ]


@EVERY
@pytest.mark.parametrize("code", ["7K4MV", "7K4MV/1200", "23456789ABCDZ/1200"])
def test_words_stay_on_the_label_and_off_each_other(layout: LabelLayout, code: str) -> None:
    for facts in (FACTS, LONG_FACTS):
        marks = drawn(LabelWords(code, facts), layout)
        assert marks.module_mm >= LEAST_MM
        boxes = []
        for word in marks.words:
            high = word.size_pt * 0.66 / 72 * INCH_MM
            box = (
                (word.x_mm - high, word.y_mm - word.wide_mm, word.x_mm, word.y_mm)
                if word.is_turned
                else (word.x_mm, word.y_mm - high, word.x_mm + word.wide_mm, word.y_mm)
            )
            assert box[0] >= marks.qr_x_mm + marks.code.side * marks.module_mm
            assert box[1] >= PAD_MM - 0.35
            assert box[2] <= layout.label_width_mm - PAD_MM + 0.01
            assert box[3] <= layout.label_height_mm - PAD_MM + 0.35
            boxes.append(box)
        for i, one in enumerate(boxes):
            for other in boxes[i + 1 :]:
                apart = (
                    one[2] <= other[0] + 0.01
                    or other[2] <= one[0] + 0.01
                    or one[3] <= other[1] + 0.01
                    or other[3] <= one[1] + 0.01
                )
                assert apart, (one, other)


@pytest.mark.parametrize(
    "layout", [each for each in OFFERED if not each.is_roll], ids=lambda each: each.code
)
def test_nothing_is_printed_where_a_sheet_printer_cannot(layout: LabelLayout) -> None:
    page = np.asarray(pages(labels_pdf(labels(layout.places, LONG_FACTS), layout), 150)[0])
    edge = int((UNPRINTED_MM - 0.35) * 150 / INCH_MM)
    inside = page[edge:-edge, edge:-edge].copy()
    assert inside.min() < 50
    whole = page.copy()
    whole[edge:-edge, edge:-edge] = 255
    assert whole.min() == 255


def test_used_places_stay_empty_and_the_next_sheet_begins_at_its_first() -> None:
    said = labels(25)
    first, second = pages(labels_pdf(said, SHEET, skip=5), 150)
    for place in range(5):
        assert np.asarray(cut_out(first, SHEET, place, 150)).min() == 255
    assert seen(cut_out(first, SHEET, 5, 150)) == [said[0].code]
    assert seen(cut_out(first, SHEET, 23, 150)) == [said[18].code]
    assert [seen(cut_out(second, SHEET, place, 150)) for place in range(7)] == [
        *([each.code] for each in said[19:]),
        [],
    ]


def test_the_same_labels_give_the_same_bytes() -> None:
    assert labels_pdf(labels(30), SHEET, 3) == labels_pdf(labels(30), SHEET, 3)
    assert labels_pdf(labels(30), SHEET, 3) != labels_pdf(labels(30), SHEET, 4)


def test_a_viewer_is_told_not_to_make_it_smaller() -> None:
    root = PdfReader(BytesIO(labels_pdf(labels(1), SHEET))).trailer["/Root"]
    assert root["/ViewerPreferences"]["/PrintScaling"] == "/None"


def test_letters_and_code_are_black_and_no_edge_is_drawn() -> None:
    content = PdfReader(BytesIO(labels_pdf(labels(2), SHEET))).pages[0].get_contents()
    assert content is not None
    drawing = content.get_data().replace(b"\r", b"\n").split(b"\n")
    colours = {line for line in drawing if line.split()[-1:] in ([b"rg"], [b"RG"])}
    assert {tuple(line.split()[:-1]) for line in colours} <= {(b"0", b"0", b"0")}
    assert b" S" not in content.get_data()


@pytest.mark.parametrize("skip", [-1, 24, 100])
def test_more_places_used_than_there_are_are_refused(skip: int) -> None:
    with pytest.raises(InputError, match=r"places used: .* 0 to 23"):
        labels_pdf(labels(1), SHEET, skip)


def test_no_label_and_far_too_many_are_refused() -> None:
    with pytest.raises(InputError, match="labels: 0 "):
        labels_pdf([], SHEET)
    with pytest.raises(InputError, match="at once"):
        labels_pdf(labels(1) * (MOST_LABELS + 1), SHEET)


def test_the_code_is_in_large_type_as_far_as_the_label_allows() -> None:
    for layout in OFFERED:
        marks = drawn(labels(1)[0], layout)
        largest = max(word.size_pt for word in marks.words)
        facts = [word.size_pt for word in marks.words if " " in word.text and not word.is_turned]
        assert largest >= 10.5, layout.code
        assert largest >= 1.5 * max(facts), layout.code
        assert min(facts) >= 5.0, layout.code
        assert marks.left_out == 0, layout.code


def test_long_words_leave_nothing_out_of_a_layout_that_stands_ready() -> None:
    for layout in OFFERED:
        assert drawn(LabelWords("7K4MV/24", LONG_FACTS), layout).left_out == 0, layout.code


def test_an_upright_label_has_its_code_above_the_words() -> None:
    upright = LabelLayout("mine", 30, 50, 30, 50)
    said = labels(1)[0]
    marks = drawn(said, upright)
    below = marks.qr_y_mm + marks.code.side * marks.module_mm
    assert all(word.y_mm - word.size_pt * 0.66 / 72 * INCH_MM >= below for word in marks.words)
    assert seen(pages(labels_pdf([said], upright), 150)[0]) == [said.code]
