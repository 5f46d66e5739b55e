"""A number that may carry a unit, in the unit of its column."""

from __future__ import annotations

import re
from decimal import ROUND_HALF_UP, Decimal

from pinset.errors import InputError
from pinset.files.numbers import as_decimal, read_number
from pinset.units import accepted_units, convert, parse

_WITH_UNIT = re.compile(r"([+-]?[0-9.,][0-9.,'\u2019 \xa0\u2009\u202f]*)([^0-9.,'\u2019\s+-].*)")
_LARGEST = 10**30

_UNIT_NAMES = {"days": "d", "hours": "h", "minutes": "min"}
"""Column units by their names in `pinset.units`, where those differ."""


def split_unit(text: str) -> tuple[str, str]:
    """Return the number and the unit of a text; the unit is empty if there is none."""
    found = _WITH_UNIT.fullmatch(text.strip())
    if not found or re.match(r"[eE][+-]?[0-9]", found[2]):
        return text.strip(), ""
    return found[1].strip(), found[2].strip()


def amount(
    cell: str | float,
    *,
    unit: str,
    quantity: str,
    step: Decimal | None = None,
    comma_is_decimal: bool = False,
) -> Decimal:
    """Return the amount of a cell in ``unit``, exact where no conversion is needed.

    A converted amount is rounded to ``step`` where one is given (whole grams: a thousandth of a
    kilogram).

    Raises
    ------
    InputError
        If it is no number, or carries a unit that is not one of ``quantity``; the field is the id
        of the finding (number, number-ambiguous, unit), ``accepted`` the units that are.
    """
    if not isinstance(cell, str):
        if isinstance(cell, int) and abs(cell) > _LARGEST:
            raise InputError("number", "a number of very many digits", "")
        number = as_decimal(cell)
        if not number.is_finite():
            raise InputError("number", cell, "")
        return number
    text, given_unit = split_unit(cell)
    if not given_unit:
        return read_number(text, comma_is_decimal=comma_is_decimal)
    if not quantity:
        raise InputError("unit", cell, "", "Write the number alone.")
    is_one = not any(sign.isdigit() and sign not in "²³" for sign in given_unit)
    if is_one:
        number = read_number(text, comma_is_decimal=comma_is_decimal)
        given = f"{number:f} {given_unit}"
    else:  # several parts, such as 2 h 35 min
        given = cell
    name = _UNIT_NAMES.get(unit, unit)
    try:
        converted = convert(quantity, parse(quantity, given), name)
    except InputError:
        units = accepted_units(quantity)
        raise InputError(
            "unit", cell, f"in {units}", f"“{given_unit}” is no unit of {quantity}."
        ) from None
    if is_one and parse(quantity, f"1 {given_unit}") == parse(quantity, f"1 {name}"):
        return number
    exact = Decimal(f"{converted:.12g}")
    return exact.quantize(step, ROUND_HALF_UP) if step and abs(exact) < _LARGEST else exact
