"""Reading folders as programs and people leave them: encodings, separators, broken files."""

from __future__ import annotations

import zipfile
from collections.abc import Callable
from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest
import xlsxwriter

from files.folders import BOOK, read
from pinset.errors import Finding, Severity
from pinset.files import decode
from pinset.files.description.writing import write_folder


def ids(findings: tuple[Finding, ...]) -> list[str]:
    return [finding.id for finding in findings]


def rewritten(folder: Path, name: str, change: Callable[[str], str], encoding: str) -> None:
    path = folder / name
    path.write_bytes(change(path.read_text("utf-8-sig")).encode(encoding))


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "utf-16-le", "utf-16-be"])
def test_unicode_in_any_form_is_read_without_a_word(folder: Path, encoding: str) -> None:
    rewritten(folder, "buyers.csv", lambda text: text.replace("A kitchen", "Küche"), encoding)
    book, findings = read(folder)
    assert findings == ()
    assert book is not None
    assert book.buyers[0].name == "Küche (invented)"


def test_windows_1252_is_read_and_noted(folder: Path) -> None:
    rewritten(folder, "buyers.csv", lambda text: text.replace("A kitchen", "Küche"), "cp1252")
    book, findings = read(folder)
    assert book is not None
    assert book.buyers[0].name == "Küche (invented)"
    assert [(f.id, f.severity, f.record) for f in findings] == [
        ("load.windows-1252", Severity.NOTE, "buyers.csv row 2")
    ]


@pytest.mark.parametrize("separator", [";", "\t"])
@pytest.mark.parametrize("line_end", ["\n", "\r\n", "\r"])
def test_other_separators_and_line_ends(folder: Path, separator: str, line_end: str) -> None:
    for path in folder.glob("*.csv"):
        text = path.read_text("utf-8-sig")
        changed = text.replace(",", separator).replace("\n", line_end)
        path.write_bytes(changed.encode("utf-8"))
    book, findings = read(folder)
    assert findings == ()
    assert book == BOOK


def test_a_separator_named_in_the_first_line(folder: Path) -> None:
    rewritten(folder, "vessels.csv", lambda t: "sep=;\n" + t.replace(",", ";"), "utf-8")
    assert read(folder) == (BOOK, ())


def test_decimal_comma_in_a_semicolon_file(folder: Path) -> None:
    def german(text: str) -> str:
        return text.replace(",", ";").replace(".", ",")

    for name in ("vessels.csv", "flushes.csv", "promises.csv"):
        rewritten(folder, name, german, "utf-8")
    assert read(folder) == (BOOK, ())


def test_blank_lines_comments_spaces_and_empty_columns(folder: Path) -> None:
    def untidy(text: str) -> str:
        head, *rest = text.splitlines()
        lines = ['# what I wrote "down', "", ",,,", f" {head.upper()} ,,", '"# note, to me"']
        for line in rest:
            lines += [line.replace(",", " , ").upper() + ",,", "", ";"[:0], "   "]
        return "\n".join(lines)

    rewritten(folder, "promises.csv", untidy, "utf-8")
    assert read(folder) == (BOOK, ())


@pytest.mark.parametrize("given", ["2026-03-02", "02.03.2026", "2. 3. 2026", "2026-03-02T00:00"])
def test_dates_in_their_usual_forms(folder: Path, given: str) -> None:
    rewritten(folder, "lots.csv", lambda text: text.replace("2026-03-02", given), "utf-8")
    assert read(folder) == (BOOK, ())


def test_amounts_in_other_units(folder: Path) -> None:
    def imperial(text: str) -> str:
        return text.replace(",4,", ',"5 lb",').replace(",6.5,", ',"6500 g",')

    rewritten(folder, "promises.csv", imperial, "utf-8")
    rewritten(
        folder, "farm.toml", lambda t: t.replace("temperature_c = 16", 'temperature_c = "59 F"'),
        "utf-8",
    )  # fmt: skip
    book, findings = read(folder)
    assert findings == ()
    assert book is not None
    # 5 lb = 5 x 453.59237 g by definition of the international pound (1959): 2267.96 g
    assert [promise.amount for promise in book.promises] == [2268, 6500]
    assert book.rooms[5].temperature_c == pytest.approx(15.0)


