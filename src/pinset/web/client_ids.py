"""The random id a form carries, so that a tap sent twice is one entry."""

from __future__ import annotations

import re
import secrets

from pinset.errors import InputError

FORM = re.compile(r"[0-9a-f]{32}")


def new_client_id() -> str:
    """Return 32 random hexadecimal signs; one per form and rendering."""
    return secrets.token_hex(16)


def read_client_id(given: str) -> str:
    """Return the id a form sent.

    Raises
    ------
    InputError
        If it is not 32 hexadecimal signs.
    """
    if not FORM.fullmatch(given):
        raise InputError(
            "form id",
            given,
            "32 hexadecimal signs, as the page wrote them",
            "Open the page again and repeat the tap.",
        )
    return given
