"""Reading folders as programs and people leave them: encodings, separators, broken files."""

from __future__ import annotations

import os
import zipfile
from collections.abc import Callable
from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest
import xlsxwriter

from pinset.chain.register import FarmBook, Outlet, OutletKind, Step, Weekday
from pinset.chain.route_builder import default_route
from pinset.errors import Finding, RefusedError, Severity
from pinset.files import decode
from pinset.files.description.example import example_book
from pinset.files.description.folder import read_folder
from pinset.files.description.writing import write_folder, write_templates

TODAY = date(2026, 3, 12)
BOOK = example_book(TODAY)


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    write_folder(BOOK, tmp_path)
    return tmp_path


def read(folder: Path) -> tuple[FarmBook | None, tuple[Finding, ...]]:
    return read_folder(folder, today=TODAY)


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


# --- routes that start from published values ---------------------------------------------------

MINIMAL = "route,from_species\noyster-blocks,Pleurotus ostreatus\n"


def minimal(folder: Path, routes: str) -> tuple[FarmBook | None, tuple[Finding, ...]]:
    """Read a farm of three tables: everything else of the route is published."""
    route = default_route("Pleurotus ostreatus", code="oyster-blocks")
    vessels = sorted({"spawn-bag", *(step.vessel for step in route.steps if step.vessel)})
    climates = {step.climate for step in route.steps if step.climate}
    rooms = tuple(
        replace(room, climates=tuple(climates)) if room.code == "grow" else room
        for room in BOOK.rooms
    )
    cooks = tuple(
        replace(BOOK.sterilisers[0].cooks[0], code=code)
        for code in sorted({step.cook for step in route.steps if step.cook})
    )
    steriliser = replace(BOOK.sterilisers[0], cooks=cooks)
    write_folder(
        replace(BOOK, rooms=rooms, sterilisers=(steriliser,), lots=(), promises=()),
        folder,
        replace=True,
    )
    for name in ("preparations", "flushes", "lots", "promises"):
        (folder / f"{name}.csv").unlink()
    (folder / "routes.csv").write_text(routes, "utf-8")
    table = "code,name,litres\n" + "".join(f"{v},{v},2\n" for v in vessels)
    (folder / "vessels.csv").write_text(table, "utf-8")
    book, findings = read(folder)
    return book, tuple(f for f in findings if f.severity is not Severity.NOTE)


def test_one_row_is_enough_for_a_published_route(folder: Path) -> None:
    book, findings = minimal(folder, MINIMAL)
    assert findings == ()
    assert book is not None
    assert book.routes == (default_route("Pleurotus ostreatus", code="oyster-blocks"),)


def test_columns_overrule_published_values(folder: Path) -> None:
    published = default_route("Pleurotus ostreatus", code="oyster-blocks")
    routes = (
        "route,from_species,step,days_low,days_likely,days_high,fill_kg,keeps_days_cold,note\n"
        "oyster-blocks,Pleurotus ostreatus,grain,9,12,16,,-,ours\n"
        "oyster-blocks,,fruiting,,,,4.5,,\n"
    )
    book, findings = minimal(folder, routes)
    assert findings == ()
    assert book is not None
    route = book.routes[0]
    grain, old = route.step("grain"), published.step("grain")
    assert (grain.days.low, grain.days.mode, grain.days.high) == (9, 12, 16)
    assert grain.keeps_days_cold is None  # a dash says none
    assert replace(grain, days=old.days, keeps_days_cold=old.keeps_days_cold) == old
    assert route.step("fruiting") == replace(published.step("fruiting"), fill_g=4500)
    assert route.note == "ours"
    assert [step.code for step in route.steps] == [step.code for step in published.steps]


def test_a_step_can_be_added_to_a_published_route(folder: Path) -> None:
    routes = (
        "route,from_species,step,stage,parent,units_per_parent,days_likely,temperature_c\n"
        "oyster-blocks,Pleurotus ostreatus,grain,,,,,\n"
        "oyster-blocks,,grain-2,grain,grain,8,9,23\n"
        "oyster-blocks,,block,,grain-2,5,,\n"
    )
    book, findings = minimal(folder, routes)
    assert [f.id for f in findings if f.severity is Severity.WRONG] == []
    assert book is not None
    steps: list[Step] = list(book.routes[0].steps)
    codes = [step.code for step in steps]
    assert codes.index("grain-2") == codes.index("grain") + 1
    block = book.routes[0].step("block")
    assert [(p.step, p.units_per_parent) for p in block.parents] == [("grain-2", 5)]


