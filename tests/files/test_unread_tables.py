"""A table that cannot be read is said once, not at every row that refers to it."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from pathlib import Path

import pytest

from pinset.errors import Severity
from pinset.files.description.example import example_book
from pinset.files.description.folder import read_folder
from pinset.files.description.writing import write_folder

TODAY = date(2026, 3, 12)


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    write_folder(example_book(TODAY), tmp_path)
    return tmp_path


def wrong_in(folder: Path) -> set[str]:
    """Return the files with something wrong."""
    book, findings = read_folder(folder, today=TODAY)
    assert book is None
    return {f.record.split()[0].rstrip(":") for f in findings if f.severity is Severity.WRONG}


def cut_off(data: bytes) -> bytes:
    """Return all but the last cells of the last row, without a line end."""
    return data.rstrip().rpartition(b",")[0].rpartition(b",")[0]


BROKEN: dict[str, Callable[[bytes], bytes]] = {
    "empty": lambda _: b"",
    "not text": lambda data: data[:20] + b"\0" + data[20:],
    "half a letter": lambda data: b"\xff\xfe" + data + b"x" * (len(data) % 2 == 0),
    "no header": lambda data: data.partition(b"\n")[2],
    "no codes": lambda data: data.replace(b"code", b"nummer", 1).replace(b"route", b"way", 1),
    "cut off": cut_off,
    "quotation mark never closed": lambda data: data.rstrip().replace(b"\n", b'\n"', 2),
    "quotation mark open in the header": lambda data: b'"' + data.removeprefix(b"\xef\xbb\xbf"),
}


@pytest.mark.parametrize("how", BROKEN)
@pytest.mark.parametrize("table", ["varieties", "vessels", "cultures", "buyers", "routes"])
def test_only_the_table_itself_is_reported(folder: Path, table: str, how: str) -> None:
    path = folder / f"{table}.csv"
    path.write_bytes(BROKEN[how](path.read_bytes()))
    assert wrong_in(folder) == {path.name}


def test_a_folder_in_its_place_is_reported_alone(folder: Path) -> None:
    path = folder / "varieties.csv"
    path.unlink()
    path.mkdir()
    assert wrong_in(folder) == {path.name}


def test_a_slip_beside_a_broken_table_is_still_found(folder: Path) -> None:
    (folder / "buyers.csv").write_bytes(b"")
    lots = folder / "lots.csv"
    lots.write_text(lots.read_text("utf-8-sig").replace("oyster", "oister", 1), "utf-8")
    assert wrong_in(folder) == {"buyers.csv", "lots.csv"}


def test_a_row_that_stands_twice_is_said_to_be_the_same(folder: Path) -> None:
    path = folder / "buyers.csv"
    lines = path.read_text("utf-8-sig").splitlines()
    path.write_text("\n".join([*lines, lines[-1], ""]), "utf-8")
    [found] = read_folder(folder, today=TODAY)[1]
    assert found.sentence == f"the row says the same as row {len(lines)}."
    assert found.hint == "Delete one of the two rows."
    path.write_text("\n".join([*lines, lines[-1].replace(",", ",Other ", 1), ""]), "utf-8")
    [found] = read_folder(folder, today=TODAY)[1]
    assert found.sentence.endswith(f"stands already in row {len(lines)}, with other values.")