def xlsx(path: Path, rows: list[list[object]], form: str = "yyyy-mm-dd") -> None:
    with xlsxwriter.Workbook(path) as workbook:
        day = workbook.add_format({"num_format": form})
        sheet = workbook.add_worksheet()
        for y, row in enumerate(rows):
            for x, cell in enumerate(row):
                if isinstance(cell, date):
                    sheet.write_datetime(y, x, cell, day)
                else:
                    sheet.write(y, x, cell)


def test_workbook_dates_numbers_and_percentages(folder: Path) -> None:
    (folder / "cultures.csv").unlink()
    xlsx(
        folder / "cultures.xlsx",
        [
            ["# a comment"],
            ["Code", "Variety", "Source", "Mother on"],
            [],
            ["OYSTER-A", " oyster ", "invented source", date(2025, 8, 24)],
        ],
        form="dd/mm/yyyy",
    )
    assert read(folder) == (BOOK, ())


def test_a_bare_day_number_in_a_workbook_is_no_date(folder: Path) -> None:
    (folder / "cultures.csv").unlink()
    rows: list[list[object]] = [
        ["code", "variety", "source", "mother_on"],
        ["oyster-a", "oyster", "x", 45893],
    ]
    xlsx(folder / "cultures.xlsx", rows)
    _, findings = read(folder)
    assert [(f.id, f.record) for f in findings] == [
        ("load.date", "cultures.xlsx row 2 column mother_on")
    ]
    assert "2025-08-24" in findings[0].hint


def test_a_cell_that_shows_an_error_is_found(folder: Path) -> None:
    (folder / "buyers.csv").unlink()
    xlsx(folder / "buyers.xlsx", [["code", "name"], ["kitchen", "A"], ["market", "=1/0"]])
    with zipfile.ZipFile(folder / "buyers.xlsx") as archive:
        parts = {name: archive.read(name) for name in archive.namelist()}
    sheet = parts["xl/worksheets/sheet1.xml"]
    parts["xl/worksheets/sheet1.xml"] = sheet.replace(
        b'<c r="B3"><f>1/0</f><v>0</v>', b'<c r="B3" t="e"><f>1/0</f><v>#DIV/0!</v>'
    )
    with zipfile.ZipFile(folder / "buyers.xlsx", "w") as archive:
        for name, data in parts.items():
            archive.writestr(name, data)
    _, findings = read(folder)
    assert ("load.cell-error", "buyers.xlsx row 3") in {(f.id, f.record) for f in findings}


def test_both_csv_and_workbook_is_a_problem(folder: Path) -> None:
    xlsx(folder / "lots.xlsx", [["code"]])
    book, findings = read(folder)
    assert book is None
    assert ids(findings) == ["load.file-twice"]
    assert "lots.csv and lots.xlsx" in findings[0].sentence


def test_missing_files(folder: Path) -> None:
    for name in ("farm.toml", "routes.csv", "buyers.csv"):
        (folder / name).unlink()
    book, findings = read(folder)
    assert book is None
    found = {(f.id, f.severity, f.record) for f in findings}
    assert ("load.file-missing", Severity.WRONG, "farm.toml") in found
    assert ("load.file-missing", Severity.WRONG, "routes.csv") in found
    assert ("load.file-none", Severity.NOTE, "buyers.csv") in found


def test_a_misspelt_file_is_pointed_out(folder: Path) -> None:
    (folder / "lots.csv").rename(folder / "lot.csv")
    _, findings = read(folder)
    assert {f.id: f.hint for f in findings}["load.file-unknown"] == (
        "Did you mean lots.csv or lots.xlsx?"
    )


@pytest.mark.parametrize("data", [b"", b"\n\n", b"# only a comment\n"])
def test_empty_files(folder: Path, data: bytes) -> None:
    (folder / "buyers.csv").write_bytes(data)
    book, findings = read(folder)
    assert book is None
    assert "load.empty-file" in ids(findings)


def test_an_empty_workbook(folder: Path) -> None:
    (folder / "buyers.csv").unlink()
    (folder / "buyers.xlsx").write_bytes(b"")
    assert "load.empty-file" in ids(read(folder)[1])


