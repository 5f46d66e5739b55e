"""A cook watched by a file that grows: row by row, as text and as a workbook, in mixed units."""

from __future__ import annotations

import os
import secrets
from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from io import BytesIO
from pathlib import Path

import pytest
import xlsxwriter
from django.test import override_settings

from pinset.chain.register import FarmBook
from pinset.services import clock
from pinset.services.cooks.loads import LoadPlan
from pinset.services.cooks.watch import view as cook_watch_view
from pinset.services.cooks.watch import watching as cook_watching
from pinset.services.cooks.watch.view import WatchView

BEGAN = datetime(2026, 3, 12, 9, 30, tzinfo=UTC)
HEAD = ("time", "chamber [°C]", "core [°C]")
LOAD = LoadPlan(mass_kg=1.0, diameter_cm=11.5, height_cm=15.0, rating_bar=1.4, altitude_m=300.0)
Look = Callable[[str, bytes, int], WatchView]
Row = tuple[datetime, float, float]


def rows_to(minute: int) -> list[Row]:
    """Return an invented cook's rows, by the farm's clock."""
    return [
        (
            BEGAN.replace(tzinfo=None) + timedelta(minutes=each + 60),
            round(20.0 + 3.3 * each, 1),
            round(20.0 + 0.7 * max(0, each - 5), 1),
        )
        for each in range(minute + 1)
    ]


def as_text(rows: list[Row], head: tuple[str, ...] = HEAD) -> bytes:
    lines = [",".join(head), *(f"{at:%Y-%m-%d %H:%M:%S},{a},{c}" for at, a, c in rows)]
    return ("\n".join(lines) + "\n").encode()


def as_workbook(rows: list[Row], sheet_name: str = "", *, has_cover: bool = False) -> bytes:
    kept = BytesIO()
    with xlsxwriter.Workbook(kept, {"in_memory": True}) as book:
        if has_cover:
            book.add_worksheet("Cover").write(0, 0, "Invented logger")
        sheet, form = (
            book.add_worksheet(sheet_name or None),
            book.add_format({"num_format": "yyyy-mm-dd hh:mm:ss"}),
        )
        sheet.write_row(0, 0, HEAD)
        for number, (at, around, inside) in enumerate(rows, start=1):
            sheet.write_datetime(number, 0, at, form)
            sheet.write_row(number, 1, (around, inside))
    return kept.getvalue()


