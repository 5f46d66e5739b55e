"""The QR code of a lot or unit, and how large its modules may be on a label.

Level Q, so that a torn corner still reads; upper-case signs and the stroke stay in the
alphanumeric mode, so that a usual code takes 21 modules a side (ISO/IEC 18004).
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import segno

QUIET = 4
"""Modules kept white round a QR code; ISO/IEC 18004 asks for four."""

LEAST_MM = 0.5
"""Smallest module printed: read at 150 dpi after blur, tilt and a torn corner (own measurement)."""

MOST_MM = 1.25
"""Larger ones bring nothing at arm's length."""

DOT_MM = 0.125
"""Modules are whole multiples of this: one dot of a printer with 8 dots a millimetre."""


@dataclass(frozen=True, slots=True)
class Modules:
    """The dark modules of a code, as stretches of a row: row, first column, how many."""

    side: int  # modules
    dark: tuple[tuple[int, int, int], ...]


@lru_cache(maxsize=4096)
def modules(code: str) -> Modules:
    """Return the QR code of a printed code.

    Examples
    --------
    >>> modules("7K4MV/12").side
    21
    """
    made = segno.make(code, error="q", mode="alphanumeric", micro=False, boost_error=False)
    rows = [[bool(cell) for cell in row] for row in made.matrix]
    dark: list[tuple[int, int, int]] = []
    for y, row in enumerate(rows):
        x = 0
        while x < len(row):
            wide = 0
            while x + wide < len(row) and row[x + wide]:
                wide += 1
            if wide:
                dark.append((y, x, wide))
            x += max(1, wide)
    return Modules(len(rows), tuple(dark))


def module_mm(side: int, room_mm: float, edge_mm: float) -> float:
    """Return the largest module with which a code fits into a room, in mm.

    Parameters
    ----------
    side : int
        Modules of the code.
    room_mm : float
        Side of the room, its edges included. [mm]
    edge_mm : float
        Part of each edge that stays white for another reason; the quiet zone may lie in it. [mm]

    Returns
    -------
    float
        At least :data:`LEAST_MM`, even if that is too large for the room.
    """
    module = MOST_MM
    while module > LEAST_MM and side * module + 2 * max(edge_mm, QUIET * module) > room_mm:
        module -= DOT_MM
    return module