def test_half_a_workbook(folder: Path, tmp_path: Path) -> None:
    write_folder(BOOK, tmp_path / "x", as_xlsx=True)
    whole = (tmp_path / "x" / "lots.xlsx").read_bytes()
    (folder / "lots.csv").unlink()
    (folder / "lots.xlsx").write_bytes(whole[: len(whole) // 2])
    book, findings = read(folder)
    assert book is None
    assert ids(findings) == ["load.workbook-broken"]


def test_an_open_quote_is_found_and_the_rest_still_read(folder: Path) -> None:
    rewritten(
        folder,
        "buyers.csv",
        lambda t: t.replace("kitchen,A", 'kitchen,"A').replace(
            "market,Market (invented),", "market,M,25:99"
        ),
        "utf-8",
    )
    book, findings = read(folder)
    assert book is None
    found = {(f.id, f.record) for f in findings}
    assert ("load.quote-open", "buyers.csv row 2") in found
    assert ("load.clock", "buyers.csv row 3 column deliver_at") in found


def test_nul_bytes(folder: Path) -> None:
    rewritten(folder, "buyers.csv", lambda text: text.replace("Market (", "Mar\0ket ("), "utf-8")
    book, findings = read(folder)
    assert book is None
    assert ("load.nul-byte", "buyers.csv row 3") in {(f.id, f.record) for f in findings}


def test_a_huge_file_is_not_read(folder: Path) -> None:
    with (folder / "lots.csv").open("r+b") as file:
        file.truncate(200_000_000)
    _, findings = read(folder)
    assert ids(findings) == ["load.too-large"]
    assert "200 MB" in findings[0].sentence
    assert f"{decode.MOST_BYTES // 1_000_000} MB" in findings[0].sentence


def test_a_sheet_that_reaches_too_far_is_not_unpacked(folder: Path) -> None:
    (folder / "lots.csv").unlink()
    with xlsxwriter.Workbook(folder / "lots.xlsx") as workbook:
        sheet = workbook.add_worksheet()
        sheet.write(0, 0, "code")
        sheet.write(1_048_575, 16_383, "far away")
    _, findings = read(folder)
    assert ids(findings) == ["load.too-large"]


def test_a_folder_where_a_file_should_be(folder: Path) -> None:
    (folder / "lots.csv").unlink()
    (folder / "lots.csv").mkdir()
    assert ids(read(folder)[1]) == ["load.not-a-file"]


def test_a_file_that_may_not_be_read(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    real = Path.read_bytes

    def forbidden(path: Path) -> bytes:
        if path.name == "lots.csv":
            raise PermissionError(13, "Permission denied")
        return real(path)

    monkeypatch.setattr(Path, "read_bytes", forbidden)
    _, findings = read(folder)
    assert ids(findings) == ["load.unreadable"]
    assert "Permission denied" in findings[0].sentence


def test_a_folder_that_is_not_there(tmp_path: Path) -> None:
    book, findings = read(tmp_path / "nowhere")
    assert book is None
    assert ids(findings) == ["load.folder"]


def test_missing_and_unknown_columns(folder: Path) -> None:
    rewritten(folder, "lots.csv", lambda text: text.replace("made_on", "made_at"), "utf-8")
    _, findings = read(folder)
    assert [(f.id, f.record, f.hint) for f in findings if f.id == "load.column-unknown"] == [
        ("load.column-unknown", "lots.csv row 1 column made_at", "Did you mean made_on?")
    ]
    assert ("load.column-missing", "lots.csv row 1 column made_on") in {
        (f.id, f.record) for f in findings
    }
    assert not any("row 2" in f.record for f in findings)  # said once, not for every row


def test_a_workbook_named_csv(folder: Path) -> None:
    xlsx(folder / "buyers.csv", [["code"]])
    assert "load.not-csv" in ids(read(folder)[1])


def test_past_promises_are_warned_of_and_kept(folder: Path) -> None:
    past = replace(BOOK.promises[0], weekday=None, on_date=date(2026, 1, 2))
    book = replace(BOOK, promises=(past,))
    write_folder(book, folder, replace=True)
    found, findings = read(folder)
    assert found == book
    assert [(f.severity, f.record) for f in findings] == [
        (Severity.WARNING, "promises.csv row 2 column on_date")
    ]
