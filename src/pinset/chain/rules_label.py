"""What must hold of label paper: the labels lie on the page, beside each other, and hold a code."""

from __future__ import annotations

from collections.abc import Iterator

from pinset.chain.label_layouts import LabelLayout
from pinset.chain.register import FarmBook
from pinset.chain.rules_basis import Bound, bad_code, outside, repeated, wrong
from pinset.errors import Finding

SHORT_MM, LONG_MM = 14.5, 25.0
"""Least sides of a label: a QR code of 21 modules of 0.5 mm with its quiet zone, and a code beside
it."""

_BOUNDS = (
    Bound("page_width_mm", SHORT_MM, 500.0, "mm"),
    Bound("page_height_mm", SHORT_MM, 1200.0, "mm"),
    Bound("label_width_mm", SHORT_MM, 500.0, "mm"),
    Bound("label_height_mm", SHORT_MM, 1200.0, "mm"),
    Bound("columns", 1, 20, "labels beside each other"),
    Bound("rows", 1, 60, "labels below each other"),
    Bound("left_mm", 0.0, 200.0, "mm"),
    Bound("top_mm", 0.0, 200.0, "mm"),
    Bound("column_gap_mm", 0.0, 100.0, "mm"),
    Bound("row_gap_mm", 0.0, 100.0, "mm"),
)
_SLACK_MM = 0.05


def check_labels(book: FarmBook) -> Iterator[Finding]:
    """Yield what is not right with the farm's own label paper."""
    yield from repeated("labels", (each.code for each in book.labels))
    for layout in book.labels:
        record = f"labels {layout.code}"
        yield from bad_code(record, layout.code)
        found = tuple(outside(record, layout, _BOUNDS, "label.number"))
        yield from found
        if not found:
            yield from _check_fit(record, layout)


def _check_fit(record: str, layout: LabelLayout) -> Iterator[Finding]:
    for rest_mm, page_mm, what, side in (
        (layout.right_mm, layout.page_width_mm, "columns", "wide"),
        (layout.bottom_mm, layout.page_height_mm, "rows", "high"),
    ):
        if rest_mm < -_SLACK_MM:
            yield wrong(
                "label.page",
                record,
                what,
                getattr(layout, what),
                f"labels, gaps and margin of at most {page_mm:g} mm, as {side} as the page",
                f"They take {page_mm - rest_mm:g} mm.",
            )
    longer = max(layout.label_width_mm, layout.label_height_mm)
    if longer < LONG_MM:
        accepted = f"a label of at least {LONG_MM:g} × {SHORT_MM:g} mm"
        hint = "A smaller one does not hold a QR code that reads and its code in type."
        yield wrong("label.small", record, "longer side", longer, accepted, hint)
