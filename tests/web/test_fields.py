from __future__ import annotations

from datetime import date

import pytest
from django.test import RequestFactory
from django.utils import timezone

from pinset.errors import InputError
from pinset.web import fields
from pinset.web.formats import shown_in
from pinset.web.lots_used import lots_used
from web.shed import Shed


def _post(**values: str):  # noqa: ANN202  (a request as Django makes it)
    return RequestFactory().post("/", {name.replace("__", "-"): v for name, v in values.items()})


def test_nothing_typed_is_none() -> None:
    request = _post()
    for read in (fields.whole, fields.number, fields.weight, fields.day, fields.moment):
        assert read(request, "x") is None
    assert fields.text(request, "x") == ""


def test_good_values_are_read() -> None:
    assert fields.whole(_post(x=" 12 "), "x") == 12
    assert fields.number(_post(x="2,5"), "x") == 2.5
    assert fields.weight(_post(x="2,5"), "x") == 2500
    assert fields.weight(_post(x="650 g"), "x") == 650
    assert fields.day(_post(x="2026-03-12"), "x") == date(2026, 3, 12)
    with timezone.override("Europe/Vienna"):
        moment = fields.moment(_post(x="2026-07-01T10:30"), "x")
    assert moment is not None
    assert moment.isoformat() == "2026-07-01T10:30:00+02:00"


def test_a_bare_weight_is_in_the_farms_own_unit() -> None:
    with shown_in("us"):
        assert fields.weight(_post(x="12"), "x") == 5443
        assert fields.weight(_post(x="12 kg"), "x") == 12_000
        assert fields.weight(_post(x="6 lb 10 oz"), "x") == 3005
        with pytest.raises(InputError, match="22,046 lb"):
            fields.weight(_post(x="30000"), "x")
    with pytest.raises(InputError, match="10,000 kg"):
        fields.weight(_post(x="30000"), "x")


@pytest.mark.parametrize(
    ("read", "given"),
    [
        (fields.whole, "-1"),
        (fields.whole, "1.5"),
        (fields.whole, "٣"),
        (fields.whole, "9" * 30),
        (fields.number, "1e5"),
        (fields.number, "nan"),
        (fields.number, "-2"),
        (fields.weight, "0"),
        (fields.weight, "99999999"),
        (fields.day, "12.3.2026"),
        (fields.moment, "now"),
        (fields.text, "a\x00b"),
        (fields.text, "x" * 3000),
    ],
)
def test_what_is_not_accepted_is_named_with_what_is(read, given: str) -> None:  # noqa: ANN001
    with pytest.raises(InputError, match="accepted is") as refused:
        read(_post(x=given), "x")
    assert refused.value.field == "x"
    assert refused.value.accepted


def test_lots_used_come_from_the_fields_shown_and_from_what_is_typed(shed: Shed) -> None:
    plates, jars, blocks = shed.plates, shed.jars, shed.blocks
    request = _post(
        lots__shown="yes",
        **{f"lot__{plates}": "2", "lot__9H3RA": "0"},
        other__lots=f"{jars.lower()} 3; {blocks}=1",
    )
    assert lots_used(request) == ((plates, 2), (jars, 3), (blocks, 1))


def test_nothing_differs_nothing_is_sent() -> None:
    assert lots_used(_post()) == ()
    assert lots_used(_post(lot__4CWF9="2")) == (), "the fields were not shown"


@pytest.mark.parametrize("typed", ["4CWF9", "three jars", "4CWF9 -2", "4CWF9 2 2"])
def test_other_lots_need_a_code_and_a_number(typed: str) -> None:
    with pytest.raises(InputError, match="4CWF9 3"):
        lots_used(_post(other__lots=typed))
