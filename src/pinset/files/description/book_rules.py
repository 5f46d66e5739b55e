"""Findings about a whole book, pointed at the rows its records were read from."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import replace

from pinset.errors import Finding
from pinset.files.description.farm_fields import SECTIONS
from pinset.files.description.farm_file import Premises
from pinset.files.description.place import Place
from pinset.files.description.references import Known
from pinset.files.description.routes import RouteReader
from pinset.files.description.rows import Row
from pinset.files.description.tables import TABLES

_UNKNOWN = re.compile(r"(\w+) '([^']*)' is not accepted")
_NEEDED = re.compile(r"need the (\w+) (\S+), which")
_NAMED_BY = {
    "vessel": "vessels",
    "cook": "kinds of cook",
    "room": "rooms",
    "route": "routes",
    "variety": "varieties",
    "culture": "cultures",
    "buyer": "buyers",
    "place": "shelves",
}
_NEEDS_ALL_ROOMS = frozenset({"variety.climate", "variety.no-grow-room"})
_COLUMN_OF = {
    column.record_field: column.name
    for table in TABLES
    for column in table.columns
    if column.record_field != column.name
} | {
    "days": "days_likely",
    "loss": "loss_likely",
    "gap_days": "gap_days_likely",
    "amount": "amount_kg",
    "parents": "parent",
    "measure": "amount_kg",
    "day": "weekday",
}


LONG_NAME = 3
"""A record's name with more words than this names a step: ``routes shiitake step block``."""

_FARM_NAMES = {column.name for section in SECTIONS for column in section.columns}


class Origins:
    """Knows from which row each record of a book was read."""

    def __init__(self, premises: Premises, rows: dict[str, list[Row]], routes: RouteReader) -> None:
        self.rows = rows
        self.premises = premises
        self.routes = routes
        sections = {**premises.rows, "workers": premises.rows["people"]}
        self.by_code = {
            (kind, row.values["code"]): row
            for kind, its_rows in [*sections.items(), *rows.items()]
            for row in its_rows
            if row.get("code")
        }
        self.lots = [row for row in rows.get("lots", ()) if not row.hinders]

    def has_whole(self, section: str) -> bool:
        """Say whether every row of a section of the farm's file could be used."""
        return self.premises.is_read and not any(row.bad for row in self.premises.rows[section])

    def row_of(self, record: str) -> Row | None:
        """Return the row a record's name stands for, such as ``routes shiitake step block``."""
        words = record.split()
        kind, code = words[0], " ".join(words[1:2])
        if kind == "farm":
            return next(iter(self.premises.rows["farm"]), None)
        if kind == "lots" and code == "row":
            return self.lots[int(words[2]) - 1]
        if kind == "routes":
            return self._route_row(code, words[2:])
        return self.by_code.get((kind, code))

    def _route_row(self, route: str, rest: list[str]) -> Row | None:
        at = self.routes.route_rows.get(route)
        if len(rest) > 1 and rest[0] == "step":
            at = self.routes.step_rows.get((route, rest[1]), at)
            at = self.routes.extra_rows.get((route, rest[1], " ".join(rest[2:])), at)
        return at


def pointed(
    findings: Iterable[Finding],
    origins: Origins,
    known: Known,
    *,
    said: set[str],
    is_whole: bool,
) -> tuple[Finding, ...]:
    """Return findings with file, row and column for their record.

    Parameters
    ----------
    findings : iterable of Finding
        From the rules of the whole book.
    origins : Origins
        Where its records were read.
    known : Known
        Codes of all rows, also of those left out of the book for other problems.
    said : set of str
        Places that have a finding already; no second one is made there.
    is_whole : bool
        False if rows were left out: what may only follow from that is not repeated.
    """
    found = []
    for finding in findings:
        if finding.id == "book.code-repeated" and finding.record.startswith("lots "):
            continue  # one lot at several places; rows that repeat a place are found before
        if not is_whole and _may_follow_from_gaps(finding, origins, known):
            continue
        place = _place(finding, origins)
        record = str(place) if place else finding.record
        if record not in said:
            found.append(replace(finding, record=record))
    return tuple(dict.fromkeys(found))  # a lot at several places is judged at each


def of_half_routes(findings: Iterable[Finding], routes: RouteReader) -> tuple[Finding, ...]:
    """Return the findings on sound steps of routes of which other rows cannot be used.

    Only those: what is said of anything else may follow from the values put in for those rows.
    """
    return tuple(
        finding
        for finding in findings
        for words in [finding.record.split()]
        if len(words) > LONG_NAME
        and words[0] == "routes"
        and words[1] in routes.half
        and (words[1], words[3]) not in routes.half_steps
    )


def _place(finding: Finding, origins: Origins) -> Place | None:
    row = origins.row_of(finding.record)
    if row is None:
        return None
    word = finding.sentence.split(maxsplit=1)[0]
    table = next((t for t in TABLES if row.place.file.startswith(f"{t.name}.")), None)
    column = _COLUMN_OF.get(word, word)
    if table is None:  # farm.toml: the name in the record is the name in the file
        return row.at(word) if word in _FARM_NAMES else row.place
    if column not in table.names:
        return row.place
    return row.at(column)


def _may_follow_from_gaps(finding: Finding, origins: Origins, known: Known) -> bool:
    if finding.id == "book.unknown":
        given = _UNKNOWN.match(finding.sentence)
        kind = _NAMED_BY.get(given[1], "") if given else ""
        # a table that could not be read is said once, not at each row that refers to it
        return given is None or kind not in known.codes or given[2] in known.codes[kind]
    if finding.id == "load.still-needed":
        needed = _NEEDED.search(finding.sentence)
        kind = _NAMED_BY.get("place" if needed[1] == "shelf" else needed[1], "") if needed else ""
        return needed is None or kind not in known.codes or needed[2] in known.codes[kind]
    if finding.id in _NEEDS_ALL_ROOMS:
        return not origins.has_whole("rooms")
    if finding.id == "worker.no-owner":
        return not origins.has_whole("people")
    return False
