"""Records to rows of the tables: the way back from `records` and `routes`."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from pinset.chain.register import FarmBook, Flush, Parent, Promise, Route, Spread, Step
from pinset.files.description.columns import Column, Table
from pinset.files.description.route_tables import PARENT_COLUMNS
from pinset.files.description.sheet import Raw
from pinset.files.description.tables import LOTS, TABLES

Cells = dict[str, Any]
"""Values of a row by column; a column that is absent or None is left empty."""


def rows_of(book: FarmBook) -> dict[str, list[Cells]]:
    """Return the rows of every table, in the order of the book."""
    simple: dict[str, tuple[Any, ...]] = {
        "varieties": book.varieties,
        "vessels": book.vessels,
        "cultures": book.cultures,
        "buyers": book.buyers,
        "outages": book.outages,
        "outlets": book.outlets,
        "pins": book.pins,
        "upkeep": book.upkeep,
        "instructions": book.instructions,
        "lots": book.lots,
    }
    rows = {
        table.name: [_fields(table, record) for record in simple[table.name]]
        for table in TABLES
        if table.name in simple
    }
    for cells in rows[LOTS.name]:
        cells["generation"] = cells["generation"] or None
        cells["transfers"] = cells["transfers"] or None
        cells["picked_kg"] = cells["picked_kg"] or None
    rows["routes"] = [cells for route in book.routes for cells in _route(route)]
    rows["preparations"] = [
        {"route": route.code, "step": step.code, **_plain(preparation)}
        for route, step in _steps(book)
        for preparation in step.preparations
    ]
    rows["flushes"] = [
        _flush(route, step, number, flush)
        for route, step in _steps(book)
        for number, flush in enumerate(step.flushes, start=1)
    ]
    rows["promises"] = [_promise(promise) for promise in book.promises]
    return rows


def shown_cell(column: Column, value: Any) -> Raw:
    """Return what stands in a cell; empty for a value that is none."""
    if value is None or value in ("", ()):
        return ""
    return column.kind.show(value)


def _fields(table: Table, record: Any) -> Cells:
    return {column.name: getattr(record, column.record_field) for column in table.columns}


def _plain(record: Any) -> Cells:
    return {name: getattr(record, name) for name in record.__dataclass_fields__}


def _steps(book: FarmBook) -> Iterator[tuple[Route, Step]]:
    for route in book.routes:
        for step in route.steps:
            yield route, step


def _spread(name: str, spread: Spread) -> Cells:
    return {
        f"{name}_low": spread.low,
        f"{name}_likely": spread.mode,
        f"{name}_high": spread.high,
    }


def _parent(parent: Parent) -> Cells:
    values = (
        parent.step,
        parent.units_per_parent,
        parent.spawn_rate,
        parent.spawn_rate_basis,
        parent.part_use or None,
    )
    return dict(zip(PARENT_COLUMNS, values, strict=True))


_STEP_COLUMNS = {
    "fill_kg": "fill_g",
    "yield_kg": "yield_g",
    "price": "price_cents",
}
_QUIET = (
    "fill_g",
    "fill_moisture",
    "bench_minutes",
    "bench_setup_minutes",
    "hands_minutes",
    "yield_g",
    "yield_spread",
    "supplier_days",
    "price_cents",
    "keeps_days_warm",
)
"""Fields whose zero is their default: left empty, so that a row shows what it says."""


def _route(route: Route) -> Iterator[Cells]:
    whole: Cells = {
        "generation_limit": route.generation_limit,
        "transfer_limit": route.transfer_limit,
        "note": route.note,
    }
    if not route.steps:
        yield {"route": route.code, **whole}
    for index, step in enumerate(route.steps):
        cells = _plain(step)
        for name in _QUIET:
            cells[name] = cells[name] or None
        if not step.flushes and step.pick_minutes_per_kg == _default("pick_minutes_per_kg"):
            cells["pick_minutes_per_kg"] = None
        for column, field in _STEP_COLUMNS.items():
            cells[column] = cells.pop(field)
        cells |= {"route": route.code, "step": step.code}
        cells |= _spread("days", step.days) | _spread("loss", step.loss)
        yield {
            **cells,
            **(_parent(step.parents[0]) if step.parents else {}),
            **(whole if index == 0 else {}),
        }
        for parent in step.parents[1:]:
            yield {"route": route.code, "step": step.code, **_parent(parent)}


def _default(name: str) -> Any:
    return Step.__dataclass_fields__[name].default


def _flush(route: Route, step: Step, number: int, flush: Flush) -> Cells:
    return {
        "route": route.code,
        "step": step.code,
        "flush": number,
        **_spread("gap_days", flush.gap_days),
        "share": flush.share,
        "pick_days": flush.pick_days,
        "lost_before": flush.lost_before,
    }


def _promise(promise: Promise) -> Cells:
    cells = _plain(promise)
    amount = "amount_units" if promise.measure == "unit" else "amount_kg"
    return {**cells, amount: cells.pop("amount"), "price": cells.pop("price_cents")}
