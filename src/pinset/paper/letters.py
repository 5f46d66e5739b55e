"""The letters that are printed with, and what is done with a sign they lack.

Bitstream Vera, as it comes with reportlab: its licence lets it be embedded. It covers the languages
of western Europe; another sign is printed as the nearest plain letters, else as a question mark.
"""

from __future__ import annotations

import unicodedata
from functools import cache

from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont

PLAIN, BOLD = "Vera", "VeraBd"


@cache
def ready() -> frozenset[int]:
    """Make the letters known to reportlab; return the code points they cover."""
    plain, bold = (TTFont(name, f"{name}.ttf") for name in (PLAIN, BOLD))
    pdfmetrics.registerFont(plain)
    pdfmetrics.registerFont(bold)
    pdfmetrics.registerFontFamily(PLAIN, normal=PLAIN, bold=BOLD, italic=PLAIN, boldItalic=BOLD)
    return frozenset(plain.face.charToGlyph)


def printable(text: str) -> str:
    """Return a text in signs that can be printed.

    Examples
    --------
    >>> printable("Łódź 20 °C")
    'Łódz 20 °C'
    """
    known = ready()
    return "".join(_printable(sign, known) for sign in text)


def _printable(sign: str, known: frozenset[int]) -> str:
    if ord(sign) in known:
        return sign
    plain = "".join(
        each for each in unicodedata.normalize("NFKD", sign) if not unicodedata.combining(each)
    )
    return plain if plain and all(ord(each) in known for each in plain) else "?"
