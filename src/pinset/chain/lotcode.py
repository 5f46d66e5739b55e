"""Lot codes: how they are issued, checked, read from a label and mended.

A code is four or more signs of an alphabet of 31 (2 to 9 and A to Z without I, L, O) and one check
sign by a pure system with modulus 31 and radix 3: ``7K4MV``. A unit is its lot and a number:
``7K4MV/12``. Every single wrong sign, every swap of neighbours and every swap across one sign is
caught, because 31 is prime and neither 3 nor 3 squared leaves 1 when divided by 31.

Codes are issued from a running number. A fixed permutation scatters them, so that two lots made
one after the other do not have look-alike codes; when one length is used up, codes grow by a sign.
"""

from __future__ import annotations

from collections.abc import Container, Iterator
from dataclasses import dataclass
from itertools import product

from pinset.chain.checksigns import check_value, is_consistent
from pinset.errors import InputError

ALPHABET = "23456789ABCDEFGHJKMNPQRSTUVWXYZ"
"""The 31 signs, in the order of their values 0 to 30."""

MODULUS = 31
RADIX = 3
SHORTEST = 4
"""Fewest signs before the check sign."""

LONGEST = 12
"""Most signs before the check sign; 31**12 lots are more than anybody will make."""

_VALUE = {sign: value for value, sign in enumerate(ALPHABET)}

# The permutation: multiply, turn the digits round, multiply again. Both factors are odd primes
# other than 31, so each step has an inverse for every length.
_FACTORS = (571_787, 394_789)
_SHIFT = 104_729

_LOOKS_LIKE = {
    "0": "QD869C",
    "O": "QDC869",
    "1": "7J4TY",
    "I": "J7TY4",
    "L": "7JE2C",
}
"""Signs that never stand in a code, each with the signs it is most often taken for."""

_EASILY_TAKEN = (
    "2Z",
    "5S",
    "8B",
    "6G",
    "UV",
    "VW",
    "VY",
    "QD",
    "MN",
    "PR",
    "EF",
    "CG",
    "KX",
    "4A",
    "38",
    "9P",
    "7T",
    "HN",
    "JU",
)
"""Pairs easily taken for one another in handwriting; common practice, no source."""


@dataclass(frozen=True, slots=True)
class UnitRef:
    """A lot, or one unit of it: what a scanned or typed label says."""

    lot: str
    unit: int | None = None  # None: the whole lot

    def __str__(self) -> str:
        """Return the form printed on labels."""
        return self.lot if self.unit is None else f"{self.lot}/{self.unit}"


def _values(signs: str) -> list[int]:
    return [_VALUE[sign] for sign in signs]


def check(payload: str) -> str:
    """Return the check sign of a code without one.

    Raises
    ------
    InputError
        If there are fewer than four signs, or a sign is not in the alphabet.

    Examples
    --------
    >>> "7K4M" + check("7K4M") == encode(decode("7K4M" + check("7K4M")))
    True
    """
    if not SHORTEST <= len(payload) <= LONGEST or any(sign not in _VALUE for sign in payload):
        raise InputError("lot code", payload, f"{SHORTEST} to {LONGEST} signs of {ALPHABET}")
    return ALPHABET[check_value(_values(payload), modulus=MODULUS, radix=RADIX)]


def is_valid(code: str) -> bool:
    """Return whether a text is a lot code exactly as it is printed."""
    if not SHORTEST < len(code) <= LONGEST + 1 or any(sign not in _VALUE for sign in code):
        return False
    return is_consistent(_values(code), modulus=MODULUS, radix=RADIX)


def _turned(number: int, length: int) -> int:
    """Return the number with its `length` digits of base 31 in the opposite order."""
    turned = 0
    for _ in range(length):
        number, digit = divmod(number, MODULUS)
        turned = turned * MODULUS + digit
    return turned


def encode(number: int) -> str:
    """Return the code of the n-th lot, counted from 0.

    Parameters
    ----------
    number : int
        The running number of the lot, 0 or more. [-]

    Returns
    -------
    str
        The code with its check sign; five signs for the first 923,521 lots, then six, and so on.

    Raises
    ------
    InputError
        If the number is negative or beyond all lengths.

    Examples
    --------
    >>> decode(encode(41))
    41
    """
    rest, length = number, SHORTEST
    while rest >= MODULUS**length and length <= LONGEST:
        rest -= MODULUS**length
        length += 1
    if number < 0 or length > LONGEST:
        raise InputError("lot number", number, "a whole number from 0 on")
    size = MODULUS**length
    scattered = (rest * _FACTORS[0] + _SHIFT * length) % size
    scattered = _turned(scattered, length) * _FACTORS[1] % size
    signs = ""
    for _ in range(length):
        scattered, digit = divmod(scattered, MODULUS)
        signs = ALPHABET[digit] + signs
    return signs + check(signs)


