from __future__ import annotations

from io import BytesIO

import pytest
from PIL import Image

from pinset.errors import InputError
from pinset.files.photos.kept import LONGEST_PX, MOST_BYTES, small_photo


def picture(size: tuple[int, int] = (400, 300), form: str = "JPEG", **more: object) -> bytes:
    out = BytesIO()
    mode = "RGBA" if form != "JPEG" else "RGB"
    drawn = Image.new(mode, size, "olive")
    drawn.paste(Image.new(mode, (size[0] // 2, size[1] // 2), "white"))
    drawn.save(out, form, **more)
    return out.getvalue()


def read(data: bytes) -> Image.Image:
    return Image.open(BytesIO(data), formats=("JPEG",))


@pytest.mark.parametrize("form", ["JPEG", "PNG", "WEBP"])
def test_each_form_becomes_a_small_jpeg(form: str) -> None:
    kept = read(small_photo(picture((4000, 3000), form)))
    assert max(kept.size) == LONGEST_PX
    assert kept.size == (1600, 1200)
    red, green, blue = kept.getpixel((1500, 1100))
    assert abs(red - 128) < 6
    assert abs(green - 128) < 6
    assert blue < 8


def test_a_small_picture_is_not_made_larger() -> None:
    assert read(small_photo(picture((120, 90)))).size == (120, 90)


def test_what_the_camera_adds_is_gone_and_it_stands_upright() -> None:
    exif = Image.Exif()
    exif[0x010F] = "a maker of cameras"  # Exif 2.3, table 4: Make
    exif[0x0112] = 6  # turned by a quarter: Exif 2.3, table 4, Orientation
    exif.get_ifd(0x8825)[1] = "N"  # latitude: the place it was taken at
    data = picture((400, 300), exif=exif, comment=b"a remark")
    assert b"a maker of cameras" in data
    kept = small_photo(data)
    assert read(kept).size == (300, 400)
    assert not dict(read(kept).getexif())
    assert b"a maker of cameras" not in kept
    assert b"a remark" not in kept


def test_the_same_photo_is_kept_as_the_same_bytes() -> None:
    assert small_photo(picture()) == small_photo(picture())


@pytest.mark.parametrize(
    ("data", "words"),
    [
        (b"", "0.0 MB"),
        (b"GIF89a" + bytes(40), "no such picture"),
        (b"%PDF-1.7", "no such picture"),
        (b"<svg xmlns='http://www.w3.org/2000/svg'><script/></svg>", "no such picture"),
        (bytes(4) + b"ftypheic" + bytes(40), "most compatible format"),
        (b"\xff\xd8\xff" + b"not a picture at all", "damaged picture"),
        (picture()[:-200], "damaged picture"),
        (picture(form="PNG")[:60], "damaged picture"),
        (bytes(MOST_BYTES + 1), "20.0 MB"),
    ],
)
def test_what_is_no_photo_is_refused(data: bytes, words: str) -> None:
    with pytest.raises(InputError, match=words):
        small_photo(data)


def test_a_picture_of_too_many_pixels_is_refused_unread() -> None:
    out = BytesIO()
    Image.new("1", (30_000, 30_000)).save(out, "PNG")
    with pytest.raises(InputError, match="too many pixels"):
        small_photo(out.getvalue())
