"""Labels that were printed: numbers go up, a tap counts once, a copy of the farm keeps them."""

from __future__ import annotations

import pytest

from farm.small_farm import NOW
from pinset.farm.label_store import LastSheet, PrintRow, labelled, last_sheet, note

pytestmark = pytest.mark.django_db


def put(*rows: PrintRow, tap: str = "1" * 32, person: str = "ada", place: int = 5) -> None:
    note(rows, "a4-3x8", place, tap=tap, person=person, now=NOW)


def test_a_lot_is_labelled_up_to_its_highest_unit() -> None:
    put(PrintRow("AAAAA", 1, 10), PrintRow("BBBBB", 3, 2))
    put(PrintRow("AAAAA", 4, 2), tap="2" * 32)
    assert labelled(["AAAAA", "BBBBB", "CCCCC"]) == {"AAAAA": 10, "BBBBB": 4}


def test_labels_without_numbers_are_added_up() -> None:
    put(PrintRow("AAAAA", 0, 10))
    put(PrintRow("AAAAA", 0, 3), tap="2" * 32)
    assert labelled(["AAAAA"]) == {"AAAAA": 13}


def test_a_tap_counts_once_whatever_comes_with_it() -> None:
    put(PrintRow("AAAAA", 0, 10))
    put(PrintRow("AAAAA", 0, 10))
    put(PrintRow("AAAAA", 5, 10))
    assert labelled(["AAAAA"]) == {"AAAAA": 10}


def test_the_last_sheet_is_each_persons_own() -> None:
    assert last_sheet("ada") is None
    put(PrintRow("AAAAA", 1, 1))
    put(PrintRow("AAAAA", 2, 1), tap="2" * 32, person="ben", place=9)
    assert last_sheet("ada") == LastSheet("a4-3x8", 5)
    assert last_sheet("ben", "a4-3x8") == LastSheet("a4-3x8", 9)
    assert last_sheet("ben", "roll-57x32") is None