@pytest.fixture
def look(farm: FarmBook, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> object:  # noqa: ARG001
    """Return a look at the cook, so many minutes after it began, at what its file holds then."""
    code: list[str] = []

    def at(name: str, data: bytes, minute: int) -> WatchView:
        now = BEGAN + timedelta(minutes=minute)
        monkeypatch.setenv(clock.PRETENDED, (now if code else BEGAN).isoformat())
        if not code:
            tap = secrets.token_hex(16)
            code.append(cook_watching.begin(tap, "ada", "kettle:grain", LOAD, "f0=15"))
            monkeypatch.setenv(clock.PRETENDED, now.isoformat())
        path = tmp_path / name
        path.write_bytes(data)
        written = int(datetime.now(UTC).timestamp()) + minute  # newer at each look
        os.utime(path, (written, written))
        return cook_watch_view.view(code[0])

    with override_settings(LOGGER_FOLDER=tmp_path):
        yield at


def test_a_text_that_holds_its_head_only_then_grows_row_by_row(look: Look) -> None:
    found = look("log.csv", as_text([]), 0)
    assert found.state.readings == 0
    for minute in range(2, 14):
        rows = rows_to(minute)
        half = as_text(rows)[:-9]  # the last row is cut off within its chamber
        found = look("log.csv", half, minute)
        assert found.state.readings == minute, minute
        assert found.state.chamber_c == rows[-2][1]
        found = look("log.csv", as_text(rows), minute)
        assert found.state.readings == minute + 1
        assert (found.state.chamber_c, found.state.core_c) == rows[-1][1:]


def test_a_workbook_that_grows_is_followed(look: Look) -> None:
    found = look("log.xlsx", as_workbook([]), 0)
    assert found.state.readings == 0
    for minute in range(2, 14, 2):
        rows = rows_to(minute)
        found = look("log.xlsx", as_workbook(rows), minute)
        assert found.feed is not None
        assert found.feed.problems == ()
        assert found.state.readings == minute + 1
        assert (found.state.chamber_c, found.state.core_c) == rows[-1][1:]


def test_a_workbook_half_written_says_so_and_keeps_what_was_read(look: Look) -> None:
    rows = rows_to(12)
    look("log.xlsx", as_workbook(rows[:-2]), 10)
    found = look("log.xlsx", as_workbook(rows)[:2000], 12)
    assert found.feed is not None
    assert found.feed.problems
    assert found.state.readings == 11
    assert look("log.xlsx", as_workbook(rows), 13).state.readings == 13


def test_a_core_in_fahrenheit_stands_beside_a_chamber_in_celsius(look: Look) -> None:
    rows = rows_to(20)
    mixed = [(at, around, round(1.8 * inside + 32.0, 2)) for at, around, inside in rows]
    found = look("log.csv", as_text(mixed, ("time", "chamber [°C]", "core [°F]")), 20)
    assert found.state.readings == 21
    assert found.state.chamber_c == rows[-1][1]
    assert found.state.core_c == pytest.approx(rows[-1][2], abs=0.01)
    assert found.state.core_by == "measured"


def test_a_workbook_whose_sheet_is_renamed_or_gets_a_cover_is_followed(look: Look) -> None:
    rows = rows_to(12)
    assert look("log.xlsx", as_workbook(rows[:-4], "Data"), 8).state.readings == 9
    assert look("log.xlsx", as_workbook(rows[:-2], "Cook 12"), 10).state.readings == 11
    found = look("log.xlsx", as_workbook(rows, "Cook 12", has_cover=True), 12)
    assert found.state.readings == 13
    assert (found.state.chamber_c, found.state.core_c) == rows[-1][1:]


def test_another_file_that_takes_the_place_of_one_adds_what_is_new_only(look: Look) -> None:
    rows = rows_to(12)
    assert look("log.xlsx", as_workbook(rows[:-4]), 8).state.readings == 9
    found = look("log (1).xlsx", as_workbook(rows), 12)
    assert found.feed is not None
    assert found.feed.file == "log (1).xlsx"
    assert found.state.readings == 13
    assert (found.state.chamber_c, found.state.core_c) == rows[-1][1:]


@pytest.mark.parametrize("problem", [PermissionError(13, "Permission denied", "/x/log.xlsx")])
def test_a_file_that_is_locked_is_said_and_what_was_read_stands(
    look: Look, monkeypatch: pytest.MonkeyPatch, problem: OSError
) -> None:
    rows = rows_to(12)
    look("log.xlsx", as_workbook(rows[:-2]), 10)

    def refused(_path: Path) -> bytes:
        raise problem

    with monkeypatch.context() as locked:
        locked.setattr(Path, "read_bytes", refused)
        found = look("log.xlsx", as_workbook(rows), 12)
    assert found.feed is not None
    assert found.feed.problems == ("The logger's file cannot be read: Permission denied",)
    assert found.state.readings == 11
    assert look("log.xlsx", as_workbook(rows), 13).state.readings == 13


def test_a_file_that_is_gone_while_it_is_looked_for_is_none(
    look: Look, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    look("log.csv", as_text(rows_to(10)), 10)
    real = Path.stat

    def gone(path: Path, **how: bool) -> os.stat_result:
        if path.name == "new.csv":
            raise FileNotFoundError(2, "No such file or directory", str(path))
        return real(path, **how)

    monkeypatch.setattr(Path, "is_file", lambda path: path.suffix == ".csv")
    monkeypatch.setattr(Path, "stat", gone)
    (tmp_path / "new.csv").write_bytes(b"half")
    found = look("log.csv", as_text(rows_to(12)), 12)
    assert found.state.readings == 13
