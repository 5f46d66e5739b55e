"""Rows of `routes`, `preparations` and `flushes` to routes, on published values where asked."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Any

from pinset.chain.register import (
    Parent,
    Route,
    Spread,
    Step,
    StepKind,
)
from pinset.errors import InputError
from pinset.files.description.place import Report, shown
from pinset.files.description.records import Placed, fields_of
from pinset.files.description.route_extras import by_step, in_order, with_extras
from pinset.files.description.route_tables import PARENT_COLUMNS, ROUTE_COLUMNS, ROUTES
from pinset.files.description.rows import Row

Published = Callable[[str, str, dict[str, Any]], Route]
"""Gives the route of the published values: its code, the species, and what is chosen of it."""

CHOICES = ("substrate", "starts_at", "ends_at")

_PLACING = frozenset({"route", "step", "kind", "stage", "parent"})
"""Columns that say where in its route a step stands."""

_NOT_OF_STEP = {"route", "step", *PARENT_COLUMNS, *ROUTE_COLUMNS}


class RouteReader:
    """Puts routes together; keeps the row each step was described in."""

    def __init__(self, report: Report, published: Published) -> None:
        self.report = report
        self.published = published
        self.step_rows: dict[tuple[str, str], Row] = {}
        self.route_rows: dict[str, Row] = {}
        self.step_codes: dict[str, set[str]] = {}
        self.half: dict[str, Route] = {}  # with something put in for rows that cannot be used
        self.half_steps: set[tuple[str, str]] = set()  # the steps of those rows
        self.extra_rows: dict[tuple[str, str, str], Row] = {}  # by route, step, task or flush

    def routes(
        self, rows: list[Row], preparations: list[Row], flushes: list[Row]
    ) -> list[Placed[Route]]:
        """Return the routes without a problem, in the order of the file."""
        by_route: dict[str, list[Row]] = {}
        for row in rows:
            if "route" in row.values:
                by_route.setdefault(row.values["route"], []).append(row)
        extras = by_step(preparations), by_step(in_order(flushes, self.report))
        for row in (*preparations, *flushes):
            which = row.get("task") or f"flush {row.get('flush')}"
            self.extra_rows[row.get("route", ""), row.get("step", ""), which] = row
        found = []
        for code, its_rows in by_route.items():
            self.route_rows[code] = its_rows[0]
            route = self._route(code, its_rows, *extras)
            if route is not None:
                found.append(Placed(route, its_rows[0]))
        return found

    def _route(
        self,
        code: str,
        rows: list[Row],
        preparations: dict[tuple[str, str], list[Row]],
        flushes: dict[tuple[str, str], list[Row]],
    ) -> Route | None:
        whole = {name: self._once(rows, name) for name in ROUTE_COLUMNS}
        base = self._base(code, rows, whole)
        steps = list(base.steps) if base else []
        sound = not any(row.hinders for row in rows) and (
            base is not None or not whole["from_species"]
        )
        self.step_codes[code] = {step.code for step in steps} | {
            row.values["step"] for row in rows if row.get("step")
        }
        position, is_whole = 0, base is not None or not whole["from_species"]
        for step_code, its_rows in self._steps(code, rows).items():
            old = next((step for step in steps if step.code == step_code), None)
            key = (code, step_code)
            new = self._step(
                its_rows, old, preparations.get(key), flushes.get(key), base=base is not None
            )
            if new is None:
                sound = False
                new = _put_in(its_rows[0], old)
                self.half_steps.add(key)
            if new is None:
                is_whole = False
                continue
            if old is None:
                steps.insert(position, new)
            else:
                steps[steps.index(old)] = new
            position = steps.index(new) + 1
        for key in (*preparations, *flushes):
            if key[0] == code:
                extras = (*preparations.get(key, ()), *flushes.get(key, ()))
                if any(row.hinders for row in extras):
                    sound = False
                    self.half_steps.add(key)
                steps = [
                    with_extras(step, preparations.get(key), flushes.get(key))
                    if step.code == key[1]
                    else step
                    for step in steps
                ]
        values = {
            name: value
            for name, value in whole.items()
            if value is not None and name not in {"from_species", *CHOICES}
        }
        route = replace(base or Route(code, ()), code=code, steps=tuple(steps), **values)
        if sound:
            return route
        if is_whole:
            self.half[code] = route
        return None

    def _base(self, code: str, rows: list[Row], whole: dict[str, Any]) -> Route | None:
        species = whole["from_species"]
        choices = {name: whole[name] for name in CHOICES if whole[name]}
        if not species:
            for name, value in choices.items():
                row = next(row for row in rows if row.get(name))
                row.bad.add(name)
                self.report.wrong(
                    "value-missing",
                    row.at(name),
                    f"{shown(value)} is given without from_species; accepted is a species "
                    "beside it.",
                    "It chooses among published routes.",
                )
            return None
        try:
            return self.published(code, species, choices)
        except InputError as error:
            row = next(row for row in rows if row.get(error.field))
            row.bad.add(error.field)
            self.report.wrong(
                "not-published",
                row.at(error.field),
                f"nothing is published for {shown(error.given)}; accepted is {error.accepted}.",
                error.hint or "Or describe every step in full and leave from_species empty.",
            )
            return None

    def _once(self, rows: list[Row], name: str) -> Any:
        """Return a value that stands once for the whole route; others must say the same."""
        given = [row for row in rows if name in row.values]
        for row in given[1:]:
            first = given[0]
            if row.values[name] != first.values[name]:
                row.bad.add(name)
                self.report.wrong(
                    "contradiction",
                    row.at(name),
                    f"{shown(row.values[name])} is given, but row {first.place.row} says "
                    f"{shown(first.values[name])} of the same route.",
                    "It holds for the whole route: write it once.",
                )
        return given[0].values[name] if given else None

    def _steps(self, code: str, rows: list[Row]) -> dict[str, list[Row]]:
        """Return the rows of each step: the first describes it, others add ways to start it."""
        steps: dict[str, list[Row]] = {}
        for row in rows:
            step = row.get("step")
            if not step:
                self._check_route_row(row)
                continue
            if step not in steps:
                steps[step] = [row]
                self.step_rows[code, step] = row
                continue
            filled = (set(row.values) | row.bad) - {"route", "step", *PARENT_COLUMNS}
            if filled - set(ROUTE_COLUMNS):
                row.bad.add("step")
                self.report.wrong(
                    "row-twice",
                    row.at("step"),
                    f"step {step} of route {code} stands already in row "
                    f"{steps[step][0].place.row}.",
                    "Give it another code; a row that only names a further parent has only the "
                    "parent columns filled.",
                )
            else:
                steps[step].append(row)
        return steps

    def _check_route_row(self, row: Row) -> None:
        filled = sorted((set(row.values) | row.bad) - {"route", "step", *ROUTE_COLUMNS})
        if "step" in row.bad:
            return
        if filled or not (set(row.values) & set(ROUTE_COLUMNS)):
            row.bad.add("step")
            self.report.wrong(
                "value-missing",
                row.at("step"),
                "the cell is empty; accepted is the code of a step"
                + (f", as {filled[0]} speaks of one." if filled else "."),
                "Only a row that speaks of the whole route has no step.",
            )

    def _step(
        self,
        rows: list[Row],
        old: Step | None,
        preparations: list[Row] | None,
        flushes: list[Row] | None,
        *,
        base: bool,
    ) -> Step | None:
        row = rows[0]
        values = {
            name: value for name, value in fields_of(ROUTES, row).items()
            if name not in _NOT_OF_STEP
        }  # fmt: skip
        days = self._spread(row, "days", old.days if old else None)
        loss = self._spread(row, "loss", old.loss if old else Spread(0.0, 0.0, 0.0))
        values = {
            name: value for name, value in values.items()
            if not name.endswith(("_low", "_likely", "_high"))
        }  # fmt: skip
        if not values.get("kind", True):
            del values["kind"]
        if old is None:
            for name in ("stage", "days_likely", "temperature_c"):
                if (not row.get(name) and row.get(name) != 0) and name not in row.bad:
                    row.bad.add(name)
                    self.report.wrong(
                        "value-missing",
                        row.at(name),
                        f"the cell is empty; accepted is {ROUTES.column(name).kind.accepted}.",
                        "The published route has no such step, so it is described in full."
                        if base
                        else "A step is described in full, unless from_species is given.",
                    )
        parents = self._parents(rows, old.parents if old else ())
        if any(each.hinders for each in rows) or days is None or loss is None:
            return None
        if old is not None:
            return with_extras(
                replace(old, **values, days=days, loss=loss, parents=parents), preparations, flushes
            )
        values.setdefault("kind", StepKind.TRANSFER)
        step = Step(code=row.values["step"], days=days, loss=loss, parents=parents, **values)
        return with_extras(step, preparations, flushes)

    def _spread(self, row: Row, name: str, old: Spread | None) -> Spread | None:
        columns = [f"{name}_low", f"{name}_likely", f"{name}_high"]
        if row.bad & set(columns):
            return None
        low, likely, high = (row.get(column) for column in columns)
        if low is None and likely is None and high is None:
            return old
        if likely is None:
            if old is None:
                return None
            likely = old.mode
        low_given, high_given = low, high
        low = low if low is not None else min(old.low, likely) if old and old.mode else likely
        high = high if high is not None else max(old.high, likely) if old and old.mode else likely
        if not low <= likely <= high:
            at = columns[0] if low_given is not None and low > likely else columns[2]
            row.bad.add(at)
            given = high_given if at == columns[2] else low_given
            self.report.wrong(
                "spread-order",
                row.at(at),
                f"{given:g} is given beside {columns[1]} {likely:g}; accepted is "
                f"{columns[0]} ≤ {columns[1]} ≤ {columns[2]}.",
                "Swap the values.",
            )
            return None
        return Spread(low, likely, high)

    def _parents(self, rows: list[Row], old: tuple[Parent, ...]) -> tuple[Parent, ...]:
        found: list[Parent] = []
        for index, row in enumerate(rows):
            given = [name for name in PARENT_COLUMNS if name in row.values]
            if not given:
                if index:
                    self._no_parent(row, "names no further parent")
                continue
            code = row.get("parent") or (old[0].step if old and not index else "")
            if not code:
                if "parent" not in row.bad and row.get("parent") is None:
                    self._no_parent(row, f"has {given[0]} but no parent")
                continue
            if code in {parent.step for parent in found}:
                self._no_parent(row, f"names the parent {code} again")
                continue
            same = next((parent for parent in old if parent.step == code), None)
            values = {name: row.values[name] for name in given if name != "parent"}
            if not values.get("spawn_rate_basis", True):
                values["spawn_rate_basis"] = None
            start = same or Parent(code, 1.0)
            found.append(replace(start, **values))
        return tuple(found) or old

    def _no_parent(self, row: Row, what: str) -> None:
        row.bad.add("parent")
        self.report.wrong(
            "value-missing" if "again" not in what else "row-twice",
            row.at("parent"),
            f"the row {what}; accepted is the code of the step it is started from.",
            "Delete the row or name the parent.",
        )


def _put_in(row: Row, old: Step | None) -> Step | None:
    """Return a step that stands in for one that cannot be used, so that its route can be looked at.

    None if not even its place in the route is known.
    """
    if row.bad & _PLACING or not row.has("step"):
        return None
    if old is not None:
        return old
    if not row.has("stage"):
        return None
    days = Spread(*(row.get("days_likely", 1.0),) * 3)
    parent = row.get("parent")
    return Step(
        code=row.values["step"],
        kind=row.get("kind") or StepKind.TRANSFER,
        stage=row.values["stage"],
        days=days,
        loss=Spread(0.0, 0.0, 0.0),
        temperature_c=row.get("temperature_c", 20.0),
        parents=(Parent(parent, 1.0),) if parent else (),
    )
