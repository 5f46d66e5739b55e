"""What is typed when the size of a farm is asked for, read."""

from __future__ import annotations

from math import isfinite

from pinset.errors import InputError
from pinset.planning.sizing.records import PICKED, Wanted
from pinset.services.frame import frame
from pinset.services.words import weighed_in
from pinset.units import Quantity, parse

GRAMS = 1000.0
__all__ = ["Wanted", "count_of", "read_units", "read_weight", "weight_of"]


def weight_of(text: str, field: str) -> float:
    """Return a weight in grams, typed in the farm's unit or with its own; 0 if nothing was typed.

    Raises
    ------
    InputError
        If it is no weight, or negative.
    """
    if not text.strip():
        return 0.0
    unit = weighed_in(frame().units)
    value = parse(Quantity.MASS, text, unit, field)
    if not (isfinite(value) and value >= 0.0):
        raise InputError(field, text, f"0 {unit} a week or more")
    return value * GRAMS


def count_of(text: str, field: str) -> float:
    """Return units a week; 0 if nothing was typed.

    Raises
    ------
    InputError
        If it is no number, or negative.
    """
    accepted = "a number of units a week, 0 or more"
    typed = text.strip().replace(",", ".")
    try:
        value = float(typed) if typed else 0.0
    except ValueError:
        raise InputError(field, text, accepted) from None
    if not (isfinite(value) and value >= 0.0):
        raise InputError(field, text, accepted)
    return value


def read_weight(text: str) -> Wanted:
    """Return ``oyster=12`` read.

    Raises
    ------
    InputError
        If there is no variety or no weight in it.
    """
    variety, sign, amount = text.partition("=")
    if not (variety.strip() and sign and amount.strip()):
        raise InputError("--variety", text, "CODE=KG, such as oyster=12")
    return Wanted(variety.strip(), weight_of(amount, f"--variety {variety.strip()}"))


def read_units(text: str) -> Wanted:
    """Return ``oyster:grain=10`` read.

    Raises
    ------
    InputError
        If there is no variety, no step or no number in it.
    """
    left, sign, amount = text.partition("=")
    variety, colon, step = (part.strip() for part in left.partition(":"))
    if not (variety and colon and step and sign and amount.strip()) or step == PICKED:
        raise InputError("--units", text, "CODE:STEP=N, such as oyster:grain=10")
    return Wanted(variety, count_of(amount, f"--units {left}"), step)
