"""A word that is none of those known is refused with what is near, and with all that fit."""

from __future__ import annotations

import pytest

from pinset.errors import InputError
from pinset.services.named import did_you_mean, one_of

KNOWN = ["green-dust", "grey-threads", "Fridge"]


def test_a_word_that_is_known_is_returned() -> None:
    assert one_of("sign", "Fridge", KNOWN) == "Fridge"


def test_what_is_near_is_named_whatever_the_case() -> None:
    with pytest.raises(InputError, match=r"green-dust, grey-threads, Fridge.*mean Fridge\?$"):
        one_of("room", "FRIDG", KNOWN)


@pytest.mark.parametrize("given", ["", "zzz", "\x00", "9" * 10_000])
def test_nothing_is_named_where_nothing_is_near(given: str) -> None:
    assert did_you_mean(given, KNOWN) == ""


def test_where_none_is_known_it_says_so() -> None:
    with pytest.raises(InputError, match="none yet"):
        one_of("variety", "grey", [])
