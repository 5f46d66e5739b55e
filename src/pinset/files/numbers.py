"""Numbers as people and spreadsheets write them, exact and without guessing."""

from __future__ import annotations

import re
from decimal import Decimal

from pinset.errors import InputError

MOST_SIGNS = 40

_PLAIN = re.compile(r"[+-]?[0-9]+(\.[0-9]*)?([eE][+-]?[0-9]{1,3})?|[+-]?\.[0-9]+")
_GROUPED = {
    ",": re.compile(r"[+-]?[0-9]{1,3}(,[0-9]{3})+(\.[0-9]+)?"),
    ".": re.compile(r"[+-]?[0-9]{1,3}(\.[0-9]{3})+(,[0-9]+)?"),
    " ": re.compile(r"[+-]?[0-9]{1,3}( [0-9]{3})+([.,][0-9]+)?"),
    "'": re.compile(r"[+-]?[0-9]{1,3}('[0-9]{3})+([.,][0-9]+)?"),
}
_COMMA = re.compile(r"[+-]?[0-9]*,[0-9]+")
_EITHER = re.compile(r"[+-]?[1-9][0-9]{0,2},[0-9]{3}")


def read_number(text: str, *, comma_is_decimal: bool = False) -> Decimal:
    """Return the number a text stands for.

    A dot is the decimal sign, and so is a comma where that is the only reading: ``2,5`` is 2.5 and
    ``1.234,5`` is 1234.5. ``1,234`` could be either and is refused, unless the file parts its
    columns by semicolons, as programs do where the comma is the decimal sign.

    Raises
    ------
    InputError
        If the text is no number, or one that can be read in two ways; the field is the id.
    """
    text = text.strip().replace("\u2212", "-")
    for space in "\xa0\u2009\u202f":
        text = text.replace(space, " ")
    text = text.replace("\u2019", "'")
    if len(text) > MOST_SIGNS:
        raise InputError("number", text, "a number")
    if _PLAIN.fullmatch(text):
        return Decimal(text)
    if _EITHER.fullmatch(text) and not comma_is_decimal:
        plain = text.replace(",", "")
        raise InputError(
            "number-ambiguous",
            text,
            f"{plain} or {text.replace(',', '.')}",
            f"It could be {plain} or {text.replace(',', '.')}: write one of the two.",
        )
    if _COMMA.fullmatch(text):
        return Decimal(text.replace(",", "."))
    for sign, pattern in _GROUPED.items():
        if pattern.fullmatch(text):
            return Decimal(text.replace(sign, "").replace(",", "."))
    raise InputError("number", text, "a number")


def as_decimal(value: float) -> Decimal:
    """Return the number as it is printed: 0.1 is one tenth."""
    return Decimal(repr(value)) if isinstance(value, float) else Decimal(value)


def plain_number(value: Decimal) -> str:
    """Return a number in plain digits, or with an exponent where those would be very many."""
    text = format(value, "f")
    if len(text) > MOST_SIGNS:
        return format(value.normalize(), "E")
    if "." in text:
        text = text.rstrip("0").rstrip(".")
    return "0" if text in {"-0", ""} else text