def decode(code: str) -> int:
    """Return the running number of a code: the inverse of :func:`encode`.

    Raises
    ------
    InputError
        If the code is not valid.
    """
    if not is_valid(code):
        raise InputError("lot code", code, "a code with a right check sign, such as 7K4MV")
    length = len(code) - 1
    size: int = MODULUS**length
    number = 0
    for value in _values(code[:-1]):
        number = number * MODULUS + value
    number = _turned(number * pow(_FACTORS[1], -1, size) % size, length)
    number = (number - _SHIFT * length) * pow(_FACTORS[0], -1, size) % size
    shorter: int = sum(MODULUS**signs for signs in range(SHORTEST, length))
    return number + shorter


def _put(text: str, i: int, sign: str) -> str:
    return text[:i] + sign + text[i + 1 :]


def _foreign_signs_read(text: str) -> Iterator[str]:
    """Yield readings of a text that holds signs no code contains."""
    foreign = [i for i, sign in enumerate(text) if sign not in _VALUE]
    if len(foreign) == 1:  # any sign may have been meant: the check sign settles it
        i = foreign[0]
        looks = _LOOKS_LIKE.get(text[i], "")
        for sign in looks + "".join(s for s in ALPHABET if s not in looks):
            yield _put(text, i, sign)
        yield _put(text, i, "")
        return
    options = [sign if sign in _VALUE else _LOOKS_LIKE.get(sign, "") for sign in text]
    yield from ("".join(signs) for signs in product(*options))


def _swapped(text: str, apart: int) -> Iterator[str]:
    for i in range(len(text) - apart):
        yield _put(_put(text, i, text[i + apart]), i + apart, text[i])


def _easily_taken(text: str) -> Iterator[str]:
    for pair in _EASILY_TAKEN:
        one, other = pair[0], pair[1]
        for wrong, right in ((one, other), (other, one)):
            yield from (_put(text, i, right) for i, sign in enumerate(text) if sign == wrong)


def _one_slip_away(text: str) -> Iterator[str]:
    """Yield the texts one slip away, the likeliest slips first."""
    if not SHORTEST <= len(text) <= LONGEST + 2:
        return
    if any(sign not in _VALUE for sign in text):
        yield from _foreign_signs_read(text)
        return
    yield from _easily_taken(text)
    yield from _swapped(text, 1)
    yield from _swapped(text, 2)
    places = range(len(text))
    yield from (_put(text, i, sign) for i in places for sign in ALPHABET)
    yield from (_put(text, i, "") for i in places)
    yield from (text[:i] + sign + text[i:] for i in (*places, len(text)) for sign in ALPHABET)


def candidates(text: str) -> tuple[str, ...]:
    """Return the valid codes one slip away from a text, likeliest slips first.

    A slip is one wrong sign, two signs swapped (neighbours or across one), a sign missing, a sign
    too many, or signs that no code contains (0, O, 1, I, L). The text itself is not among them.
    Ask the ledger which of these exist before showing any.
    """
    plain = _tidy(text)
    found = dict.fromkeys(
        code for code in _one_slip_away(plain) if code != plain and is_valid(code)
    )
    return tuple(found)


def nearest_valid(code: str, known: Container[str]) -> tuple[str, ...]:
    """Return the known codes one slip away from a text, likeliest first.

    Parameters
    ----------
    code : str
        What was typed.
    known : container of str
        The farm's codes; only ``in`` is asked of it.

    Returns
    -------
    tuple of str
        Empty if no known code is one slip away.

    Examples
    --------
    >>> code = encode(5)
    >>> nearest_valid(code[:-1] + "0", {code, encode(6)}) == (code,)
    True
    """
    return tuple(candidate for candidate in candidates(code) if candidate in known)


def _tidy(text: str) -> str:
    return "".join(text.split()).upper()


def read_code(text: str, *, known: Container[str] | None = None) -> UnitRef:
    """Return the lot, or the unit of a lot, that a typed or scanned text names.

    Lower case and spaces are accepted. A text with a slip is refused, never mended silently: the
    message names the signs no code contains and the nearest valid codes.

    Parameters
    ----------
    text : str
        ``7K4MV``, ``7k4mv`` or ``7K4MV/12``.
    known : container of str, optional
        The farm's codes; with them only codes that exist are suggested.

    Returns
    -------
    UnitRef
        The lot code as printed, and the unit number if one was given.

    Raises
    ------
    InputError
        If the code has a slip or is no code at all, or the unit is not a whole number from 1.
    """
    lot, slash, unit = _tidy(text).partition("/")
    if not is_valid(lot):
        raise InputError(
            "lot code", text, "a code such as 7K4MV, or 7K4MV/12 for one unit", _hint(lot, known)
        )
    if not slash:
        return UnitRef(lot)
    if not (unit.isascii() and unit.isdigit()) or int(unit) < 1:
        raise InputError("unit number", unit, "a whole number from 1 after the slash")
    return UnitRef(lot, int(unit))


def _hint(lot: str, known: Container[str] | None) -> str:
    never = sorted({sign for sign in lot if sign in _LOOKS_LIKE})
    parts = [f"No code contains {' or '.join(never)}."] if never else []
    near = candidates(lot) if known is None else nearest_valid(lot, known)
    if near:
        parts.append(f"Nearest valid: {', '.join(near[:4])}.")
    return " ".join(parts)
