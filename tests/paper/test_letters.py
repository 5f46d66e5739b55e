"""Letters on paper: Europe's are all there; a sign that is lacking becomes the nearest."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pinset.paper.letters import printable, ready

ALPHABETS = {
    "Polish": "ąćęłńóśźżĄĆĘŁŃÓŚŹŻ",
    "Czech": "áčďéěíňóřšťúůýž",
    "Turkish": "çğıİöşü",
    "Romanian": "ăâîșț",
    "Greek": "ΑΒΓΔΕΖΗΘΙΚΛΜΝΞΟΠΡΣΤΥΦΧΨΩαβγδεζηθικλμνξοπρστυφχψωςάέήίόύώϊϋΐΰ",
    "Russian": "абвгдеёжзийклмнопрстуфхцчшщъыьэюяАБВГДЕЁЖЗИЙКЛМНОПРСТУФХЦЧШЩЪЫЬЭЮЯ",
    "Ukrainian": "ґєіїҐЄІЇ",
    "Serbian": "ђјљњћџ",
    "figures": "±−×≥≤°µ–—…²³→½",
}
"""Letters of each language, from memory; none has to be replaced."""


@pytest.mark.parametrize("letters", ALPHABETS.values(), ids=ALPHABETS)
def test_letters_of_europe_are_printed(letters: str) -> None:
    assert printable(letters) == letters


def test_signs_that_are_lacking_become_the_nearest() -> None:
    assert printable("Ⅻ 中") == "XII ?"
    assert printable("a\u2011b\u00adc") == "a-bc"
    assert printable("e\u0301") == "é"


def test_line_ends_and_hidden_signs_print_nothing_strange() -> None:
    assert printable("one\ntwo\tthree\x07\u200b") == "one two three"


@given(st.text())
def test_whatever_is_typed_can_be_printed(text: str) -> None:
    assert all(ord(sign) in ready() for sign in printable(text))
