"""Lot codes as people type them, checked before anything is recorded with them."""

from __future__ import annotations

from pinset.chain.lotcode import nearest_valid, read_code
from pinset.errors import InputError
from pinset.farm.glance import glance
from pinset.farm.queries.lots import KnownCodes

MOST_NEAR = 4


def named_lot(typed: str, field: str = "lot code") -> str:
    """Return the code of the lot of this farm that was typed.

    Parameters
    ----------
    typed : str
        The code, in any case and with blanks.
    field : str
        The input by the name the reader knows.

    Raises
    ------
    InputError
        If the code has a slip or no lot has it; the hint names the nearest codes of the farm.
    """
    known = KnownCodes()
    try:
        code = read_code(typed, known=known).lot
    except InputError as slip:
        raise InputError(field, typed, slip.accepted, slip.hint) from None
    if code in glance({code}):
        return code
    near = nearest_valid(code, known)[:MOST_NEAR]
    hint = f"Did you mean {' or '.join(near)}?" if near else "Check the code on the label."
    raise InputError(field, typed, "the code of a lot of this farm", hint)
