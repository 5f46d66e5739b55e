"""What a scanner types and a photo shows: lots in hand, or clear words and what may be meant."""

from __future__ import annotations

from io import BytesIO

import pytest
import segno
from PIL import Image

from farm.small_farm import NOW, Taps
from pinset.chain.lotcode import encode
from pinset.errors import InputError
from pinset.farm import door, trade
from pinset.farm.trade import Taken
from pinset.services.floor.label_text import ForeignError, label_text
from pinset.services.floor.reading import read_photo, read_texts
from pinset.services.floor.records import Held


def photo(text: str) -> bytes:
    """Return a QR code of a text as a PNG."""
    out = BytesIO()
    segno.make(text, error="q").save(out, kind="png", scale=8, border=4)
    return out.getvalue()


@pytest.mark.parametrize("form", ["{0}", " {1} ", "{0}/12", "{1}/12", "{2}"])
def test_a_code_is_read_in_any_case_and_with_blanks(form: str) -> None:
    code = encode(41)
    spaced = f"{code[:3]} {code[3:]}"
    read = label_text(form.format(code, code.lower(), spaced))
    assert read.lot == code
    assert read.unit == (12 if "/12" in form else None)


@pytest.mark.parametrize("path", ["/scan/{}", "/scan/{}/", "/scan/{}/12/", "/books/lots/{}/"])
def test_our_own_address_is_taken_for_its_code(path: str) -> None:
    code = encode(41)
    read = label_text(f"http://Farm.local:8000{path.format(code.lower())}", {"farm.local:8000"})
    assert read.lot == code
    assert read.unit == (12 if "/12" in path else None)


@pytest.mark.parametrize(
    "text",
    [
        "https://example.org/scan/{}",
        "http://farm.local/elsewhere/{}",
        "http://farm.local:9/scan/{}",
        "http://[farm/scan/{}",
        "WIFI:S:guest;P:{};;",
        "a bar code, 4006381333931",
        "?",
    ],
)
def test_another_code_is_refused_as_such(text: str) -> None:
    with pytest.raises(ForeignError, match="label of this farm"):
        label_text(text.format(encode(41)), {"farm.local"})


def test_a_slip_is_no_foreign_code() -> None:
    code = encode(41)
    wrong = code[:-1] + ("2" if code[-1] != "2" else "3")
    with pytest.raises(InputError, match="lot code") as refused:
        label_text(wrong)
    assert not isinstance(refused.value, ForeignError)


def test_lots_are_taken_in_hand_in_the_order_they_came(stock: dict[str, str]) -> None:
    read = read_texts([stock["grain"].lower(), "  ", f"{stock['plate']}/3", stock["grain"]])
    assert read.unread == ()
    assert read.held == (Held(stock["grain"]), Held(stock["plate"], (3,)), Held(stock["grain"]))


def test_one_wrong_sign_offers_the_lot_that_is_meant(stock: dict[str, str]) -> None:
    code = stock["grain"]
    wrong = code[:-1] + ("2" if code[-1] != "2" else "3")
    [unread] = read_texts([f"{wrong}/4"]).unread
    assert "cannot be right" in unread.sentence
    assert f"{code}/4" in unread.near


def test_a_code_no_lot_has_is_told_from_a_slip(stock: dict[str, str]) -> None:  # noqa: ARG001
    [unread] = read_texts([encode(9_000)]).unread
    assert unread.sentence == f"No lot of this farm has the code {encode(9_000)}."


def test_a_unit_the_lot_never_had(stock: dict[str, str]) -> None:
    [unread] = read_texts([f"{stock['grain']}/21"]).unread
    assert unread.sentence == f"Lot {stock['grain']} has 20 units: there is no number 21."
    assert unread.near == (stock["grain"],)
    [unread] = read_texts([f"{stock['grain']}/0"]).unread
    assert "unit number" in unread.sentence


def test_a_lot_that_is_gone_says_where_it_went(stock: dict[str, str], tap: Taps) -> None:
    code = stock["grain"]
    gone = [
        trade.lose(tap(hours=-9), Taken(code, 4, "inc-1"), cause="green mould"),
        trade.cull(tap(hours=-8), Taken(code, 16, "inc-1"), cause="dropped"),
    ]
    door.record(gone, now=NOW)
    [unread] = read_texts([code]).unread
    assert unread.lot == code
    assert unread.sentence == (
        f"Lot {code}: nothing of it is alive, of 20 units 4 lost to contamination and 16 taken out."
    )
    assert "count them again" in unread.hint


def test_too_many_at_once_are_said(stock: dict[str, str]) -> None:
    read = read_texts([stock["grain"]] * 103)
    assert len(read.held) == 100
    assert read.unread[0].sentence.startswith("3 more codes came")


def test_a_photo_is_read(stock: dict[str, str]) -> None:
    assert read_photo(photo(f"{stock['block']}/7")).held == (Held(stock["block"], (7,)),)
    address = photo(f"http://farm.local/scan/{stock['block']}/")
    assert read_photo(address, {"farm.local"}).held == (Held(stock["block"]),)


def test_a_photo_of_another_code_or_of_none(stock: dict[str, str]) -> None:
    [foreign] = read_photo(photo("https://example.org/menu")).unread
    assert "is no label of this farm" in foreign.sentence
    code = stock["grain"]
    wrong = code[:-1] + ("2" if code[-1] != "2" else "3")
    [slip] = read_photo(photo(wrong)).unread
    assert code in slip.near
    blank = BytesIO()
    Image.new("L", (600, 400), 200).save(blank, "JPEG")
    [unread] = read_photo(blank.getvalue()).unread
    assert unread.sentence == "Nothing could be read: a photo without a code."
    assert "closer" in unread.hint
    [unread] = read_photo(b"no picture").unread
    assert "no whole picture" in unread.sentence
