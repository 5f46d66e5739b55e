"""How labels lie on their paper: sheets and single rolls, described in millimetres.

A layout is a page, the place of its first label, how many labels stand beside and below each other
and the gaps between them. Places are counted from 0, row by row, as one reads. The layouts offered
here are common sizes of plain label paper (memory, no source), named by size and count; a farm
describes its own in the same way.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import isclose

A4 = (210.0, 297.0)
"""Page of ISO 216, in millimetres."""

LETTER = (215.9, 279.4)
"""8 1/2 by 11 inches, in millimetres."""

_SIZES = {A4: "A4", LETTER: "Letter"}
_SAME_MM = 0.05


@dataclass(frozen=True, slots=True)
class LabelLayout:
    """Where the labels of one kind of paper lie; everything in millimetres."""

    code: str
    page_width_mm: float
    page_height_mm: float
    label_width_mm: float
    label_height_mm: float
    columns: int = 1
    rows: int = 1
    left_mm: float = 0.0  # from the left edge of the page to the first label
    top_mm: float = 0.0
    column_gap_mm: float = 0.0  # between labels beside each other
    row_gap_mm: float = 0.0
    tubes: bool = False  # meant to go round a tube, its long side along the tube
    note: str = ""

    @property
    def places(self) -> int:
        """How many labels one page holds."""
        return self.columns * self.rows

    @property
    def is_roll(self) -> bool:
        """Whether every page is one label, as on a roll."""
        return (
            self.places == 1
            and isclose(self.page_width_mm, self.label_width_mm, abs_tol=_SAME_MM)
            and isclose(self.page_height_mm, self.label_height_mm, abs_tol=_SAME_MM)
        )

    @property
    def right_mm(self) -> float:
        """What is left at the right edge of the page."""
        return self.page_width_mm - self.left_mm - self._wide

    @property
    def bottom_mm(self) -> float:
        """What is left at the lower edge of the page."""
        return self.page_height_mm - self.top_mm - self._high

    @property
    def _wide(self) -> float:
        return self.columns * self.label_width_mm + (self.columns - 1) * self.column_gap_mm

    @property
    def _high(self) -> float:
        return self.rows * self.label_height_mm + (self.rows - 1) * self.row_gap_mm

    @property
    def words(self) -> str:
        """The layout by page, count and size: ``A4, 3 × 8, 70 × 37 mm``.

        Examples
        --------
        >>> LabelLayout("mine", 57, 32, 57, 32).words
        'Roll, 57 × 32 mm'
        """
        size = f"{_short(self.label_width_mm)} × {_short(self.label_height_mm)} mm"
        if self.is_roll:
            return f"Roll, {size}"
        return f"{self._page}, {self.columns} × {self.rows}, {size}"

    @property
    def _page(self) -> str:
        for (wide, high), name in _SIZES.items():
            if isclose(wide, self.page_width_mm, abs_tol=_SAME_MM) and isclose(
                high, self.page_height_mm, abs_tol=_SAME_MM
            ):
                return name
        return f"{_short(self.page_width_mm)} × {_short(self.page_height_mm)} mm"

    def corner(self, place: int) -> tuple[float, float]:
        """Return how far a place's upper left corner lies from that of its page, in mm.

        Examples
        --------
        >>> LabelLayout("mine", 210, 297, 70, 37, 3, 8, 0, 0.5).corner(4)
        (70.0, 37.5)
        """
        row, column = divmod(place % self.places, self.columns)
        return (
            self.left_mm + column * (self.label_width_mm + self.column_gap_mm),
            self.top_mm + row * (self.label_height_mm + self.row_gap_mm),
        )

    def pages(self, labels: int, skip: int = 0) -> int:
        """Return how many pages labels take when the first places are used already."""
        return -(-(labels + skip) // self.places) if labels else 0


def _short(value: float) -> str:
    return f"{value:.2f}".rstrip("0").rstrip(".")


def _sheet(
    code: str,
    page: tuple[float, float],
    label: tuple[float, float],
    grid: tuple[int, int],
    corner: tuple[float, float],
    gaps: tuple[float, float] = (0.0, 0.0),
    *,
    tubes: bool = False,
) -> LabelLayout:
    return LabelLayout(code, *page, *label, *grid, *corner, *gaps, tubes=tubes)


def _roll(wide: float, high: float, *, tubes: bool = False) -> LabelLayout:
    code = f"roll-{_short(wide)}x{_short(high)}"
    return LabelLayout(code, wide, high, wide, high, tubes=tubes)


OFFERED = (
    _sheet("a4-3x8", A4, (70.0, 37.0), (3, 8), (0.0, 0.5)),
    _sheet("a4-3x7", A4, (63.5, 38.1), (3, 7), (7.25, 15.15), (2.5, 0.0)),
    _sheet("a4-2x7", A4, (99.1, 38.1), (2, 7), (4.65, 15.15), (2.5, 0.0)),
    _sheet("a4-2x4", A4, (105.0, 74.0), (2, 4), (0.0, 0.5)),
    _sheet("a4-4x10", A4, (52.5, 29.7), (4, 10), (0.0, 0.0)),
    _sheet("a4-4x12", A4, (45.7, 21.2), (4, 12), (9.85, 21.3), (2.5, 0.0)),
    _sheet("a4-5x13-tubes", A4, (38.1, 21.2), (5, 13), (4.75, 10.7), (2.5, 0.0), tubes=True),
    _sheet("letter-3x10", LETTER, (66.675, 25.4), (3, 10), (4.76, 12.7), (3.175, 0.0)),
    _sheet("letter-2x5", LETTER, (101.6, 50.8), (2, 5), (3.97, 12.7), (4.76, 0.0)),
    _sheet("letter-4x15-tubes", LETTER, (44.45, 16.93), (4, 15), (7.14, 12.7), (7.94, 0.0),
           tubes=True),
    _roll(100.0, 50.0),
    _roll(62.0, 29.0),
    _roll(57.0, 32.0),
    _roll(50.0, 25.0),
    _roll(40.0, 20.0, tubes=True),
)  # fmt: skip
"""Layouts that stand ready; a farm's own layout of the same code takes the place of one."""
