"""Cells that hold numbers: with units, in whole numbers, as fractions."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, time
from decimal import Decimal
from typing import Any

from pinset.errors import InputError
from pinset.files.description.amounts import amount
from pinset.files.description.cells import CellError, cell_text
from pinset.files.description.sheet import Raw
from pinset.files.numbers import as_decimal, plain_number


@dataclass(frozen=True, slots=True)
class Number:
    """A number in the unit of its column; another unit of the same quantity is converted.

    ``scale`` is what one of the column's unit is in the unit of the record: a column in kilograms
    for a record in grams has 1000.
    """

    low: float
    high: float
    unit: str = ""  # as shown; empty: a plain number
    quantity: str = ""  # which other units it may carry
    scale: int = 1
    whole: bool = False  # the record holds whole numbers
    none: Any = 0
    above_low: bool = False  # the low end itself is not accepted

    @property
    def accepted(self) -> str:
        """What is accepted."""
        if self.scale > 1 and self.whole:
            kind = f"a number with at most {len(str(self.scale)) - 1} decimals"
        else:
            kind = "a whole number" if self.whole else "a number"
        unit = f" {self.unit}" if self.unit else ""
        low = plain_number(as_decimal(self.low))
        start = f"above {low} up" if self.above_low else f"from {low}"
        return f"{kind} {start} to {plain_number(as_decimal(self.high))}{unit}"

    def read(self, cell: Raw, *, comma_is_decimal: bool = False) -> int | float:
        """Return the number in the unit of the record."""
        number = _amount(cell, self, comma_is_decimal=comma_is_decimal)
        low, high = Decimal(repr(self.low)), Decimal(repr(self.high))
        if not low <= number <= high or (self.above_low and number == low):
            hint = "A number below zero makes no sense here." if number < 0 <= low else ""
            raise CellError("out-of-range", cell_text(cell), self.accepted, hint)
        value = number * self.scale
        if not self.whole:
            return float(value)
        if value != value.to_integral_value():
            raise CellError("not-whole", cell_text(cell), self.accepted)
        return int(value)

    def show(self, value: float) -> Raw:
        """Return the number in the unit of the column, exact."""
        return plain_number(as_decimal(value) / self.scale)


def _amount(cell: Raw, kind: Number | Fraction, *, comma_is_decimal: bool) -> Decimal:
    if isinstance(cell, (bool, date, time)):
        raise CellError("number", cell_text(cell), kind.accepted)
    unit, quantity, step = "", "", None
    if isinstance(kind, Number):
        unit, quantity = kind.unit, kind.quantity
        step = Decimal(1) / kind.scale if kind.whole else None
    try:
        return amount(
            cell, unit=unit, quantity=quantity, step=step, comma_is_decimal=comma_is_decimal
        )
    except InputError as error:
        also = f" ({error.accepted})" if error.accepted.startswith("in ") else ""
        raise CellError(
            error.field, cell_text(cell), f"{kind.accepted}{also}", error.hint
        ) from None


@dataclass(frozen=True, slots=True)
class Fraction:
    """A fraction from 0 to 1 or less, or a percentage with its sign."""

    none: float | None = 0.0
    high: float = 1.0

    @property
    def accepted(self) -> str:
        """What is accepted."""
        return (
            f"a fraction from 0 to {self.high:g}, such as 0.05, or a percentage with its sign, "
            "such as 5 %"
        )

    def read(self, cell: Raw, *, comma_is_decimal: bool = False) -> float:
        """Return the fraction."""
        text = cell_text(cell)
        percent = isinstance(cell, str) and text.endswith("%")
        bare = text.removesuffix("%") if percent else cell
        number = _amount(bare, self, comma_is_decimal=comma_is_decimal)
        value = number / 100 if percent else number
        if not 0 <= value <= Decimal(repr(self.high)):
            hint = f"Did you mean {text} %?" if 1 < number <= 100 and not percent else ""  # noqa: PLR2004
            raise CellError("out-of-range", text, self.accepted, hint)
        return float(value)

    def show(self, value: float) -> Raw:
        """Return the fraction."""
        return plain_number(as_decimal(value))
