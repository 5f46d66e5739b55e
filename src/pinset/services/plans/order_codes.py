"""The code under which spawn on order stands among the lots: ``order 955fce``."""

from __future__ import annotations

ORDER = "order "
SIGNS = 6
"""Signs of the order's id in its code."""


def code_of_order(client_id: str) -> str:
    """Return the code of an order."""
    return f"{ORDER}{client_id[:SIGNS]}"


def is_order(code: str) -> bool:
    """Say whether a code is one of an order, not of a lot."""
    return code.startswith(ORDER)


def start_of_order(code: str) -> str:
    """Return the first signs of the id of the order that has this code."""
    return code.removeprefix(ORDER)
