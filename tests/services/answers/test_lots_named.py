"""A lot code typed by hand is a lot of the farm, or the nearest ones are named."""

from __future__ import annotations

import pytest

from pinset.chain.lotcode import encode
from pinset.errors import InputError
from pinset.services.answers.lots_named import named_lot


def test_a_code_in_any_case(stock: dict[str, str]) -> None:
    code = stock["plate"]
    assert named_lot(f" {code.lower()} ") == code


def test_a_slip_names_the_nearest(stock: dict[str, str]) -> None:
    code = stock["plate"]
    with pytest.raises(InputError, match=code) as caught:
        named_lot(f"{code[:-1]}0", "other-lots")
    assert caught.value.field == "other-lots"


@pytest.mark.usefixtures("stock")
def test_a_valid_code_nobody_has() -> None:
    with pytest.raises(InputError, match="the code of a lot of this farm"):
        named_lot(encode(900_000))
