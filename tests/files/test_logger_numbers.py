"""Numbers as loggers write them."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from files.logger_files import decimal
from pinset.files.logger.numbers import (
    cell_unit,
    decide_decimal,
    is_fault,
    is_like_number,
    read_number,
    read_numbers,
)
from pinset.files.logger.records import Sure


@pytest.mark.parametrize(
    ("cell", "sign", "value"),
    [
        ("121.3", ".", 121.3),
        ("121,3", ",", 121.3),
        (" -5 ", ".", -5.0),
        ("\u22125,5", ",", -5.5),
        ("+7", ".", 7.0),
        (".5", ".", 0.5),
        ("5.", ".", 5.0),
        ("1.2E+02", ".", 120.0),
        ("1,2e2", ",", 120.0),
        ("1,013.25", ".", 1013.25),
        ("1.013,25", ",", 1013.25),
        ("1'013.25", ".", 1013.25),
        ("1\u202f013,25", ",", 1013.25),
        ("1 013", ",", 1013.0),
        ("1,013", ".", 1013.0),
        ("1.013", ",", 1013.0),
        ("1,01", ".", 1.01),
        ("121.3 °C", ".", 121.3),
        ("121.3C", ".", 121.3),
        ("14.7 psi", ".", 14.7),
        ("98%", ".", 98.0),
    ],
)
def test_a_number(cell: str, sign: str, value: float) -> None:
    assert read_number(cell, sign) == pytest.approx(value, abs=1e-12)
    assert is_like_number(cell)
    column = read_numbers([cell, cell, "1"], sign)
    assert column.values == pytest.approx([value, value, 1.0])


@pytest.mark.parametrize(
    "cell", ["", "abc", "12l.3", "1.2.3", "1_0", "--", "1e999", "nan", "12:00", "1 2"]
)
def test_no_number(cell: str) -> None:
    assert read_number(cell, ".") is None
    assert np.isnan(read_numbers(["1.5", cell], ".").values[1])


def test_a_column_tells_empty_from_faults_from_text() -> None:
    column = read_numbers(["1.5", "", "OPEN", "x1", "nan", "2,5"], ".")
    assert column.blanks == (1,)
    assert column.faults == ((2, "OPEN"), (4, "nan"))
    assert column.texts == ((3, "x1"),)
    assert column.others == ((5, "2,5"),)


@pytest.mark.parametrize("word", ["NaN", "OL", "o.l", "---", "#N/A", "Open Circuit", "ERR", "–"])
def test_words_for_no_reading(word: str) -> None:
    assert is_fault(word)


@pytest.mark.parametrize("word", ["0", "12.5", "core", "warm"])
def test_words_that_are_not(word: str) -> None:
    assert not is_fault(word)


@pytest.mark.parametrize(
    ("cells", "separator", "sign", "sure"),
    [
        (["121.3", "20"], ",", ".", Sure.LIKELY),
        (["121,3", "20"], ";", ",", Sure.LIKELY),
        (["1.013,2", "20"], ";", ",", Sure.LIKELY),
        (["1,013,250", "20"], ";", ".", Sure.LIKELY),
        (["1,013", "1,021"], ";", ",", Sure.UNSURE),
        (["1.013", "1.021"], ";", ".", Sure.UNSURE),
        (["1.013", "1.021"], ",", ".", Sure.LIKELY),
        (["121.3", "20,5", "7.5"], ";", ".", Sure.UNSURE),
        (["12", "13"], ";", ",", Sure.LIKELY),
        ([], ",", ".", Sure.LIKELY),
    ],
)
def test_the_decimal_sign(cells: list[str], separator: str, sign: str, sure: Sure) -> None:
    guess = decide_decimal(cells, separator)
    assert (guess.value, guess.sure) == (sign, sure)


@pytest.mark.parametrize(
    ("cell", "unit"), [("20 °C", "°C"), ("68F", "F"), ("1.2 bar", "bar"), ("5", "")]
)
def test_units_in_cells(cell: str, unit: str) -> None:
    assert cell_unit(cell) == unit


@given(
    st.lists(st.floats(-1e6, 1e6), min_size=1, max_size=20),
    st.integers(0, 5),
    st.sampled_from([(".", ""), (",", ""), (".", ","), (",", "."), (".", " "), (",", "'")]),
)
def test_what_is_written_is_read(values: list[float], places: int, signs: tuple[str, str]) -> None:
    sign, group = signs
    cells = [decimal(value, places, sign, group) for value in values]
    read = read_numbers(cells, sign).values
    assert read == pytest.approx(values, abs=0.5 * 10.0**-places + 1e-9)
