"""Rows of `preparations` and `flushes`: what is added to the steps of routes."""

from __future__ import annotations

from dataclasses import replace

from pinset.chain.register import Flush, Preparation, RoomKind, Spread, Step
from pinset.files.description.place import Report
from pinset.files.description.route_tables import FLUSHES
from pinset.files.description.rows import Row


def by_step(rows: list[Row]) -> dict[tuple[str, str], list[Row]]:
    """Return rows by route and step; those without are left out."""
    found: dict[tuple[str, str], list[Row]] = {}
    for row in rows:
        if row.has("route", "step"):
            found.setdefault((row.values["route"], row.values["step"]), []).append(row)
    return found


def with_extras(step: Step, preparations: list[Row] | None, flushes: list[Row] | None) -> Step:
    """Return a step with its preparations and flushes; rows that cannot be used are left out."""
    if preparations and not any(row.hinders for row in preparations):
        step = replace(step, preparations=tuple(_preparation(row) for row in preparations))
    if flushes and not any(row.hinders for row in flushes):
        step = replace(step, flushes=tuple(_flush(row) for row in flushes))
    return step


def _preparation(row: Row) -> Preparation:
    return Preparation(
        task=row.values["task"],
        lead_hours=row.values["lead_hours"],
        minutes_per_unit=row.get("minutes_per_unit", 0.0),
        minutes_fixed=row.get("minutes_fixed", 0.0),
        room=row.get("room") or RoomKind.PREPARATION,
        caution=row.get("caution", ""),
    )


def _flush(row: Row) -> Flush:
    likely = row.get("gap_days_likely", 0.0)
    return Flush(
        gap_days=Spread(row.get("gap_days_low", likely), likely, row.get("gap_days_high", likely)),
        share=row.values["share"],
        pick_days=row.get("pick_days", 1),
        lost_before=row.get("lost_before", 0.0),
    )


def in_order(rows: list[Row], report: Report) -> list[Row]:
    """Return flush rows by their number; check that they count 1, 2, 3 and that gaps rise."""
    for row in rows:
        likely = row.get("gap_days_likely", 0.0)
        low, high = row.get("gap_days_low", likely), row.get("gap_days_high", likely)
        if not low <= likely <= high and not row.bad & set(FLUSHES.names):
            at = "gap_days_low" if low > likely else "gap_days_high"
            row.bad.add(at)
            report.wrong(
                "spread-order",
                row.at(at),
                f"{row.values[at]:g} is given beside gap_days_likely {likely:g}; accepted is "
                "gap_days_low ≤ gap_days_likely ≤ gap_days_high.",
                "Swap the values.",
            )
    for its_rows in by_step(rows).values():
        numbered = sorted(
            (row for row in its_rows if not row.bad), key=lambda row: int(row.values["flush"])
        )
        for number, row in enumerate(numbered, start=1):
            if row.values["flush"] != number:
                row.bad.add("flush")
                report.wrong(
                    "flush-order",
                    row.at("flush"),
                    f"{row.values['flush']} is given; accepted is {number}: flushes of a step "
                    "count 1, 2, 3 ...",
                    "A flush is missing or stands twice.",
                )
                break
    return sorted(rows, key=lambda row: int(row.get("flush", 0)))
