"""Rows of all files to one book, with the checks that look across them."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from typing import Any

from pinset.chain.register import FarmBook
from pinset.errors import Finding
from pinset.files.description import records
from pinset.files.description.book_rules import Origins, pointed
from pinset.files.description.dates import check_dates
from pinset.files.description.farm_file import Premises
from pinset.files.description.place import Report
from pinset.files.description.published import published_route
from pinset.files.description.references import check_references, half_read, known_codes
from pinset.files.description.routes import RouteReader
from pinset.files.description.rows import Row, report_twice

Rows = dict[str, list[Row]]


def book_of(
    premises: Premises | None,
    rows: Rows,
    report: Report,
    today: date | None,
    rules: Callable[[FarmBook, date | None], tuple[Finding, ...]],
) -> FarmBook | None:
    """Return the book, or None if anything is wrong.

    The rules of the whole book are asked even if some rows cannot be used: a grower should see
    everything at once. What may only follow from the missing rows is left out.
    """
    _check_twice(premises, rows, report)
    routes = RouteReader(report, published_route)
    placed = routes.routes(
        rows.get("routes", []), rows.get("preparations", []), rows.get("flushes", [])
    )
    promises = records.promises(rows.get("promises", []), report)
    known = known_codes(premises, rows, routes.step_codes, half_read(report))
    check_references(premises, rows, known, report)
    if today is not None:
        check_dates(premises, rows, today, report)
    if premises is None or premises.farm is None:
        return None
    book = FarmBook(
        farm=premises.farm,
        rooms=premises.rooms,
        sterilisers=premises.sterilisers,
        benches=premises.benches,
        instruments=premises.instruments,
        workers=premises.workers,
        labels=premises.labels,
        routes=tuple(each.record for each in placed),
        promises=tuple(each.record for each in promises if not each.row.bad),
        **_simple(rows),
    )
    said = {finding.record for finding in report.findings()}
    is_whole = not report.has_wrong
    origins = Origins(premises, rows, routes)
    report.extend(pointed(rules(book, today), origins, known, said=said, is_whole=is_whole))
    return None if report.has_wrong else book


def _check_twice(premises: Premises | None, rows: Rows, report: Report) -> None:
    if premises is not None:
        for section in (
            *("rooms", "shelves", "sterilisers", "benches", "instruments", "people", "labels"),
        ):
            report_twice(premises.rows[section], ("code",), report)
    promises, lots = rows.get("promises", []), rows.get("lots", [])
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
