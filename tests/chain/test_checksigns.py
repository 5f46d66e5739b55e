"""Pure systems of ISO 7064 on published numbers, and beside python-stdnum."""

from __future__ import annotations

import csv
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from stdnum.iso7064 import mod_11_2, mod_37_2, mod_97_10

from pinset.chain.checksigns import check_value, is_consistent
from pinset.errors import InputError

REFERENCE = Path(__file__).parents[1] / "reference" / "iso7064.csv"
SIGNS = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ*"
SYSTEMS = {"11-2": (11, 2, "0123456789X"), "37-2": (37, 2, SIGNS), "97-10": (97, 10, "0123456789")}


def rows() -> list[dict[str, str]]:
    with REFERENCE.open(newline="", encoding="utf-8") as file:
        return list(csv.DictReader(file))


@pytest.mark.parametrize("row", rows(), ids=lambda row: f"{row['system']} {row['string']}")
def test_published_numbers(row: dict[str, str]) -> None:
    modulus, radix, signs = SYSTEMS[row["system"]]
    signs_of_check = len(row["check"])
    values = [signs.index(sign) for sign in row["string"]]
    value = check_value(values, modulus=modulus, radix=radix, check_signs=signs_of_check)
    text = f"{value:02d}" if signs_of_check == 2 else signs[value]
    assert text == row["check"]
    whole = [signs.index(sign) for sign in row["string"] + row["check"]]
    assert is_consistent(whole, modulus=modulus, radix=radix)


@given(st.text("0123456789", min_size=1, max_size=20))
def test_same_as_stdnum_in_11_2_and_97_10(digits: str) -> None:
    values = [int(digit) for digit in digits]
    sign = "0123456789X"[check_value(values, modulus=11, radix=2)]
    assert sign == mod_11_2.calc_check_digit(digits)
    both = check_value(values, modulus=97, radix=10, check_signs=2)
    assert f"{both:02d}" == mod_97_10.calc_check_digits(digits)


@given(st.text(SIGNS[:-1], min_size=1, max_size=20))
def test_same_as_stdnum_in_37_2(text: str) -> None:
    values = [SIGNS.index(sign) for sign in text]
    assert SIGNS[check_value(values, modulus=37, radix=2)] == mod_37_2.calc_check_digit(text)


@given(st.text("23456789ABCDEFGHJKMNPQRSTUVWXYZ", min_size=1, max_size=9))
def test_same_as_stdnum_given_our_alphabet_and_radix_2(text: str) -> None:
    # stdnum takes any alphabet but only radix 2: enough to check the modulus apart from 11 and 37.
    signs = "23456789ABCDEFGHJKMNPQRSTUVWXYZ"
    values = [signs.index(sign) for sign in text]
    value = check_value(values, modulus=31, radix=2)
    assert signs[value] == mod_37_2.calc_check_digit(text, alphabet=signs)


@given(st.lists(st.integers(0, 30), min_size=1, max_size=12))
def test_check_sign_makes_the_string_consistent(values: list[int]) -> None:
    sign = check_value(values, modulus=31, radix=3)
    assert is_consistent([*values, sign], modulus=31, radix=3)
    assert not is_consistent([*values, (sign + 1) % 31], modulus=31, radix=3)


def test_a_single_sign_is_never_consistent() -> None:
    assert not is_consistent([1], modulus=31, radix=3)
    assert not is_consistent([], modulus=31, radix=3)


@pytest.mark.parametrize(
    ("values", "modulus", "radix", "signs", "words"),
    [
        ([], 31, 3, 1, "at least one sign"),
        ([31], 31, 3, 1, "0 to 30"),
        ([-1], 31, 3, 1, "0 to 30"),
        ([1], 1, 3, 1, "modulus"),
        ([1], 31, 31, 1, "radix < modulus"),
        ([1], 31, 3, 3, "check_signs"),
    ],
)
def test_nonsense_is_refused(
    values: list[int], modulus: int, radix: int, signs: int, words: str
) -> None:
    with pytest.raises(InputError, match=words):
        check_value(values, modulus=modulus, radix=radix, check_signs=signs)
