"""What is written is read back unchanged: every record, CSV and workbooks."""

from __future__ import annotations

import tempfile
from dataclasses import fields
from datetime import date
from pathlib import Path

import pytest
from hypothesis import HealthCheck, Phase, given, settings

from files.books import books
from pinset.chain.register import FarmBook
from pinset.errors import Finding
from pinset.files.description.example import example_book
from pinset.files.description.folder import read_folder
from pinset.files.description.writing import write_folder

QUICK = settings(
    deadline=None,
    phases=[Phase.explicit, Phase.reuse, Phase.generate],  # shrinking a whole farm takes minutes
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large],
)
TODAY = date(2026, 3, 12)


def no_rules(book: FarmBook, today: date | None) -> tuple[Finding, ...]:
    """Ask nothing across records: random farms are well-formed, not sensible."""
    del book, today
    return ()


def trip(book: FarmBook, *, as_xlsx: bool, explain: bool) -> FarmBook | None:
    with tempfile.TemporaryDirectory() as folder:
        write_folder(book, Path(folder), as_xlsx=as_xlsx, explain=explain)
        found, findings = read_folder(Path(folder), rules=no_rules)
        told = [each for each in findings if not each.id.startswith("load.species-")]
        assert told == [], "\n".join(map(str, told))  # random species are none that is published
        return found


def assert_same(found: FarmBook | None, book: FarmBook) -> None:
    assert found is not None
    for part in fields(book):
        assert getattr(found, part.name) == getattr(book, part.name), part.name
    assert found == book


@settings(QUICK, max_examples=25)
@given(books())
def test_csv_gives_the_same_farm_back(book: FarmBook) -> None:
    assert_same(trip(book, as_xlsx=False, explain=False), book)


@settings(QUICK, max_examples=15)
@given(books())
def test_workbooks_give_the_same_farm_back(book: FarmBook) -> None:
    assert_same(trip(book, as_xlsx=True, explain=True), book)


@pytest.mark.parametrize("as_xlsx", [False, True])
def test_same_book_gives_the_same_bytes(tmp_path: Path, *, as_xlsx: bool) -> None:
    for name in ("one", "two"):
        write_folder(example_book(TODAY), tmp_path / name, as_xlsx=as_xlsx)
    for file in sorted((tmp_path / "one").iterdir()):
        assert file.read_bytes() == (tmp_path / "two" / file.name).read_bytes(), file.name