def test_an_unknown_species_names_those_published(folder: Path) -> None:
    book, findings = minimal(folder, MINIMAL.replace("ostreatus", "ostreatos"))
    assert book is None
    first = findings[0]
    assert (first.id, first.record) == (
        "load.not-published",
        "routes.csv row 2 column from_species",
    )
    assert "ostreatos" in first.sentence


def test_a_route_may_start_at_bought_spawn(folder: Path) -> None:
    book, findings = minimal(
        folder, "route,from_species,starts_at\noyster-blocks,Pleurotus ostreatus,spawn\n"
    )
    assert [str(f) for f in findings if f.severity is Severity.WRONG] == []
    assert book is not None
    assert book.routes[0].steps[0].code == "spawn"


# --- writing --------------------------------------------------------------------------------


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


OUTAGES = """\
code,what,which,from_date,until,note
down,steriliser,steamer,2026-03-20,2026-03-22,new seal
away,person,you,2026-03-20,2026-03-22,
clean,cellar,grow,2026-03-20,2026-03-22,
swap,room,grow,2026-03-22,2026-03-20,
over,bench,bench,2026-02-01,2026-02-03,
"""


def test_what_is_out_of_use_is_read_and_every_slip_has_its_row(folder: Path) -> None:
    (folder / "outages.csv").write_text(OUTAGES, "utf-8")
    book, findings = read(folder)
    assert book is None
    assert {(f.id, f.record) for f in findings} == {
        ("load.code-unknown", "outages.csv row 3 column which"),
        ("load.word", "outages.csv row 4 column what"),
        ("load.date-order", "outages.csv row 5 column until"),
        ("load.date-past", "outages.csv row 6 column until"),
    }
    good = [line for n, line in enumerate(OUTAGES.splitlines()) if n in {0, 1, 5}]
    (folder / "outages.csv").write_text("\n".join(good), "utf-8")
    book, _ = read(folder)
    assert book is not None
    assert [(each.which, each.note) for each in book.outages] == [
        ("steamer", "new seal"),
        ("bench", ""),
    ]


OUTLETS = """\
code,name,kind,weekdays,varieties,price_per_kg,least_kg,most_kg,until,fresh_per_dry,ratio_source
stall,Market (invented),market,sat sun,oyster,12.50,2,15,,,
drier,Drying cupboard,drying,,,80,,6 kg,,10,
cellar,A cellar,celar,,,,,,,,
extra,A kitchen,kitchen,,oyster shitake,,,,,,
dry,More drying,drying,,,80,,,,,
much,Much,market,,,,5,4,,,
over,Over,market,,,,,,2026-02-01,,
"""


def test_outlets_are_read_and_every_slip_has_its_row(folder: Path) -> None:
    (folder / "outlets.csv").write_text(OUTLETS, "utf-8")
    book, findings = read(folder)
    assert book is None
    assert {(f.id, f.record) for f in findings} == {
        ("load.word", "outlets.csv row 4 column kind"),
        ("load.code-unknown", "outlets.csv row 5 column varieties"),
        ("outlet.ratio", "outlets.csv row 6 column fresh_per_dry"),
        ("outlet.most", "outlets.csv row 7 column most_kg"),
        ("load.date-past", "outlets.csv row 8 column until"),
    }
    good = [line for n, line in enumerate(OUTLETS.splitlines()) if n in {0, 1, 2}]
    (folder / "outlets.csv").write_text("\n".join(good), "utf-8")
    book, _ = read(folder)
    assert book is not None
    stall, drier = book.outlets
    assert stall == Outlet(
        "stall",
        "Market (invented)",
        OutletKind.MARKET,
        (Weekday.SAT, Weekday.SUN),
        ("oyster",),
        1250,
        2000,
        15_000,
    )
    assert (drier.fresh_per_dry, drier.most_g, drier.price_cents_per_kg) == (10.0, 6000, 8000)
