"""Reads the lot codes on a photo of labels, as a telephone or tablet hands it in.

A photo is read at half size first, which settles nearly every one; then at full size, and if there
is still nothing, softened, sharpened and without its speckles. What was read is held against the
check sign: a code with a slip is refused and never mended.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum
from io import BytesIO
from math import hypot

import zxingcpp
from PIL import Image, ImageFilter

from pinset.chain.lotcode import LONGEST, SHORTEST, UnitRef, read_code
from pinset.errors import InputError

MOST_BYTES = 40_000_000
MOST_PIXELS = 60_000_000
FORMATS = ("JPEG", "PNG", "WEBP")
SHARP_PX = 1400  # longer sides are halved for the first try
SMALL_PX = 84  # side of a code at half size; near one so small others may have been missed
AGAIN_PX = 1600  # pictures are brought to at most this for the later tries
LONGEST_SHOWN = 40
_QR = zxingcpp.BarcodeFormat.QRCode
_ONLY_QR = zxingcpp.BarcodeFormats(_QR)
_CODE_LIKE = re.compile(rf"[0-9A-Z]{{{SHORTEST + 1},{LONGEST + 1}}}(/[0-9A-Z]*)?")
_APPLE = re.compile(rb"....ftyp(heic|heix|hevc|mif1|msf1|avif)", re.DOTALL)


class PhotoFault(StrEnum):
    """Why a photo gave no code."""

    NO_PICTURE = "no picture"  # the file is none, or too large
    UNREADABLE = "unreadable"  # no code was found on it, or only a damaged one
    FOREIGN = "foreign"  # a code that no label of a farm carries
    WRONG_SIGN = "wrong check sign"  # a lot code that cannot be right

    @property
    def is_text(self) -> bool:
        """Say whether what was given is the text of a code that was read."""
        return self in {PhotoFault.FOREIGN, PhotoFault.WRONG_SIGN}


class PhotoError(InputError):
    """A photo that gives no lot code; ``fault`` says why."""

    def __init__(self, fault: PhotoFault, given: str, accepted: str, hint: str) -> None:
        self.fault = fault
        super().__init__("photo", given, accepted, hint)


@dataclass(frozen=True, slots=True)
class PhotoCodes:
    """What a photo of labels says."""

    codes: tuple[UnitRef, ...]  # each once, as one reads: from above, from the left
    foreign: tuple[str, ...] = ()  # other QR codes on it, cut to forty signs
    doubtful: tuple[str, ...] = ()  # lot codes whose check sign is wrong


@dataclass(frozen=True, slots=True)
class _Found:
    text: str
    row: float
    left: float


def codes_on_photo(data: bytes) -> PhotoCodes:
    """Return the lots and units whose labels are on a photo.

    Parameters
    ----------
    data : bytes
        A picture as JPEG, PNG or WebP, up to 60 million pixels. It may lie on its side.

    Returns
    -------
    PhotoCodes
        At least one code; beside it what else was read and is no code of a farm.

    Raises
    ------
    PhotoError
        If it is no picture, nothing can be read on it, or what was read is no sound lot code.
    """
    picture = _opened(data)
    found, is_damaged = _read(picture)
    if not found:
        raise _unreadable(picture, is_damaged=is_damaged)
    codes: dict[UnitRef, None] = {}
    foreign: list[str] = []
    doubtful: list[str] = []
    for each in found:
        try:
            codes[read_code(each.text)] = None
        except InputError:
            is_like = _CODE_LIKE.fullmatch(each.text) is not None
            (doubtful if is_like else foreign).append(each.text[:LONGEST_SHOWN])
    if not codes:
        raise _no_code(foreign, doubtful)
    return PhotoCodes(tuple(codes), tuple(foreign), tuple(doubtful))


def _opened(data: bytes) -> Image.Image:
    """Return the picture in shades of grey."""
    accepted = "a picture as JPEG, PNG or WebP"
    if not 0 < len(data) <= MOST_BYTES:
        given = f"a file of {len(data)} bytes"
        raise PhotoError(PhotoFault.NO_PICTURE, given, f"{accepted}, up to 40 MB", "")
    try:
        opened = Image.open(BytesIO(data), formats=FORMATS)
        if opened.width * opened.height > MOST_PIXELS:
            raise _too_large()
        if opened.has_transparency_data:
            white = Image.new("RGBA", opened.size, "white")
            return Image.alpha_composite(white, opened.convert("RGBA")).convert("L")
        opened.draft("L", opened.size)  # a JPEG then gives its grey part alone
        return opened.convert("L")
    except PhotoError:
        raise
    except (Image.DecompressionBombError, Image.DecompressionBombWarning) as problem:
        raise _too_large() from problem
    except (OSError, SyntaxError, ValueError) as problem:  # all that the reader of pictures raises
        hint = "Send it again."
        if _APPLE.match(data[:16]):
            hint = "Set the camera to the most compatible format (JPEG), or type the code."
        given = "a file that is no whole picture"
        raise PhotoError(PhotoFault.NO_PICTURE, given, accepted, hint) from problem


def _too_large() -> PhotoError:
    return PhotoError(
        PhotoFault.NO_PICTURE,
        "a picture with too many pixels",
        "a picture of up to 60 million pixels",
        "Take it with a smaller setting of the camera.",
    )


def _read(picture: Image.Image) -> tuple[tuple[_Found, ...], bool]:
    """Return the QR codes on a picture, and whether there was a damaged one instead."""
    is_damaged = False
    for tried in _tries(picture):
        sound = []
        for each in zxingcpp.read_barcodes(tried, formats=_ONLY_QR, return_errors=True):
            if each.valid:
                sound.append(each)
            else:
                is_damaged = True
        is_half = tried.width < picture.width and tried.width * 2 >= picture.width - 1
        if sound and not (is_half and min(map(_side, sound)) < SMALL_PX):
            return _in_order(sound), is_damaged
    return (), is_damaged


def _tries(picture: Image.Image) -> Iterator[Image.Image]:
    longest = max(picture.size)
    if longest > SHARP_PX:
        yield picture.reduce(2)
    yield picture
    small = picture.reduce(-(-longest // AGAIN_PX)) if longest > AGAIN_PX else picture
    yield small.filter(ImageFilter.GaussianBlur(1.2))
    large = small.resize((small.width * 2, small.height * 2), Image.Resampling.BICUBIC)
    yield large.filter(ImageFilter.UnsharpMask(radius=3, percent=180, threshold=0))
    yield small.filter(ImageFilter.MedianFilter(3))


def _side(code: zxingcpp.Barcode) -> float:
    at = code.position
    return hypot(at.bottom_left.x - at.top_left.x, at.bottom_left.y - at.top_left.y)


def _in_order(sound: list[zxingcpp.Barcode]) -> tuple[_Found, ...]:
    high = max(1.0, min(map(_side, sound)))
    found = [
        _Found(
            each.text,
            round((each.position.top_left.y + each.position.bottom_right.y) / 2 / high),
            each.position.top_left.x,
        )
        for each in sound
    ]
    return tuple(sorted(found, key=lambda each: (each.row, each.left)))


def _unreadable(picture: Image.Image, *, is_damaged: bool) -> PhotoError:
    small = picture.reduce(-(-max(picture.size) // AGAIN_PX))
    others = zxingcpp.read_barcodes(small)
    if any(each.valid and each.format != _QR for each in others):
        return _no_code([f"a bar code, {others[0].text[:LONGEST_SHOWN]}"], [])
    given = "a photo with a damaged or blurred code" if is_damaged else "a photo without a code"
    return PhotoError(
        PhotoFault.UNREADABLE,
        given,
        "a sharp photo with the whole label on it",
        "Take it again closer, straight on and without glare, or type the code.",
    )


def _no_code(foreign: list[str], doubtful: list[str]) -> PhotoError:
    accepted = "the QR code of a label of this farm"
    if doubtful:
        return PhotoError(
            PhotoFault.WRONG_SIGN,
            doubtful[0],
            f"{accepted} with a right check sign",
            "It cannot be right: compare the code in large type and type it.",
        )
    return PhotoError(
        PhotoFault.FOREIGN, foreign[0], accepted, "Another code was read; hold the label's alone."
    )
