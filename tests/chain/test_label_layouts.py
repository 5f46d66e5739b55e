"""Label paper: sizes and places against sums done by hand."""

from __future__ import annotations

import doctest

import pytest

import pinset.chain.label_layouts
from pinset.chain.label_layouts import OFFERED, LabelLayout

BY_CODE = {layout.code: layout for layout in OFFERED}


def test_codes_and_words_are_each_once() -> None:
    assert len(BY_CODE) == len(OFFERED)
    assert len({layout.words for layout in OFFERED}) == len(OFFERED)


@pytest.mark.parametrize("layout", OFFERED, ids=lambda each: each.code)
def test_labels_lie_on_their_page_and_in_its_middle(layout: LabelLayout) -> None:
    """Sheets of labels are cut alike at left and right, above and below; to half a millimetre."""
    assert layout.right_mm >= -0.01
    assert layout.bottom_mm >= -0.01
    assert layout.left_mm == pytest.approx(layout.right_mm, abs=0.5)
    assert layout.top_mm == pytest.approx(layout.bottom_mm, abs=0.6)


@pytest.mark.parametrize(
    ("code", "place", "corner"),
    [
        ("a4-3x8", 0, (0.0, 0.5)),
        ("a4-3x8", 23, (140.0, 259.5)),  # 2 x 70; 0.5 + 7 x 37
        ("a4-3x7", 4, (73.25, 53.25)),  # 7.25 + 66; 15.15 + 38.1
        ("letter-3x10", 29, (144.46, 241.3)),  # 3/16 + 2 x 2 3/4 in; 1/2 + 9 in
        ("letter-2x5", 1, (110.33, 12.7)),  # 5/32 + 4 + 3/16 in
        ("roll-57x32", 0, (0.0, 0.0)),
    ],
)
def test_places_by_hand(code: str, place: int, corner: tuple[float, float]) -> None:
    assert BY_CODE[code].corner(place) == pytest.approx(corner, abs=0.02)


def test_words_name_page_count_and_size() -> None:
    assert BY_CODE["a4-3x8"].words == "A4, 3 × 8, 70 × 37 mm"
    assert BY_CODE["letter-3x10"].words == "Letter, 3 × 10, 66.67 × 25.4 mm"
    assert BY_CODE["roll-57x32"].words == "Roll, 57 × 32 mm"
    assert LabelLayout("x", 148, 105, 60, 40, 2, 2).words == "148 × 105 mm, 2 × 2, 60 × 40 mm"


@pytest.mark.parametrize(
    ("labels", "skip", "pages"), [(0, 5, 0), (1, 0, 1), (24, 0, 1), (24, 1, 2), (25, 23, 2)]
)
def test_pages_that_labels_take(labels: int, skip: int, pages: int) -> None:
    assert BY_CODE["a4-3x8"].pages(labels, skip) == pages


def test_the_examples_are_true() -> None:
    assert doctest.testmod(pinset.chain.label_layouts).failed == 0
