"""Writing a folder: all of it or nothing, and nothing that stands in the way is lost."""

from __future__ import annotations

import os
from dataclasses import replace
from pathlib import Path

import pytest

from files.folders import BOOK, TODAY, read
from pinset.errors import RefusedError
from pinset.files.description.writing import write_folder, write_templates


def test_files_in_the_way_are_kept(folder: Path) -> None:
    before = {path.name: path.read_bytes() for path in folder.iterdir()}
    with pytest.raises(RefusedError, match=r"already holds.*farm\.toml.*nothing was written"):
        write_templates(folder, today=TODAY)
    assert {path.name: path.read_bytes() for path in folder.iterdir()} == before


def test_replacing_takes_the_other_form_away(folder: Path) -> None:
    (folder / "farm.sqlite3").write_bytes(b"not ours to touch")
    write_folder(BOOK, folder, as_xlsx=True, replace=True)
    names = {path.name for path in folder.iterdir()}
    assert "lots.xlsx" in names
    assert "lots.csv" not in names
    assert "farm.sqlite3" in names
    assert read(folder) == (BOOK, ())


def test_a_failure_while_writing_leaves_everything_as_it_was(
    folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    before = {path.name: path.read_bytes() for path in folder.iterdir()}
    real, calls = Path.rename, []

    def full(path: Path, target: Path) -> Path:
        calls.append(path.name)
        if len(calls) == 14:
            raise OSError(28, "No space left on device")
        return real(path, target)

    monkeypatch.setattr(Path, "rename", full)
    with pytest.raises(RefusedError, match="No space left on device"):
        write_folder(replace(BOOK, lots=()), folder, replace=True)
    monkeypatch.undo()
    assert {path.name: path.read_bytes() for path in folder.iterdir()} == before


def test_a_new_folder_is_not_left_behind_by_a_failure(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(*_: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(RefusedError, match="nothing was written"):
        write_folder(BOOK, tmp_path / "new")
    assert not (tmp_path / "new").exists()


@pytest.mark.parametrize("as_xlsx", [False, True])
def test_templates_load_without_findings(tmp_path: Path, *, as_xlsx: bool) -> None:
    write_templates(tmp_path, today=TODAY, as_xlsx=as_xlsx)
    assert read(tmp_path) == (BOOK, ())


def test_templates_explain_every_column(tmp_path: Path) -> None:
    write_templates(tmp_path, today=TODAY)
    for path in tmp_path.glob("*.csv"):
        lines = path.read_text("utf-8-sig").splitlines()
        comments = [line for line in lines if line.startswith("#")]
        header = next(line for line in lines if not line.startswith("#"))
        for name in header.split(","):
            assert any(line.startswith(f"# {name}: ") for line in comments), (path.name, name)


def test_text_that_looks_like_a_formula_is_written_as_text(folder: Path) -> None:
    name = '=HYPERLINK("https://example.invalid")'
    book = replace(BOOK, buyers=(replace(BOOK.buyers[0], name=name), *BOOK.buyers[1:]))
    write_folder(book, folder, replace=True)
    assert "\"'=HYPERLINK" in (folder / "buyers.csv").read_text("utf-8-sig")
    assert read(folder) == (book, ())
