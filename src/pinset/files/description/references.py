"""Codes that name a record of another table: each must exist, the nearest known one is named."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass, field
from typing import Any

from pinset.files.description.columns import Column
from pinset.files.description.farm_fields import BENCHES, STERILISERS
from pinset.files.description.farm_file import Premises
from pinset.files.description.place import Report, listed, nearest, shown
from pinset.files.description.rows import Row
from pinset.files.description.tables import TABLES

PICKED = "picked"
OUT_OF_USE = {
    "steriliser": "sterilisers",
    "person": "people",
    "bench": "benches",
    "room": "rooms",
}
"""By what is out of use: where its codes stand."""

DONE_AT = {
    "room": "rooms",
    "bench": "benches",
    "steriliser": "sterilisers",
    "instrument": "instruments",
}
"""By what a chore is done at: where its codes stand."""

UNREAD = frozenset({"load.cut-off", "load.quote-open", "load.quote-inside", "load.too-large"})
"""What is found where rows of a table were left unread."""


@dataclass(slots=True)
class Known:
    """Codes by what they name; a kind that could not be read is absent and not checked."""

    codes: dict[str, Collection[str]] = field(default_factory=dict)
    steps: dict[str, set[str]] = field(default_factory=dict)  # by route
    routes: dict[str, str] = field(default_factory=dict)  # by variety


def half_read(report: Report) -> frozenset[str]:
    """Return the tables of which codes may be missing.

    They are cut off, a row of theirs could not be read, or the column of codes is not there.
    """
    keys = {name: "route" if name == "routes" else "code" for name in (t.name for t in TABLES)}
    return frozenset(
        name
        for finding in report.findings()
        for name, key in keys.items()
        if finding.record.startswith(f"{name}.")
        and (
            finding.id in UNREAD
            or (finding.id == "load.column-missing" and finding.record.endswith(f" column {key}"))
        )
    )


def known_codes(
    premises: Premises | None,
    rows: dict[str, list[Row]],
    steps: dict[str, set[str]],
    half: Collection[str] = (),
) -> Known:
    """Gather the codes of all rows, those with other problems too: one slip, one finding.

    ``half`` are tables of which codes may be missing: what refers to them is not judged.
    """
    known = Known(steps={} if "routes" in half else steps)
    for name in ("varieties", "vessels", "cultures", "buyers"):
        codes = _codes(rows.get(name, []))
        # else the column itself is missing
        if name in rows and name not in half and (codes or not rows[name]):
            known.codes[name] = codes
    if "routes" in rows and "routes" not in half and (steps or not rows["routes"]):
        known.codes["routes"] = steps.keys()
    for row in rows.get("varieties", ()):
        if row.has("code", "route"):
            known.routes[row.values["code"]] = row.values["route"]
    if premises is not None:
        for section in dict.fromkeys((*OUT_OF_USE.values(), *DONE_AT.values())):
            known.codes[section] = _codes(premises.rows[section])
        known.codes["shelves"] = _codes(premises.rows["shelves"])
        known.codes["kinds of cook"] = _codes(premises.rows["cooks"])
    return known


def _codes(rows: list[Row]) -> set[str]:
    return {row.values["code"] for row in rows if row.get("code")}


def check_references(
    premises: Premises | None, rows: dict[str, list[Row]], known: Known, report: Report
) -> None:
    """Report every code that names nothing."""
    for table in TABLES:
        for column in table.columns:
            if column.refers:
                for row in rows.get(table.name, ()):
                    _check(row, column, known, report)
    if premises is not None:
        for section in (STERILISERS, BENCHES):
            for row in premises.rows[section.name]:
                _check(row, section.column("room"), known, report)


def _accepted(row: Row, column: Column, known: Known) -> tuple[Collection[str], str] | None:
    """Return the codes accepted in a cell, with words for them; None if they are not known."""
    if column.refers == "steps of the route":
        route = row.get("route")
        if route not in known.steps:
            return None
        return known.steps[route], f"steps of route {route}"
    if column.refers == "steps of the variety":
        variety = row.get("variety") or row.get("code")
        route = known.routes.get(str(variety), "")
        if route not in known.steps:
            return None
        is_lot = column.name == "step" and "made_on" in {*row.values, *row.bad}
        extra = set() if is_lot else {PICKED}
        return known.steps[route] | extra, f"steps of route {route}"
    kind = column.refers
    if kind == "what is out of use":
        kind = OUT_OF_USE.get(str(row.get("what")), "")
    if kind == "what it is done at":
        kind = DONE_AT.get(str(row.get("at")), "")
    return (known.codes[kind], kind) if kind in known.codes else None


def _check(row: Row, column: Column, known: Known, report: Report) -> None:
    given = row.get(column.name)
    accepted = _accepted(row, column, known) if given else None
    if accepted is None:
        return
    codes, words = accepted
    for value in given if isinstance(given, tuple) else (given,):
        if value in codes:
            continue
        row.bad.add(column.name)
        report.wrong(
            "code-unknown",
            row.at(column.name),
            _sentence(value, codes, words),
            _hint(value, codes),
        )


def _sentence(value: Any, codes: Collection[str], words: str) -> str:
    if not codes:
        return f"{shown(value)} is given, but there are no {words}."
    return f"{shown(value)} is not among the {words}; accepted is {listed(sorted(codes))}."


def _hint(value: Any, codes: Collection[str]) -> str:
    close = nearest(str(value), codes)
    return f"Did you mean {close}?" if close else "Add it there or mend the code."
