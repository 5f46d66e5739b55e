"""Numbers as loggers write them: which sign stands before the decimals, then column by column."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy import float64
from numpy.typing import NDArray

from pinset.files.logger.records import Guess, Sure

Values = NDArray[float64]

ENDLESS = 1e15  # no number of a log is larger; loggers write such where a probe is open

_WORDS = (
    "nan na n/a n.a. n/c nc null none nil inf -inf +inf infinity ol o.l o.l. +ol -ol ovl over "
    "+over -over under ovf overflow overload overrange underrange or ur lo hi open opn "
    "opencircuit short shrt burnout bout b.out err error fault fail failed invalid bad "
    "disconnected unplugged offline noprobe nosensor nosignal sensor fehler bruch drahtbruch "
    "sensorbruch fühlerbruch kurzschluss ungültig offen erreur coupure défaut ouvert errore "
    "guasto aperto abierto fallo avería erro aberto hhhh llll #n/a #na #value! #div/0! #ref! "
    "#num! #wert! #nv false true ? * ** *** **** ##### #### ### -.- -.-- --.- --.-- x unavailable "
    "unknown"
)
FAULT_WORDS = frozenset(_WORDS.split())
"""What loggers and spreadsheets write where a probe gives nothing; compared without spaces."""

_UNIT = re.compile(
    r"(?<=[\d.,])\s*((?:°|º|˚|deg\.?\s?)\s?[CFK]|[CFK]|℃|℉|(?:m|k|M|h)?(?:bar|Pa)|psi[ga]?|%)$"
)
_DASHES = re.compile(r"[-–—_.]{1,8}")
_LOOSE = re.compile(
    r"[+\-\u2212]?(?:\d[\d.,'’\u0020\xa0\u2009\u202f]*|[.,]\d+)(?:[eE][+\-]?\d{1,3})?"
)
_EITHER = re.compile(r"[+-]?[1-9]\d{0,2}[.,]\d{3}")
_ONE_SIGN = re.compile(r"[+-]?\d*([.,])\d*(?:[eE][+-]?\d{1,3})?")
_GROUPS = re.compile(r"[+-]?\d{1,3}([.,'\s])\d{3}(?:\1\d{3})*(?:([.,])\d+)?")
_SPACES = str.maketrans({"\xa0": " ", "\u2009": " ", "\u202f": " ", "\u2212": "-", "’": "'"})


@dataclass(frozen=True, slots=True, eq=False)
class NumberColumn:
    """A column of cells read as numbers: ``values`` has shape (n,), NaN where there is none."""

    values: Values
    blanks: tuple[int, ...] = ()  # which cells are empty
    faults: tuple[tuple[int, str], ...] = ()  # cells that say that the probe gives nothing
    texts: tuple[tuple[int, str], ...] = ()  # cells that are no number
    others: tuple[tuple[int, str], ...] = ()  # read with the other decimal sign


def is_fault(cell: str) -> bool:
    """Return True for what loggers write where a probe gives nothing."""
    word = "".join(cell.split()).casefold()
    return word in FAULT_WORDS or bool(_DASHES.fullmatch(word))


def is_like_number(cell: str) -> bool:
    """Return True for what could be a number under some habit, with a unit or without."""
    return bool(_LOOSE.fullmatch(_UNIT.sub("", cell.strip()).strip()))


def cell_unit(cell: str) -> str:
    """Return the unit that follows the number in a cell, or an empty text."""
    found = _UNIT.search(cell.strip())
    return found[1] if found else ""


def decide_decimal(cells: Iterable[str], separator: str) -> Guess[str]:
    """Return the sign before the decimals, decided from many cells of a file."""
    votes = {".": 0, ",": 0}
    either = {".": 0, ",": 0}
    for cell in cells:
        text = _UNIT.sub("", cell.strip()).strip().translate(_SPACES)
        if "." not in text and "," not in text:
            continue
        if _EITHER.fullmatch(text):
            either[text[-4]] += 1
        elif sign := _decimal_of(text):
            votes[sign] += 1
    if votes["."] != votes[","]:
        sign = max(votes, key=lambda each: votes[each])
        other = "," if sign == "." else "."
        if votes[other]:
            return Guess(sign, Sure.UNSURE, "most numbers have it, but not all")
        return Guess(sign, Sure.LIKELY, "the numbers can only be read so")
    return _by_habit(either, separator)


def _decimal_of(text: str) -> str:
    """Return the decimal sign of a number that has one reading only, or an empty text."""
    if found := _ONE_SIGN.fullmatch(text):
        return str(found[1])
    grouped = _GROUPS.fullmatch(text)
    if not grouped:
        return ""
    group, decimal = grouped.groups()
    if decimal and decimal != group:
        return str(decimal)
    return {".": ",", ",": "."}.get(group, "")


def _by_habit(either: dict[str, int], separator: str) -> Guess[str]:
    """Return the decimal sign where every number with a sign has three digits after it."""
    if either[","] and not either["."]:
        return Guess(",", Sure.UNSURE, "numbers such as 1,234 could also be thousands")
    if either["."] and not either[","] and separator == ";":
        return Guess(".", Sure.UNSURE, "numbers such as 1.234 could also be thousands")
    if either["."]:
        return Guess(".", Sure.LIKELY, "nothing speaks for a comma")
    sign = "," if separator == ";" else "."
    return Guess(sign, Sure.LIKELY, "there are no decimals; usual for such files")


def read_numbers(cells: Sequence[str], decimal: str) -> NumberColumn:
    """Return a column of n cells read as numbers with a decimal sign of ``.`` or ``,``."""
    joined = "\n".join(cells)
    other = "," if decimal == "." else "."
    if other not in joined and "_" not in joined:
        plain = joined.replace(",", ".").split("\n") if decimal == "," else cells
        try:
            values = np.array(list(map(float, plain)), dtype=float64)
        except ValueError:
            pass
        else:
            if np.all(np.abs(values) < ENDLESS):
                return NumberColumn(values)
    return _cell_by_cell(cells, decimal)


def _cell_by_cell(cells: Sequence[str], decimal: str) -> NumberColumn:
    values = np.full(len(cells), np.nan)
    blanks: list[int] = []
    faults: list[tuple[int, str]] = []
    texts: list[tuple[int, str]] = []
    others: list[tuple[int, str]] = []
    known: dict[str, float | None] = {}
    for index, cell in enumerate(cells):
        text = cell.strip()
        if text not in known:
            known[text] = read_number(text, decimal)
        value = known[text]
        if value is not None:
            values[index] = value
            if _is_other(text, decimal):
                others.append((index, text))
        elif not text:
            blanks.append(index)
        elif is_fault(text) or _is_endless(text):
            faults.append((index, text))
        else:
            texts.append((index, text))
    return NumberColumn(values, tuple(blanks), tuple(faults), tuple(texts), tuple(others))


def read_number(cell: str, decimal: str) -> float | None:
    """Return the number of one cell, or None if it is none.

    A comma where a dot is the decimal sign, and the other way round, parts thousands if three
    digits follow, and decimals if another number of digits does.
    """
    text = _UNIT.sub("", cell.strip()).strip().translate(_SPACES)
    other = "," if decimal == "." else "."
    if other in text or " " in text or "'" in text:
        grouped = _GROUPS.fullmatch(text)
        if grouped and grouped[1] != decimal and grouped[2] in {None, decimal}:
            text = text.replace(grouped[1], "")
        elif not (text.count(other) == 1 and decimal not in text and _ONE_SIGN.fullmatch(text)):
            return None
        else:
            text = text.replace(other, decimal)
    if "_" in text or not text:
        return None
    try:
        value = float(text.replace(",", "."))
    except ValueError:
        return None
    return value if abs(value) < ENDLESS else None


def _is_other(text: str, decimal: str) -> bool:
    other = "," if decimal == "." else "."
    if other not in text or decimal in text:
        return False
    return not _GROUPS.fullmatch(_UNIT.sub("", text).strip().translate(_SPACES))


def _is_endless(text: str) -> bool:
    try:
        return not abs(float(text)) < ENDLESS
    except ValueError:
        return False


def decimals(cell: str, decimal: str) -> int:
    """Return how many digits follow the decimal sign of a cell."""
    return len(cell.strip().partition(decimal)[2])
