"""Words on labels: shortened before they are small, codes never; groups of a code."""

from __future__ import annotations

import doctest

import pytest
from hypothesis import given
from hypothesis import strategies as st

import pinset.paper.labels.qr
import pinset.paper.labels.words
from paper.label_looking import FACTS, LONG_FACTS
from pinset.chain.label_layouts import OFFERED
from pinset.chain.lotcode import encode
from pinset.paper.labels.drawing import drawn
from pinset.paper.labels.fitting import LEADING, fitted
from pinset.paper.labels.words import Fact, LabelWords, groups, shortened
from pinset.paper.letters import ready

ready()
CODES = st.integers(0, 31**8).map(encode)


@given(CODES)
def test_groups_hold_the_whole_code_in_order(code: str) -> None:
    found = groups(code)
    assert "".join(found) == code
    assert all(2 <= len(each) <= 4 for each in found)
    assert max(map(len, found)) - min(map(len, found)) <= 1


@given(CODES, st.integers(3, 9))
def test_a_code_among_words_is_never_cut(code: str, letters: int) -> None:
    said = shortened(f"from mountain oysters {code}, {code} and {code}", letters)
    assert said.count(code) == 3


def test_words_are_cut_to_letters_with_a_full_stop() -> None:
    assert shortened("blue-grey mountain oyster", 6) == "blue-grey mounta. oyster"
    assert shortened("mountain, oysters", 4) == "moun., oyst."


@pytest.mark.parametrize("text", ["PO-winter-3", "12 Mar 2026", "G2", "7K4MV/12", "(MYGUA)"])
def test_what_has_a_figure_or_is_a_code_stays_whole(text: str) -> None:
    assert shortened(text, 3) == text


def test_large_letters_are_wanted_more_than_long_words() -> None:
    wide = fitted(FACTS, 300, 100)
    assert [line.text for line in wide.lines] == [fact.choices[0] for fact in FACTS]
    assert wide.size_pt == 16
    narrow = fitted(FACTS, 80, 40)
    assert narrow.size_pt < wide.size_pt
    assert any("2CWF9" in line.text for line in narrow.lines)
    assert narrow.left_out == 0


@given(st.floats(30, 400), st.floats(6, 200))
def test_what_fits_is_within_its_room(wide: float, high: float) -> None:
    found = fitted(LONG_FACTS, wide, high)
    assert len(found.lines) * found.size_pt * LEADING <= high
    assert 5.0 <= found.size_pt <= 16.0
    assert found.left_out < 3 or not found.lines


def test_what_has_no_room_is_counted_not_lost_in_silence() -> None:
    found = fitted(LONG_FACTS, 60, 14)
    assert found.left_out > 0
    assert found.lines[0].is_strong


@given(st.text("abcdefghijklmnopqrstuvwxyzäöüß -", max_size=120), CODES, st.integers(1, 9999))
def test_whatever_the_words_the_code_stands_whole(text: str, code: str, unit: int) -> None:
    for layout in (OFFERED[0], next(each for each in OFFERED if each.tubes)):
        marks = drawn(LabelWords(f"{code}/{unit}", (Fact((text,)),)), layout)
        large = [word for word in marks.words if not word.is_turned]
        assert "".join(word.text for word in large).startswith(f"{code}/{unit}")


def test_the_examples_are_true() -> None:
    for module in (pinset.paper.labels.words, pinset.paper.labels.qr):
        assert doctest.testmod(module).failed == 0


def test_a_word_is_cut_only_where_every_choice_was_tried() -> None:
    fact = Fact(("Plate, Pioppino",))
    assert [fact.at(level) for level in range(3)] == ["Plate, Pioppino"] * 3
    assert fact.at(4) == "Plate, Pioppi."
