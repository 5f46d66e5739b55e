"""Reading lot codes off a photo: what is read, in which order, and why something is not."""

from __future__ import annotations

from io import BytesIO

import numpy as np
import pytest
import segno
import zxingcpp
from hypothesis import given
from hypothesis import strategies as st
from PIL import Image

from pinset.chain.lotcode import UnitRef, encode
from pinset.files.label_photo import MOST_BYTES, PhotoError, PhotoFault, codes_on_photo

LOT = encode(7)
UNIT = f"{encode(8)}/12"
GREY = 150


def qr(text: str, module_px: int = 8) -> Image.Image:
    """Return a QR code with its quiet zone."""
    made = segno.make(text, micro=False, error="q")
    dark = np.array([[0 if cell else 255 for cell in row] for row in made.matrix], np.uint8)
    return Image.fromarray(
        np.kron(np.pad(dark, 4, constant_values=255), np.ones((module_px,) * 2, np.uint8))
    )


def photo(*texts: str, size: tuple[int, int] = (1200, 900), module_px: int = 8) -> Image.Image:
    """Return a grey table with codes on it, three beside each other."""
    table = Image.new("L", size, GREY)
    codes = [qr(text, module_px) for text in texts]
    step = max(code.width for code in codes) + 30
    for i, code in enumerate(codes):
        table.paste(code, (20 + i % 3 * step, 20 + i // 3 * step))
    return table


def stored(picture: Image.Image, form: str = "JPEG", **more: object) -> bytes:
    out = BytesIO()
    picture.save(out, form, **more)
    return out.getvalue()


def fault_of(data: bytes) -> PhotoError:
    with pytest.raises(PhotoError) as problem:
        codes_on_photo(data)
    return problem.value


@pytest.mark.parametrize("form", ["JPEG", "PNG", "WEBP"])
def test_a_lot_and_a_unit_are_read_from_every_form(form: str) -> None:
    found = codes_on_photo(stored(photo(LOT, UNIT), form))
    assert found.codes == (UnitRef(LOT), UnitRef(encode(8), 12))
    assert found.foreign == found.doubtful == ()


@pytest.mark.parametrize("mode", ["1", "L", "RGB", "RGBA", "LA", "P", "CMYK"])
def test_whatever_its_colours(mode: str) -> None:
    form = "TIFF" if mode == "CMYK" else "PNG"
    data = stored(photo(LOT).convert(mode), "JPEG" if form == "TIFF" else form)
    assert codes_on_photo(data).codes == (UnitRef(LOT),)


def test_a_code_on_glass_is_read_as_on_white() -> None:
    """Black on nothing: what shows through counts as white."""
    code = qr(LOT)
    clear = Image.new("LA", code.size, (0, 0))
    clear.putalpha(code.point(lambda grey: 255 - grey))
    assert codes_on_photo(stored(clear, "PNG")).codes == (UnitRef(LOT),)


def test_codes_come_in_the_order_of_reading_and_each_once() -> None:
    lots = [encode(i * 311) for i in range(6)]
    found = codes_on_photo(stored(photo(*lots[:5], lots[0])))
    assert found.codes == tuple(UnitRef(lot) for lot in lots[:5])


@pytest.mark.parametrize("turn", [90, 180, 270])
def test_a_photo_may_lie_on_its_side(turn: int) -> None:
    data = stored(photo(LOT).rotate(turn, expand=True))
    assert codes_on_photo(data).codes == (UnitRef(LOT),)


def test_on_a_large_photo_small_codes_beside_a_large_one_are_found() -> None:
    """Half size alone would miss the small ones."""
    table = Image.new("L", (4000, 3000), GREY)
    table.paste(qr(LOT, 20), (200, 200))
    small = [encode(i) for i in range(50, 62)]
    for i, lot in enumerate(small):
        table.paste(qr(lot, 3), (1500 + i % 6 * 150, 400 + i // 6 * 200))
    assert set(codes_on_photo(stored(table)).codes) == {UnitRef(lot) for lot in (LOT, *small)}


def test_beside_a_code_of_ours_others_are_told_not_refused() -> None:
    wrong = LOT[:-1] + ("2" if LOT[-1] != "2" else "3")
    found = codes_on_photo(stored(photo(LOT, "https://example.org/a", wrong)))
    assert found.codes == (UnitRef(LOT),)
    assert found.foreign == ("https://example.org/a",)
    assert found.doubtful == (wrong,)


@pytest.mark.parametrize("text", ["https://example.org/some/page", "WIFI:S:barn;;", "7k4mv lot"])
def test_a_foreign_code_is_called_so(text: str) -> None:
    problem = fault_of(stored(photo(text)))
    assert problem.fault is PhotoFault.FOREIGN
    assert text[:40] in str(problem)
    assert "label of this farm" in str(problem)


def test_a_bar_code_is_foreign_too() -> None:
    bars = zxingcpp.create_barcode("4006381333931", zxingcpp.BarcodeFormat.EAN13)
    table = Image.new("L", (1200, 900), 255)
    table.paste(Image.fromarray(np.array(bars.to_image(scale=4))), (100, 100))
    problem = fault_of(stored(table, "PNG"))
    assert problem.fault is PhotoFault.FOREIGN
    assert "bar code" in str(problem)


@given(st.integers(0, 31**4 - 1), st.integers(0, 4), st.integers(1, 30))
def test_a_code_with_one_wrong_sign_is_refused_and_never_mended(
    number: int, place: int, further: int
) -> None:
    signs = "23456789ABCDEFGHJKMNPQRSTUVWXYZ"
    code = encode(number)
    other = signs[(signs.index(code[place]) + further) % 31]
    wrong = code[:place] + other + code[place + 1 :]
    problem = fault_of(stored(photo(wrong, size=(300, 300)), "PNG"))
    assert problem.fault is PhotoFault.WRONG_SIGN
    assert wrong in str(problem)
    assert "type it" in problem.hint


@pytest.mark.parametrize("picture", [
    Image.new("L", (1200, 900), GREY),
    photo(LOT).reduce(8),
    Image.fromarray(np.random.Generator(np.random.PCG64(1)).integers(0, 255, (900, 1200),
                                                                     dtype=np.uint8)),
])  # fmt: skip
def test_without_a_code_one_is_asked_for_a_better_photo(picture: Image.Image) -> None:
    problem = fault_of(stored(picture))
    assert problem.fault is PhotoFault.UNREADABLE
    assert "closer" in problem.hint


def test_a_damaged_code_is_called_damaged() -> None:
    table = np.array(photo(LOT, module_px=12))
    table[20 + 150 : 20 + 240, 20 + 150 : 20 + 240] = 255
    table[20 + 48 + 7 * 12 : 20 + 48 + 15 * 12, 20 + 48 + 7 * 12 : 20 + 48 + 15 * 12] = 128
    problem = fault_of(stored(Image.fromarray(table)))
    assert problem.fault is PhotoFault.UNREADABLE
    assert "damaged" in str(problem)


@pytest.mark.parametrize("data", [
    b"", b"no picture at all", b"\xff\xd8\xff\xe0 cut short", b"%PDF-1.4", b"GIF89a" + b"\0" * 40,
    stored(photo(LOT))[:2000], stored(photo(LOT), "PNG")[:300],
])  # fmt: skip
def test_what_is_no_whole_picture_is_refused_in_words(data: bytes) -> None:
    problem = fault_of(data)
    assert problem.fault is PhotoFault.NO_PICTURE
    assert "JPEG" in problem.accepted


def test_a_form_that_is_not_read_says_what_to_set() -> None:
    problem = fault_of(b"\0\0\0\x18ftypheic" + b"\0" * 200)
    assert problem.fault is PhotoFault.NO_PICTURE
    assert "most compatible" in problem.hint


def test_a_picture_that_would_fill_the_memory_is_refused_unread() -> None:
    huge = stored(Image.new("1", (20_000, 20_000)), "PNG")
    assert len(huge) < 1_000_000
    assert "60 million" in str(fault_of(huge))
    assert "bytes" in str(fault_of(b"\0" * (MOST_BYTES + 1)))


@given(st.binary(max_size=400))
def test_no_bytes_break_it(data: bytes) -> None:
    assert fault_of(data).fault is PhotoFault.NO_PICTURE
