"""From what a scanner types to a lot or a unit: a code as printed, in any case, or our address."""

from __future__ import annotations

import re
from collections.abc import Collection
from urllib.parse import unquote, urlsplit

from pinset.chain.lotcode import LONGEST, SHORTEST, UnitRef, read_code
from pinset.errors import InputError

LONGEST_TEXT = 300
LONGEST_SHOWN = 40
_ADDRESS = re.compile(r"[a-z][a-z0-9+.-]*://", re.IGNORECASE)
_SIGNS = re.compile(rf"[0-9A-Z]{{{SHORTEST},{LONGEST + 2}}}(/[0-9A-Z]*)?", re.IGNORECASE)
_PATHS = re.compile(r"/(?:scan|books/lots)/([^/]+)(?:/([0-9]+))?/?", re.IGNORECASE)


class ForeignError(InputError):
    """Another code than that of a label of a farm."""


def label_text(text: str, ours: Collection[str] = ()) -> UnitRef:
    """Return what a label says.

    Parameters
    ----------
    text : str
        As it was typed or scanned: ``7K4MV``, ``7k4mv/12``, or an address of these pages that ends
        in it.
    ours : collection of str
        Names of the servers that show this farm, in lower case, with the port where there is one.

    Returns
    -------
    UnitRef
        A lot or one unit; whether the farm has it is not asked here.

    Raises
    ------
    ForeignError
        If it is another address, or nothing like a lot code.
    InputError
        If it is like a lot code and cannot be one.

    Examples
    --------
    >>> from pinset.chain.lotcode import encode
    >>> code = encode(7)
    >>> str(label_text(f"http://farm.local/scan/{code.lower()}/3", {"farm.local"})) == f"{code}/3"
    True
    """
    plain = text.strip()[:LONGEST_TEXT]
    if _ADDRESS.match(plain):
        plain = _of_address(plain, ours)
    if not _SIGNS.fullmatch("".join(plain.split())):
        raise _foreign(text)
    return read_code(plain)


def _of_address(address: str, ours: Collection[str]) -> str:
    """Return the code at the end of one of our own addresses."""
    try:
        parts = urlsplit(address)
    except ValueError:  # such as an unclosed bracket
        raise _foreign(address) from None
    found = _PATHS.fullmatch(unquote(parts.path))
    if parts.netloc.lower() not in ours or found is None:
        raise _foreign(address)
    return found[1] if found[2] is None else f"{found[1]}/{found[2]}"


def _foreign(text: str) -> ForeignError:
    return ForeignError(
        "label",
        text.strip()[:LONGEST_SHOWN],
        "the code of a label of this farm, such as 7K4MV or 7K4MV/12",
        "Another code was read; hold the label's alone, or type the code in large type.",
    )
