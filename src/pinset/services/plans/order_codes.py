"""The code under which spawn on order stands among the lots: ``order 955fce``.

Once a part of it has arrived, what is still expected says after how many units: ``order 955fce+2``.
"""

from __future__ import annotations

ORDER = "order "
AFTER = "+"
SIGNS = 6
"""Signs of the order's id in its code."""


def code_of_order(client_id: str, arrived: int = 0) -> str:
    """Return the code of an order, or of what is left of it after so many units."""
    return f"{ORDER}{client_id[:SIGNS]}{f'{AFTER}{arrived}' if arrived else ''}"


def is_order(code: str) -> bool:
    """Say whether a code is one of an order, not of a lot."""
    return code.startswith(ORDER)


def start_of_order(code: str) -> str:
    """Return the first signs of the id of the order that has this code."""
    return code.removeprefix(ORDER).partition(AFTER)[0]


def arrived_before(code: str) -> int:
    """Return the units of the order that had arrived when this code was given."""
    return int(code.partition(AFTER)[2] or 0)
