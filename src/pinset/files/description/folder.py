"""Reads a farm's folder: `farm.toml` and the tables beside it, with every problem found at once."""

from __future__ import annotations

import stat
from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from pinset.chain.register import FarmBook
from pinset.chain.route_rules import check_book
from pinset.errors import Finding
from pinset.files.decode import MOST_BYTES, to_text
from pinset.files.description.book import Rules, book_of
from pinset.files.description.columns import Table
from pinset.files.description.csv_sheet import read_csv
from pinset.files.description.farm_fields import FARM_FILE
from pinset.files.description.farm_file import Premises, read_farm
from pinset.files.description.place import Place, Report, nearest
from pinset.files.description.rows import Row, read_rows, report_twice
from pinset.files.description.sheet import Sheet
from pinset.files.description.tables import TABLES
from pinset.files.description.xlsx_sheet import read_xlsx

ENDINGS = (".csv", ".xlsx")


Today = date | Callable[[str], date] | None
"""The farm's date, or what gives it from the name of its time zone."""


def read_folder(
    path: Path,
    *,
    today: Today = None,
    rules: Rules = check_book,
    once_wrong: Rules | None = None,
) -> tuple[FarmBook | None, tuple[Finding, ...]]:
    """Return what a folder says of a farm, and everything that is not right with it.

    Parameters
    ----------
    path : Path
        Folder with `farm.toml` and the tables, each as CSV or XLSX.
    today : date or callable, optional
        The farm's date, or what gives it from the farm's time zone: for judging dates that lie in
        the past or the future; without it they are not judged.
    rules : callable, optional
        What must hold across records; the rules of the chain unless told otherwise.
    once_wrong : callable, optional
        More to ask of what can be used of a book of which not everything can.

    Returns
    -------
    FarmBook or None
        None if anything cannot be used: a farm is read whole or not at all.
    tuple of Finding
        Gravest first.
    """
    reader = _Folder(path)
    book = reader.read(today, rules, once_wrong)
    return book, reader.report.findings()


@dataclass(slots=True)
class _Found:
    """What the folder holds, by the names we know."""

    farm: Path | None
    tables: dict[str, Path]


class _Folder:
    def __init__(self, path: Path) -> None:
        self.path = path
        self.report = Report()

    def read(self, today: Today, rules: Rules, once_wrong: Rules | None) -> FarmBook | None:
        found = self._look()
        if found is None:
            return None
        premises = self._premises(found.farm)
        rows = {
            table.name: its_rows
            for table in TABLES
            if (its_rows := self._rows(table, found.tables.get(table.name))) is not None
        }
        if callable(today):
            zone = premises.farm.time_zone if premises and premises.farm else "UTC"
            today = today(zone)
        return book_of(premises, rows, self.report, today, rules, once_wrong)

    def _look(self) -> _Found | None:
        """List the folder; report files that are missing, doubled or not known."""
        try:
            names = sorted(item.name for item in self.path.iterdir())
        except OSError as error:
            self.report.wrong(
                "folder",
                Place(str(self.path)),
                f"the folder cannot be read: {error.strerror or error}.",
                "Give the folder that holds farm.toml.",
            )
            return None
        by_name = {name.casefold(): name for name in names}
        farm = by_name.get(FARM_FILE)
        if farm is None:
            self.report.wrong(
                "file-missing",
                Place(FARM_FILE),
                "the file is missing.",
                "pinset new FOLDER writes one to fill in.",
            )
        tables = {}
        for table in TABLES:
            here = [
                name
                for name in names
                if name.casefold() in {f"{table.name}{end}" for end in ENDINGS}
            ]
            if len(here) > 1:
                self.report.wrong(
                    "file-twice",
                    Place(here[0]),
                    f"{' and '.join(here)} are both there; accepted is one of them.",
                    "Move the one that is out of date to another folder.",
                )
            elif here:
                tables[table.name] = self.path / here[0]
            elif table.required:
                self.report.wrong(
                    "file-missing",
                    Place(f"{table.name}.csv"),
                    f"neither {table.name}.csv nor {table.name}.xlsx is there.",
                    table.title,
                )
            else:
                self.report.note(
                    "file-none",
                    Place(f"{table.name}.csv"),
                    "there is no such file: taken as empty.",
                )
        self._unknown_files(names)
        return _Found(self.path / farm if farm else None, tables)

    def _unknown_files(self, names: list[str]) -> None:
        known = [table.name for table in TABLES]
        for name in names:
            stem, _, ending = name.casefold().rpartition(".")
            if ending not in {"csv", "xlsx", "xls", "ods", "tsv", "txt"} or name.startswith(
                (".", "~")
            ):
                continue
            if stem in known and f".{ending}" in ENDINGS:
                continue
            close = stem if stem in known else nearest(stem, known)
            if close:
                self.report.warn(
                    "file-unknown",
                    Place(name),
                    "the file is not read.",
                    f"Did you mean {close}.csv or {close}.xlsx?",
                )

    def _bytes(self, path: Path) -> bytes | None:
        place = Place(path.name)
        try:
            status = path.stat()
            if not stat.S_ISREG(status.st_mode):
                what = "a folder" if stat.S_ISDIR(status.st_mode) else "no ordinary file"
                self.report.wrong(
                    "not-a-file", place, f"this is {what}; accepted is a file.", "Rename it."
                )
                return None
            if status.st_size > MOST_BYTES:
                self.report.wrong(
                    "too-large",
                    place,
                    f"the file has {status.st_size / 1e6:.0f} MB; "
                    f"accepted are {MOST_BYTES // 1_000_000} MB.",
                    "Is this the right file?",
                )
                return None
            return path.read_bytes()
        except OSError as error:
            self.report.wrong(
                "unreadable",
                place,
                f"the file cannot be read: {error.strerror or error}.",
                "Look at its permissions, or whether another program holds it.",
            )
            return None

    def _premises(self, path: Path | None) -> Premises | None:
        data = self._bytes(path) if path else None
        text = to_text(data, FARM_FILE, self.report) if data is not None else None
        return read_farm(text.replace("\r\n", "\n"), self.report) if text is not None else None

    def _sheet(self, table: Table, path: Path) -> Sheet | None:
        data = self._bytes(path)
        if data is None:
            return None
        if path.suffix.casefold() == ".xlsx":
            return read_xlsx(data, path.name, self.report)
        if data.startswith(b"PK\x03\x04"):
            self.report.wrong(
                "not-csv",
                Place(path.name),
                "the file is a workbook, not CSV.",
                f"Name it {path.stem}.xlsx.",
            )
            return None
        text = to_text(data, path.name, self.report)
        return read_csv(text, path.name, table.names, self.report) if text is not None else None

    def _rows(self, table: Table, path: Path | None) -> list[Row] | None:
        """Return a table's rows; none if it is not there, None if it cannot be read."""
        if path is None:
            return None if table.required or self._is_doubled(table) else []
        sheet = self._sheet(table, path)
        if sheet is None:
            return None
        rows = read_rows(table, sheet, self.report)
        if table.name != "routes" and table.key:
            report_twice(rows, table.key, self.report)
        return rows

    def _is_doubled(self, table: Table) -> bool:
        return any(
            finding.id == "load.file-twice" and finding.record.startswith(f"{table.name}.")
            for finding in self.report.findings()
        )
