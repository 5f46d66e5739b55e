"""The letters that are printed with, and what is done with a sign they lack.

Source Sans Pro, SIL Open Font License 1.1, which lets it be embedded in documents; the package
``font-source-sans-pro`` brings it. It covers the languages of Europe written in Latin, Greek and
Cyrillic letters, and Vietnamese. Another sign is printed as the nearest plain letters, else as a
question mark.
"""

from __future__ import annotations

import unicodedata
from functools import cache

from font_source_sans_pro import font_files_ttf
from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont

PLAIN, BOLD = "SourceSansPro", "SourceSansProBold"
NO_BREAK, SOFT_HYPHEN = "\u00a0", "\u00ad"
HYPHENS = frozenset({"\u2010", "\u2011"})


@cache
def ready() -> frozenset[int]:
    """Make the letters known to reportlab; return the code points they cover."""
    plain, bold = (TTFont(name, font_files_ttf[name]) for name in (PLAIN, BOLD))
    pdfmetrics.registerFont(plain)
    pdfmetrics.registerFont(bold)
    pdfmetrics.registerFontFamily(PLAIN, normal=PLAIN, bold=BOLD, italic=PLAIN, boldItalic=BOLD)
    return frozenset(plain.face.charToGlyph) & frozenset(bold.face.charToGlyph)


def printable(text: str) -> str:
    """Return a text in signs that can be printed; line ends and tabs become spaces.

    Examples
    --------
    >>> printable("Łódź, Ελλάδα, Київ: 20 °C")
    'Łódź, Ελλάδα, Київ: 20 °C'
    >>> printable("Ⅻ 中")
    'XII ?'
    """
    known = ready()
    return "".join(_printable(sign, known) for sign in unicodedata.normalize("NFC", text))


def _printable(sign: str, known: frozenset[int]) -> str:
    if sign.isspace():
        return sign if sign == NO_BREAK else " "
    if sign == SOFT_HYPHEN:
        return ""
    if ord(sign) in known:
        return sign
    if sign in HYPHENS:
        return "-"
    plain = "".join(
        each for each in unicodedata.normalize("NFKD", sign) if not unicodedata.combining(each)
    )
    if plain and all(ord(each) in known for each in plain):
        return plain
    return "" if unicodedata.category(sign) in {"Cc", "Cf", "Mn"} else "?"
