"""Rows of all files to one book, with the checks that look across them."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import date
from typing import Any

from pinset.chain.register import FarmBook
from pinset.errors import Finding
from pinset.files.description import records
from pinset.files.description.book_rules import Origins, of_half_routes, pointed
from pinset.files.description.dates import check_dates
from pinset.files.description.farm_file import Premises
from pinset.files.description.place import Report
from pinset.files.description.published import published_route
from pinset.files.description.references import check_references, half_read, known_codes
from pinset.files.description.routes import RouteReader
from pinset.files.description.rows import Row, report_twice
from pinset.files.description.species_named import check_species

Rows = dict[str, list[Row]]

Rules = Callable[[FarmBook, date | None], tuple[Finding, ...]]
"""What must hold across the records of a book."""


def book_of(
    premises: Premises | None,
    rows: Rows,
    report: Report,
    today: date | None,
    rules: Rules,
    once_wrong: Rules | None = None,
) -> FarmBook | None:
    """Return the book, or None if anything is wrong.

    The rules of the whole book are asked even if some rows cannot be used: a grower should see
    everything at once. What may only follow from the missing rows is left out. ``once_wrong`` is
    asked only then: of a book that can be used the caller asks it.
    """
    _check_twice(premises, rows, report)
    routes = RouteReader(report, published_route)
    placed = routes.routes(
        rows.get("routes", []), rows.get("preparations", []), rows.get("flushes", [])
    )
    promises = records.promises(rows.get("promises", []), report)
    known = known_codes(premises, rows, routes.step_codes, half_read(report))
    check_references(premises, rows, known, report)
    check_species(rows.get("varieties", ()), report)
    if today is not None:
        check_dates(premises, rows, today, report)
    premises = premises or Premises(is_read=False)
    book = FarmBook(
        farm=premises.farm or premises.stand_in,
        rooms=premises.rooms,
        sterilisers=premises.sterilisers,
        benches=premises.benches,
        instruments=premises.instruments,
        workers=premises.workers,
        labels=premises.labels,
        routes=tuple(each.record for each in placed),
        promises=tuple(each.record for each in promises if not each.row.hinders),
        **_simple(rows),
    )
    said = {finding.record for finding in report.findings()}
    is_whole = not report.has_wrong
    origins = Origins(premises, rows, routes)
    found = rules(book, today)
    if routes.half:
        both = replace(book, routes=(*book.routes, *routes.half.values()))
        found = (*found, *of_half_routes(rules(both, today), routes))
    report.extend(pointed(found, origins, known, said=said, is_whole=is_whole))
    if not report.has_wrong:
        return book if premises.farm is not None else None
    if once_wrong is not None:
        more = once_wrong(book, today)
        report.extend(pointed(more, origins, known, said=said, is_whole=False))
    return None


def _check_twice(premises: Premises | None, rows: Rows, report: Report) -> None:
    if premises is not None:
        for section in (
            *("rooms", "shelves", "sterilisers", "benches", "instruments", "people", "labels"),
        ):
            report_twice(premises.rows[section], ("code",), report)
    promises, lots = rows.get("promises", []), rows.get("lots", [])
    for name in ("promises", "outlets", "outages"):
        records.check_stretch(rows.get(name, []), report)
    records.check_lots(lots, report)
    records.check_spread_lots(lots, report)
    records.check_same_rows(promises, report, ignore="code")
    records.check_same_rows(lots, report, ignore="code")
    records.check_same_rows(rows.get("preparations", []), report, ignore="")
    records.give_codes(promises)


def _simple(rows: Rows) -> dict[str, Any]:
    return {
        name: tuple(
            placed.record for placed in records.simple_records(cls, name, rows.get(name, []))
        )
        for name, cls in records.SIMPLE.items()
    }
