"""Label paper of the farm's own: what cannot be is named with what is accepted."""

from __future__ import annotations

from dataclasses import replace

import pytest

from chain.book import BOOK
from pinset.chain.label_layouts import OFFERED, LabelLayout
from pinset.chain.route_rules import check_book
from pinset.errors import Severity

MINE = LabelLayout("mine", 210, 297, 60, 30, 3, 9, 15, 13.5)


def said(*layouts: LabelLayout) -> list[str]:
    found = check_book(replace(BOOK, labels=layouts))
    wrong = [each for each in found if each.record.startswith("labels ")]
    assert all(each.severity is Severity.WRONG for each in wrong)
    return [str(each) for each in wrong]


def test_what_fits_is_fine() -> None:
    assert said(MINE) == []
    assert said(*OFFERED) == []


@pytest.mark.parametrize(
    ("changed", "words"),
    [
        ({"columns": 4}, "columns 4 is not accepted; accepted is labels, gaps and margin of at"),
        ({"columns": 4}, "They take 255 mm."),
        ({"top_mm": 60.0}, "rows 9 is not accepted"),
        ({"row_gap_mm": 4.0}, "They take 315.5 mm."),
        ({"label_height_mm": 10.0}, "label_height_mm 10 is not accepted; accepted is 14.5 to"),
        ({"label_width_mm": 20.0, "label_height_mm": 20.0}, "at least 25 × 14.5 mm"),
        ({"left_mm": -1.0}, "left_mm -1 is not accepted"),
        ({"columns": 0}, "columns 0 is not accepted"),
        ({"code": "a b"}, "code 'a b' is not accepted"),
    ],
)
def test_what_cannot_be_is_named(changed: dict[str, object], words: str) -> None:
    assert any(words in each for each in said(replace(MINE, **changed)))  # type: ignore[arg-type]


def test_a_code_stands_once() -> None:
    assert any("once, not 2 times" in each for each in said(MINE, MINE))
