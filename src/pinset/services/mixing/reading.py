"""Shares, moistures, analyses and prices of a mix as people type them.

Everything that is a share is typed in percent, with the sign or without.
"""

from __future__ import annotations

import re
from math import isfinite

from pinset.errors import InputError
from pinset.science.air.ranges import Range
from pinset.science.mixing.ingredients import nitrogen_from_protein
from pinset.science.mixing.moisture import moisture_of_sample
from pinset.services.words import weighed_in
from pinset.units import Quantity, parse

PERCENT = 100.0
LITRE_M3 = 1e-3
_SPAN = re.compile(r"(.+?)(?:-|–|to)(.+)")
_PROTEIN = re.compile(r"(.+?)%?\s*(?:crude\s+)?protein", re.IGNORECASE)


def percent(text: str, field: str, most: float = PERCENT, accepted: str = "") -> float:
    """Return a share typed in percent, as a fraction.

    Raises
    ------
    InputError
        Unless it is a number from 0 to ``most`` percent.
    """
    value = _number(text.strip().removesuffix("%"))
    if value is None or not 0.0 <= value <= most:
        raise InputError(field, text, accepted or f"a number from 0 to {most:g} %")
    return value / PERCENT


def number(text: str, field: str, accepted: str) -> float:
    """Return a number that is 0 or more.

    Raises
    ------
    InputError
        Unless it is.
    """
    value = _number(text)
    if value is None or value < 0.0:
        raise InputError(field, text, accepted)
    return value


def _number(text: str) -> float | None:
    try:
        value = float(text.strip().replace(",", "."))
    except ValueError:
        return None
    return value if isfinite(value) else None


def moisture(text: str, field: str) -> float:
    """Return a moisture: ``39 %``, or a sample wet and dry, ``120/73``, of the wet weight.

    Raises
    ------
    InputError
        If it is none, if it could be a fraction or a percentage, or a sample is heavier dry.

    Examples
    --------
    >>> round(moisture("10 g / 2.3 g", "moisture"), 3)
    0.77
    """
    if "/" in text:
        return _of_sample(text, field)
    value = percent(text, field, accepted="0 % up to below 100 % of the wet weight, such as 39 %")
    if value >= 1.0:
        raise InputError(field, text, "0 % up to below 100 % of the wet weight")
    if 0.0 < value < 1.0 / PERCENT and "%" not in text:
        bare = text.strip()
        hint = f"{bare} could be a fraction. Write {PERCENT * PERCENT * value:g} % or {bare} %."
        raise InputError(field, text, "per cent of the wet weight, such as 39 %", hint)
    return value


def _of_sample(text: str, field: str) -> float:
    before, _, after = text.partition("/")
    wet = parse(Quantity.MASS, before, "g", field)
    dry = parse(Quantity.MASS, after, "g", field)
    try:
        return moisture_of_sample(wet, dry)
    except InputError as problem:
        accepted = "a sample's weight wet, then dry, such as 120/73; dry it weighs no more than wet"
        raise InputError(field, text, accepted, problem.hint) from None


def nitrogen(text: str, field: str) -> Range:
    """Return an analysis: ``2.6``, ``2.3-3.1`` or ``16.5 % protein``, of dry mass.

    Raises
    ------
    InputError
        If it is none.
    """
    accepted = "percent of dry mass, such as 2.6, or 2.3-3.1, or 16 % protein"
    protein = _PROTEIN.fullmatch(text.strip())
    if protein is not None:
        return Range.exactly(nitrogen_from_protein(percent(protein[1], field, accepted=accepted)))
    return span(text, field, 50.0, accepted)


def span(text: str, field: str, most: float, accepted: str) -> Range:
    """Return one number or two, ``1-4``, in percent, as fractions.

    Raises
    ------
    InputError
        If it is none, or the first is the larger.
    """
    found = _SPAN.fullmatch(text.strip())
    ends = (found[1], found[2]) if found else (text, text)
    low, high = (percent(each, field, most, accepted) for each in ends)
    if low > high:
        raise InputError(field, text, accepted, "The lower number stands first.")
    return Range(low, (low + high) / 2.0, high)


def mass(text: str, field: str, system: str) -> float:
    """Return a mass in kg above 0; a bare number counts in kg or lb.

    Raises
    ------
    InputError
        If it is none.
    """
    unit = weighed_in(system)
    value = parse(Quantity.MASS, text, unit, field)
    if not value > 0.0:
        raise InputError(field, text, f"more than 0 {unit}")
    return value


def mass_or_none(text: str, field: str, system: str) -> float:
    """Return a mass in kg, 0 or more.

    Raises
    ------
    InputError
        If it is none.
    """
    unit = weighed_in(system)
    value = parse(Quantity.MASS, text, unit, field)
    if not value >= 0.0:
        raise InputError(field, text, f"0 {unit} or more")
    return value


def water(text: str, field: str, system: str) -> float:
    """Return water in kg, typed in litres, gallons or by its weight; a litre weighs 1 kg.

    Raises
    ------
    InputError
        If it is none.
    """
    try:
        value = parse(Quantity.MASS, text, "", field)
    except InputError:
        unit = "gal" if system == "us" else "L"
        value = parse(Quantity.VOLUME, text, unit, field) / LITRE_M3
    if not value >= 0.0:
        raise InputError(field, text, "0 or more")
    return value


def price(text: str, field: str, system: str) -> float:
    """Return money per kg as it lies there: ``0.32`` a kg or lb, or ``14/20 kg``.

    Raises
    ------
    InputError
        If it is none.
    """
    unit = weighed_in(system)
    accepted = f"money for a {unit}, 0 or more, or such as 14/20 {unit}"
    money, stroke, weight = text.partition("/")
    amount = weight if stroke else "1"
    return number(money, field, accepted) / mass(amount, field, system)


def whole(text: str, field: str, most: int = 1_000_000) -> int:
    """Return a whole number from 1.

    Raises
    ------
    InputError
        If it is none.
    """
    typed = text.strip()
    if not (typed.isascii() and typed.isdigit() and 1 <= int(typed[:12]) <= most):
        raise InputError(field, text, f"a whole number from 1 to {most}")
    return int(typed)
