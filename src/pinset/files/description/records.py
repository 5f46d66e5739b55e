"""Rows of the simple tables to records: varieties, vessels, cultures, buyers, promises, lots."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from typing import Any, Generic, TypeVar

from pinset.chain.outages import Outage
from pinset.chain.pins import Pin
from pinset.chain.register import (
    Buyer,
    Culture,
    Outlet,
    Promise,
    StandingLot,
    Variety,
    Vessel,
)
from pinset.chain.upkeep import Chore, Instruction
from pinset.files.description.columns import Table
from pinset.files.description.place import Report
from pinset.files.description.rows import Row
from pinset.files.description.tables import table

T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class Placed(Generic[T]):
    """A record and the row it was made from."""

    record: T
    row: Row


def fields_of(which: Table, row: Row) -> dict[str, Any]:
    """Return a row's values by the names of the record's fields."""
    return {
        column.record_field: row.values[column.name]
        for column in which.columns
        if column.name in row.values
    }


def simple_records(cls: Callable[..., T], name: str, rows: Iterable[Row]) -> list[Placed[T]]:
    """Return a record for every row without a problem, for a table whose columns are its fields."""
    which = table(name)
    return [Placed(cls(**fields_of(which, row)), row) for row in rows if not row.hinders]


def _pin(**values: Any) -> Pin:
    return Pin(**{"variety": "", **values})  # a cook has none


SIMPLE: dict[str, Callable[..., Any]] = {
    "varieties": Variety,
    "vessels": Vessel,
    "cultures": Culture,
    "buyers": Buyer,
    "outages": Outage,
    "outlets": Outlet,
    "pins": _pin,
    "upkeep": Chore,
    "instructions": Instruction,
    "lots": StandingLot,
}


def promises(rows: Iterable[Row], report: Report) -> list[Placed[Promise]]:
    """Return the promises: kilograms or units, on a weekday or on a date."""
    found = []
    for row in rows:
        _check_promise(row, report)
        if not row.hinders:
            values = fields_of(table("promises"), row)
            kilograms, units = values.pop("amount_kg", None), values.pop("amount_units", None)
            values["amount"] = units if kilograms is None else kilograms
            values["measure"] = "unit" if kilograms is None else "gram"
            found.append(Placed(Promise(**values), row))
    return found


def _check_promise(row: Row, report: Report) -> None:
    for one, other in (("amount_kg", "amount_units"), ("weekday", "on_date")):
        if {one, other} & row.bad:
            continue
        given = [name for name in (one, other) if row.get(name) is not None]
        if len(given) != 1:
            row.bad.add(one)
            report.wrong(
                "one-of-two",
                row.at(one),
                f"{'both' if given else 'neither'} of {one} and {other} is filled; "
                "accepted is one of the two.",
                "Leave the other one empty.",
            )


def check_stretch(rows: Iterable[Row], report: Report) -> None:
    """Check that a last day does not lie before the first."""
    for row in rows:
        first, last = row.get("from_date"), row.get("until")
        if first and last and last < first:
            row.bad.add("until")
            report.wrong(
                "date-order",
                row.at("until"),
                f"until {last.isoformat()} lies before from_date {first.isoformat()}.",
                "Swap them or mend one.",
            )


def give_codes(rows: Iterable[Row]) -> None:
    """Give promises without a code one made from buyer, variety and day."""
    rows = list(rows)
    taken = {row.get("code") for row in rows}
    for row in rows:
        if row.get("code") or "code" in row.bad or not row.has("buyer", "variety"):
            continue
        day = row.get("weekday") or row.get("on_date")
        stem = f"{row.values['buyer']}-{row.values['variety']}" + (f"-{day}" if day else "")
        code, number = stem, 1
        while code in taken:
            number += 1
            code = f"{stem}-{number}"
        row.values["code"] = code
        taken.add(code)


def check_lots(rows: Iterable[Row], report: Report) -> None:
    """Check what the values of one lot say of each other."""
    for row in rows:
        made, alive = row.get("made_count"), row.get("count")
        if made is not None and alive is not None and made < alive:
            row.bad.add("made_count")
            report.wrong(
                "count-order",
                row.at("made_count"),
                f"{made} were made but {alive} are alive.",
                "made_count is the number at the start, count what is alive now.",
            )
        made_on = row.get("made_on")
        for name in ("opened_on", "in_room_since", "keeps_until"):
            day = row.get(name)
            if made_on and day and day < made_on:
                row.bad.add(name)
                report.wrong(
                    "date-order",
                    row.at(name),
                    f"{name} {day.isoformat()} lies before made_on {made_on.isoformat()}.",
                    "Mend one of the two.",
                )


_OF_WHOLE_LOT = ("variety", "made_on", "culture", "generation", "transfers", "bought_from")
_IN_FIRST_ROW = ("made_count", "picked_kg", "note")


def check_spread_lots(rows: Iterable[Row], report: Report) -> None:
    """Check rows that describe one lot at several places: they speak of the same lot."""
    first: dict[str, Row] = {}
    alive: dict[str, int] = {}
    for row in rows:
        code = row.get("code")
        if not code or row.bad:
            continue
        alive[code] = alive.get(code, 0) + row.values["count"]
        lead = first.setdefault(code, row)
        made = lead.get("made_count")
        if lead is not row:
            _check_same_lot(row, lead, report)
            if made is not None and made < alive[code] and "made_count" not in lead.bad:
                lead.bad.add("made_count")
                report.wrong(
                    "count-order",
                    lead.at("made_count"),
                    f"{made} were made but {alive[code]} are alive in all places.",
                    "made_count is the number of the whole lot at the start.",
                )


def _check_same_lot(row: Row, lead: Row, report: Report) -> None:
    for name in _OF_WHOLE_LOT:
        if row.get(name) != lead.get(name):
            row.bad.add(name)
            report.wrong(
                "contradiction",
                row.at(name),
                f"{row.get(name, 'nothing')} is given, but row {lead.place.row} says "
                f"{lead.get(name, 'nothing')} of the same lot.",
                "Rows with one code are one lot at several places.",
            )
    for name in _IN_FIRST_ROW:
        if row.get(name):
            row.bad.add(name)
            report.wrong(
                "row-twice",
                row.at(name),
                f"{row.values[name]} is given; accepted is an empty cell: it stands in row "
                f"{lead.place.row} for the whole lot.",
                "Write it once.",
            )


def check_same_rows(rows: list[Row], report: Report, *, ignore: str) -> None:
    """Report rows without a code that say the same as an earlier one."""
    first: dict[tuple[Any, ...], Row] = {}
    for row in rows:
        if row.bad:
            continue
        same = tuple(sorted((k, str(v)) for k, v in row.values.items() if k != ignore))
        if same in first and not (row.get(ignore) and first[same].get(ignore)):
            row.bad.add(ignore)
            report.wrong(
                "row-twice",
                row.place,
                f"the row says the same as row {first[same].place.row}.",
                f"Delete one of the two; if both are meant, give each its own {ignore}.",
            )
        else:
            first.setdefault(same, row)
