"""A photo as it is kept: looked at again as a picture, made small, without what a camera adds.

What a camera writes beside the picture (place, time, its own number) is not kept.
"""

from __future__ import annotations

import re
from io import BytesIO

from PIL import Image, ImageOps

from pinset.errors import InputError

MOST_BYTES = 20_000_000
MOST_PIXELS = 60_000_000
LONGEST_PX = 1600
QUALITY = 82
FORMATS = ("JPEG", "PNG", "WEBP")
ACCEPTED = "a picture as JPEG, PNG or WebP, up to 20 MB and 60 million pixels"

_BEGINS = (
    re.compile(rb"\xff\xd8\xff"),  # JPEG: ITU-T T.81, annex B
    re.compile(rb"\x89PNG\r\n\x1a\n"),  # PNG: ISO/IEC 15948, section 5.2
    re.compile(rb"RIFF....WEBP", re.DOTALL),  # WebP: RFC 9649, section 2.4
)
_APPLE = re.compile(rb"....ftyp(heic|heix|hevc|mif1|msf1|avif)", re.DOTALL)


def small_photo(data: bytes) -> bytes:
    """Return a photo as it is kept: JPEG, upright, at most 1,600 px long.

    Parameters
    ----------
    data : bytes
        What was handed in: JPEG, PNG or WebP, told by its first bytes and then read as a whole.

    Raises
    ------
    InputError
        If it is no such picture, a damaged one, or too large.
    """
    if not 0 < len(data) <= MOST_BYTES:
        raise InputError("photo", f"a file of {len(data) / 1e6:.1f} MB", ACCEPTED)
    if not any(begin.match(data) for begin in _BEGINS):
        hint = "Send another, or none."
        if _APPLE.match(data[:16]):
            hint = "Set the camera to the most compatible format (JPEG)."
        raise InputError("photo", "a file that is no such picture", ACCEPTED, hint)
    try:
        return _redrawn(data)
    except (Image.DecompressionBombError, Image.DecompressionBombWarning) as problem:
        raise _too_many_pixels() from problem
    except (OSError, SyntaxError, ValueError) as problem:  # all that the reader of pictures raises
        hint = "Take it again, or send none."
        raise InputError("photo", "a damaged picture", ACCEPTED, hint) from problem


def _redrawn(data: bytes) -> bytes:
    with Image.open(BytesIO(data), formats=FORMATS) as opened:
        if opened.width * opened.height > MOST_PIXELS:
            raise _too_many_pixels()
        opened.draft("RGB", (LONGEST_PX, LONGEST_PX))  # a JPEG is then read at a smaller size
        upright = ImageOps.exif_transpose(opened)
    if upright.has_transparency_data:
        white = Image.new("RGBA", upright.size, "white")
        upright = Image.alpha_composite(white, upright.convert("RGBA"))
    picture = upright.convert("RGB")
    picture.thumbnail((LONGEST_PX, LONGEST_PX))
    out = BytesIO()
    Image.frombytes("RGB", picture.size, picture.tobytes()).save(out, "JPEG", quality=QUALITY)
    return out.getvalue()


def _too_many_pixels() -> InputError:
    hint = "Take it with a smaller setting of the camera."
    return InputError("photo", "a picture with too many pixels", ACCEPTED, hint)
