"""Taking a described farm in: all or nothing, with every problem said at once.

The first load writes the registers, in force from the day the oldest lot was made, and an opening
entry for every lot, in one transaction. After that the database is the truth: loading again shows
the difference and applies it only when told so, and never touches lots, whose story the ledger
tells.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, datetime
from pathlib import Path

from django.db import transaction

from pinset.chain.cold_stores import check_cold_stores
from pinset.chain.register import FarmBook
from pinset.errors import Finding, Severity
from pinset.farm import register_store
from pinset.farm.models.register import RegisterKind
from pinset.farm.queries.alive import living
from pinset.files.description.folder import read_folder
from pinset.services.book_reader import Reader
from pinset.services.clock import farm_day, now_utc
from pinset.services.farms import opening
from pinset.services.farms.load_words import difference_words, lot_differences, still_needed
from pinset.services.farms.opening_lots import open_lots
from pinset.services.farms.standing_lots import standing_lots
from pinset.services.jobs.moves_said import past_time
from pinset.services.words import plural


@dataclass(frozen=True, slots=True)
class LoadReport:
    """What loading a folder came to."""

    folder: str
    findings: tuple[Finding, ...]  # gravest first
    difference: tuple[str, ...]  # from the farm as it is, one sentence a record
    applied: bool  # the farm is now as the files say
    sentence: str
    lots: tuple[tuple[str, str], ...] = ()  # row of the lots table, code it was given


def load(
    folder: Path, *, now: datetime | None = None, apply: bool = True, replace: bool = False
) -> LoadReport:
    """Take the farm described in a folder into the database that is open.

    Parameters
    ----------
    folder : Path
        Folder with `farm.toml` and the tables.
    now : datetime, optional
        The moment of loading; the clock's if None.
    apply : bool
        False only says what would happen.
    replace : bool
        Apply the difference to a farm that is there.

    Returns
    -------
    LoadReport
        ``applied`` is false if anything was wrong, or a farm was there and ``replace`` was not
        given; then nothing was written.

    Raises
    ------
    PinsetError
        If the database or the disk would not do it; nothing is half-written.
    """
    now = now or now_utc()
    book, findings = read_folder(
        folder, today=lambda zone: farm_day(now, zone), once_wrong=_also_needed
    )
    if book is None:
        return _refused(folder, findings)
    findings = (*findings, *check_cold_stores(book))
    today = farm_day(now, book.farm.time_zone)
    if register_store.current(RegisterKind.FARM, today):
        return _again(folder, book, findings, now, today, apply=apply and replace)
    return _first(folder, book, findings, now, today, apply=apply)


def load_new(folder: Path, farm: Path, *, now: datetime | None = None) -> LoadReport:
    """Take a described farm into a new farm folder, which is made only if nothing is wrong.

    Raises
    ------
    PinsetError
        If the folder cannot be written.
    """
    now = now or now_utc()
    book, findings = read_folder(folder, today=lambda zone: farm_day(now, zone))
    if book is None:
        return _refused(folder, findings)
    opening.create_farm(farm)
    return load(folder, now=now)


def _also_needed(book: FarmBook, today: date | None) -> tuple[Finding, ...]:
    """Return what lots alive need of a farm that is there, of a book that cannot be used whole."""
    if today is None or not register_store.current(RegisterKind.FARM, today):
        return ()
    return still_needed(book, standing_lots(today))


def _refused(folder: Path, findings: tuple[Finding, ...]) -> LoadReport:
    wrong = sum(finding.severity is Severity.WRONG for finding in findings)
    return LoadReport(
        str(folder),
        findings,
        (),
        applied=False,
        sentence=f"Nothing was loaded: {plural(wrong, 'problem')} to mend first.",
    )


def _first(
    folder: Path,
    book: FarmBook,
    findings: tuple[Finding, ...],
    now: datetime,
    today: date,
    *,
    apply: bool,
) -> LoadReport:
    what = (
        f"{book.farm.name}: {plural(len(book.varieties), 'variety', 'varieties')}, "
        f"{plural(len(book.lots), 'lot')}, {plural(len(book.promises), 'promise')}"
    )
    if not apply:
        return LoadReport(
            str(folder), findings, (), applied=False, sentence=f"{what} would be loaded."
        )
    since = min([today, *(lot.made_on for lot in book.lots)])
    with transaction.atomic():
        register_store.write(register_store.book_records(book), since, "", now)
        given = open_lots(book, now)
    return LoadReport(
        str(folder),
        (*findings, *_past_their_time(book, today)),
        (),
        applied=True,
        sentence=f"{what} loaded.",
        lots=given,
    )


def _past_their_time(book: FarmBook, today: date) -> Iterator[Finding]:
    """Yield a warning for each lot that has stood longer than its step keeps."""
    reader, said = Reader(book, today), set()
    for lot in living(today):
        sentence = past_time(lot, reader)
        if sentence and lot.code not in said:
            said.add(lot.code)
            yield Finding(
                "load.lot-past-its-time",
                Severity.WARNING,
                f"lot {lot.code}",
                f"{lot.alive} units of {reader.name(lot.variety)}, made on "
                f"{lot.made_on.isoformat()}. {sentence}",
                "Look them over. If they are further on than the step says, load them with that "
                "step and the day it began.",
            )


def _again(
    folder: Path,
    book: FarmBook,
    findings: tuple[Finding, ...],
    now: datetime,
    today: date,
    *,
    apply: bool,
) -> LoadReport:
    standing = standing_lots(today)
    found = register_store.differences(book, today)
    report = LoadReport(
        str(folder),
        (*still_needed(book, standing), *findings),
        (*difference_words(found), *lot_differences(book.lots, standing)),
        applied=False,
        sentence="Nothing was changed: the files do not fit the lots that are alive.",
    )
    if any(finding.severity is Severity.WRONG for finding in report.findings):
        return report
    if not found:
        same = "The farm is already as the files say; nothing was written."
        return dataclasses.replace(report, applied=True, sentence=same)
    count = plural(len(found), "record")
    if not apply:
        asks = (
            f"A farm is there already and differs in {count}; nothing was written. "
            "Load again with --replace to apply the difference."
        )
        return dataclasses.replace(report, sentence=asks)
    retire = [(RegisterKind(each.kind), each.code) for each in found if each.what == "missing"]
    with transaction.atomic():
        register_store.write(register_store.book_records(book), today, "", now, retire=retire)
    return dataclasses.replace(report, applied=True, sentence=f"{count} changed from today on.")
