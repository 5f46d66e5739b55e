from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pinset.chain.lotcode import (
    ALPHABET,
    UnitRef,
    candidates,
    check,
    decode,
    encode,
    is_valid,
    nearest_valid,
    read_code,
)
from pinset.errors import InputError

CODES = tuple(encode(n) for n in (*range(40), 12_345, 923_520, 923_521, 30_000_000))
"""A set of codes on which every slip is tried; the last two have six and seven signs."""


def test_alphabet_is_31_signs_without_look_alikes() -> None:
    assert len(ALPHABET) == len(set(ALPHABET)) == 31
    assert not set("01ILO") & set(ALPHABET)


def test_every_single_slip_is_caught() -> None:
    for code in CODES:
        for i in range(len(code)):
            for sign in ALPHABET:
                if sign != code[i]:
                    assert not is_valid(code[:i] + sign + code[i + 1 :])


def test_every_swap_of_neighbours_is_caught() -> None:
    for code in CODES:
        for i in range(len(code) - 1):
            swapped = code[:i] + code[i + 1] + code[i] + code[i + 2 :]
            assert swapped == code or not is_valid(swapped)


def test_every_jump_swap_is_caught() -> None:
    for code in CODES:
        for i in range(len(code) - 2):
            swapped = code[:i] + code[i + 2] + code[i + 1] + code[i] + code[i + 3 :]
            assert swapped == code or not is_valid(swapped)


def test_all_pairs_of_signs_are_told_apart_when_swapped() -> None:
    # Exhaustive over values, in every position of a code of six signs.
    for i in range(5):
        for a in range(31):
            for b in range(31):
                if a == b:
                    continue
                first = [4, 9, 16, 25, 5]
                first[i] = a
                second = [*first]
                if i < 4:
                    first[i + 1], second[i], second[i + 1] = b, b, a
                else:
                    second[i] = b
                signs = ["".join(ALPHABET[v] for v in values) for values in (first, second)]
                assert check(signs[0]) != check(signs[1])


def test_radix_3_beats_what_radix_2_of_the_same_modulus_does() -> None:
    # 2**5 = 1 (mod 31): with radix 2 signs five apart would have the same weight. With radix 3
    # the weights of thirty neighbouring places all differ.
    assert len({pow(3, place, 31) for place in range(30)}) == 30
    assert len({pow(2, place, 31) for place in range(30)}) == 5


def test_codes_have_five_signs_until_they_run_out_then_grow() -> None:
    assert len(encode(0)) == len(encode(31**4 - 1)) == 5
    assert len(encode(31**4)) == len(encode(31**4 + 31**5 - 1)) == 6
    assert len(encode(31**4 + 31**5)) == 7


def test_no_code_is_issued_twice() -> None:
    issued = [encode(n) for n in range(40_000)]
    assert len(set(issued)) == 40_000
    assert all(is_valid(code) for code in issued)


@given(st.integers(0, 31**4 + 31**5 + 31**6))
def test_number_and_code_go_both_ways(number: int) -> None:
    assert decode(encode(number)) == number


def test_lots_made_one_after_the_other_do_not_look_alike() -> None:
    pairs = [(encode(n), encode(n + 1)) for n in range(2_000)]
    same_places = [sum(a == b for a, b in zip(x, y, strict=True)) for x, y in pairs]
    assert max(same_places) <= 2
    assert sum(same_places) / len(same_places) < 0.6
    assert [x for x, _ in pairs] != sorted(x for x, _ in pairs)


@pytest.mark.parametrize("number", [-1, 31**13 * 2])
def test_numbers_outside_are_refused(number: int) -> None:
    with pytest.raises(InputError, match="lot number"):
        encode(number)


def test_code_with_a_slip_has_no_number() -> None:
    code = encode(7)
    with pytest.raises(InputError, match="right check sign"):
        decode(code[:-1] + ("2" if code[-1] != "2" else "3"))


@pytest.mark.parametrize("text", ["", "7K4", "7K4M0", "7k4mv ", "2" * 14])
def test_what_is_no_code(text: str) -> None:
    assert not is_valid(text)


@pytest.mark.parametrize("payload", ["7K4", "7K4O", "7K4L", "2" * 13])
def test_check_refuses_what_cannot_be_a_code(payload: str) -> None:
    with pytest.raises(InputError, match="signs of 2345"):
        check(payload)


def test_reading_takes_lower_case_spaces_and_units() -> None:
    code = encode(99)
    assert read_code(code) == UnitRef(code)
    assert read_code(f" {code.lower()} ") == UnitRef(code)
    assert read_code(f"{code.lower()} / 12") == UnitRef(code, 12)
    assert str(UnitRef(code, 12)) == f"{code}/12"
    assert str(UnitRef(code)) == code


@pytest.mark.parametrize("unit", ["0", "-1", "x", "", "1.5", "²"])
def test_unit_number_must_be_whole(unit: str) -> None:
    with pytest.raises(InputError, match="unit number"):
        read_code(f"{encode(99)}/{unit}")


@pytest.mark.parametrize("sign", list("01OIL"))
def test_signs_no_code_contains_are_named_and_never_mended_silently(sign: str) -> None:
    for code in CODES[:10]:
        for i in range(len(code)):
            typed = code[:i] + sign + code[i + 1 :]
            with pytest.raises(InputError) as caught:
                read_code(typed.lower(), known={code})
            assert f"No code contains {sign}." in str(caught.value)
            assert f"Nearest valid: {code}." in str(caught.value)


def test_two_foreign_signs_are_tried_by_what_they_look_like() -> None:
    code = next(c for c in map(encode, range(5_000)) if "Q" in c[:-1] and "7" in c[:-1])
    typed = code.replace("Q", "0").replace("7", "1")
    assert nearest_valid(typed, {code}) == (code,)


def test_every_slip_names_the_code_that_was_meant() -> None:
    known = set(CODES)
    for code in (*CODES[:3], CODES[-1]):
        slips = [code[:i] + sign + code[i + 1 :] for i in range(len(code)) for sign in ALPHABET]
        slips += [code[:i] + code[i + 1] + code[i] + code[i + 2 :] for i in range(len(code) - 1)]
        slips += [code[:i] + code[i + 1 :] for i in range(len(code))]
        slips += [code[:i] + "7" + code[i:] for i in range(len(code) + 1)]
        for slip in slips:
            if slip != code and slip not in known:
                assert code in nearest_valid(slip, known)


def test_suggestions_without_a_list_are_valid_and_do_not_hold_the_text_itself() -> None:
    code = encode(3)
    assert code not in candidates(code)
    assert all(is_valid(near) for near in candidates(code))
    with pytest.raises(InputError, match="Nearest valid: "):
        read_code(code[:-1] + ("2" if code[-1] != "2" else "3"))


def test_what_is_far_from_any_code_gets_no_suggestion() -> None:
    with pytest.raises(InputError) as caught:
        read_code("hello, world")
    assert "Nearest" not in str(caught.value)
    assert nearest_valid("", {encode(1)}) == ()


def test_likely_slips_come_first() -> None:
    code = next(c for c in map(encode, range(5_000)) if c[0] == "Z")
    assert candidates("2" + code[1:])[0] == code


def test_unchanged_first_codes() -> None:
    # Pinned: printed labels outlive the program, so the permutation must never change.
    assert [encode(n) for n in (0, 1, 2, 1000)] == ["MYGUA", "YTJAY", "SBQRW", "8YWCB"]
    assert encode(31**4) == "JJZ82Y"
