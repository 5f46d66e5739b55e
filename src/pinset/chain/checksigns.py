"""Check signs by the pure systems of ISO 7064: one function for every modulus and radix.

A pure system gives each sign of a string a value and a weight (a power of the radix, 1 for the
last sign) and chooses the check sign so that the weighted sum leaves 1 when divided by the
modulus. The standard names systems by the two numbers: 11-2, 37-2, 97-10. Lot codes use the same
construction with modulus 31 and radix 3 (:mod:`pinset.chain.lotcode`).
"""

from __future__ import annotations

from collections.abc import Sequence

from pinset.errors import InputError


def _weighted_sum(values: Sequence[int], modulus: int, radix: int) -> int:
    total = 0
    for value in values:
        total = (total * radix + value) % modulus
    return total


def _refuse_bad_system(values: Sequence[int], modulus: int, radix: int) -> None:
    if not 1 < radix < modulus:
        raise InputError(
            "modulus and radix", (modulus, radix), "whole numbers with 1 < radix < modulus"
        )
    for value in values:
        if not 0 <= value < modulus:
            raise InputError("values", value, f"whole numbers from 0 to {modulus - 1}")


def check_value(values: Sequence[int], *, modulus: int, radix: int, check_signs: int = 1) -> int:
    """Return the value of the check sign (or signs, read as one number) of a string.

    Parameters
    ----------
    values : sequence of int
        Values of the signs, first sign first, each from 0 to ``modulus - 1``. [-]
    modulus, radix : int
        The two numbers that name the system. [-]
    check_signs : int
        How many signs carry the check; 2 for system 97-10. [-]

    Returns
    -------
    int
        With one check sign from 0 to ``modulus - 1``; with two from 2 to ``modulus + 1``, the
        form the standard computes for 97-10 (98 less the remainder).

    Raises
    ------
    InputError
        If there are no values, one is out of range, or the system makes no sense.

    Notes
    -----
    The check ``c`` solves ``S * radix**check_signs + c = 1 (mod modulus)`` with ``S`` the
    weighted sum of the values [1]_. Any string of signs is accepted; there is no upper length.

    References
    ----------
    .. [1] ISO/IEC 7064:2003, sections 7 and 8 (pure systems).

    Examples
    --------
    >>> check_value([0, 7, 9, 4], modulus=11, radix=2)
    0
    >>> check_value([7, 9, 4], modulus=97, radix=10, check_signs=2)
    44
    """
    if not values:
        raise InputError("values", list(values), "at least one sign")
    if check_signs not in {1, 2}:
        raise InputError("check_signs", check_signs, "1 or 2")
    _refuse_bad_system(values, modulus, radix)
    shift: int = radix**check_signs
    shifted = _weighted_sum(values, modulus, radix) * shift % modulus
    return (1 - shifted) % modulus if check_signs == 1 else modulus + 1 - shifted


def is_consistent(values: Sequence[int], *, modulus: int, radix: int) -> bool:
    """Return whether a string of values, check included, satisfies its pure system.

    Parameters
    ----------
    values : sequence of int
        Values of all signs, the check sign or signs last. [-]
    modulus, radix : int
        The two numbers that name the system. [-]

    Returns
    -------
    bool
        True if the weighted sum leaves 1; False also for fewer than two signs.

    Raises
    ------
    InputError
        If a value is out of range or the system makes no sense.

    Examples
    --------
    >>> is_consistent([0, 7, 9, 4, 0], modulus=11, radix=2)
    True
    """
    _refuse_bad_system(values, modulus, radix)
    return len(values) > 1 and _weighted_sum(values, modulus, radix) == 1
