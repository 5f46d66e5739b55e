"""A folder with many problems: each is found, at its file, row and column, all in one go."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

from pinset.errors import Finding, Severity
from pinset.files.description.example import example_book
from pinset.files.description.folder import read_folder
from pinset.files.description.writing import write_folder

TODAY = date(2026, 3, 12)

FARM = """
[farm]
name = "Seeded farm (invented)"
altitude_m = "240 kg"
time_zone = "Europe/Viena"
curency = "EUR"

[[rooms]]
code = "lab"
name = "Laboratory"
kind = "labratory"
temperature_c = 21
shelves = [
  { code = "lab-1", holds = 60 },
  { code = "lab-1", holds = -5 },
]

[[rooms]]
code = "warm"
name = "Incubation"
kind = "incubation"
temperature_c = 23
shelves = [{ code = "warm-1", holds = 80 }]

[[benches]]
code = "bench"
name = "Bench"
room = "labb"
minutes_per_day = 240
"""

VARIETIES = """\
code,name,species,route,price_per_kg,colur
oyster,Grey oyster,Pleurotus ostreatus,oyster-blocks,12,grey
oyster,Grey oyster again,Pleurotus ostreatus,oyster-blocks,12,grey
shiitake,,Lentinula edodes,shiitake-bloks,cheap,
"""

ROUTES = """\
route,step,kind,stage,parent,units_per_parent,days_low,days_likely,days_high,loss_likely,temperature_c
oyster-blocks,plate,transfer,plate,,,6,8,11,0.03,23
oyster-blocks,grain,transfer,grain,plate,5,14,13,17,4,23
oyster-blocks,grain,transfer,grain,plate,5,10,13,17,0.04,23
oyster-blocks,block,tranfer,block,grian,6,14,,24,0.05,72 F
"""

CULTURES = """\
code;variety;source;mother_on
oyster-a;oyster;invented;03/04/2025
oyster-b;oyster;invented;12.03.3000
"""

BUYERS = """\
code,name,deliver_at
market,Market (invented),25:00
Big Kitchen,A kitchen (invented),
"""

PROMISES = """\
code,buyer,variety,amount_kg,amount_units,weekday,on_date
a,market,oyster,12 gal,,fri,
b,market,oyster,4,20,fri,
c,markt,oyster,4,,frida y,
d,market,oyster,"1,500",,,2026-13-01
"""

LOTS = """\
code,variety,step,count,made_on,place,made_count
7K4MX,oyster,plate,12,2026-03-01,lab-1,
,oyster,plate,2.5,2026-03-01,lab-1,
,oyster,grain,10,2027-03-01,warm-1,
,oyster,grain,10,2026-03-01,warm-1,4
,oyster,grain,10,2026-03-01,warm-9,

,oyster,plate,5,2026-03-02,lab-1,
,oyster,plate,5,2026-03-02,lab-1,
,oyster,plate,5,2026-"""

EXPECTED = {
    ("load.unit", "farm.toml row 3 column farm.altitude_m"),
    ("load.time-zone", "farm.toml row 4 column farm.time_zone"),
    ("load.name-unknown", "farm.toml row 5 column farm.curency"),
    ("load.word", "farm.toml row 10 column rooms[1].kind"),
    ("load.row-twice", "farm.toml row 14 column rooms[1].shelves[2].code"),
    ("load.out-of-range", "farm.toml row 14 column rooms[1].shelves[2].holds"),
    ("load.code-unknown", "farm.toml row 27 column benches[1].room"),
    ("load.column-unknown", "varieties.csv row 1 column colur"),
    ("load.row-twice", "varieties.csv row 3 column code"),
    ("load.value-missing", "varieties.csv row 4 column name"),
    ("load.code-unknown", "varieties.csv row 4 column route"),
    ("load.number", "varieties.csv row 4 column price_per_kg"),
    ("load.spread-order", "routes.csv row 3 column days_low"),
    ("load.out-of-range", "routes.csv row 3 column loss_likely"),
    ("load.row-twice", "routes.csv row 4 column step"),
    ("load.word", "routes.csv row 5 column kind"),
    ("load.code-unknown", "routes.csv row 5 column parent"),
    ("load.value-missing", "routes.csv row 5 column days_likely"),
    ("load.date-ambiguous", "cultures.csv row 2 column mother_on"),
    ("load.date-range", "cultures.csv row 3 column mother_on"),
    ("load.clock", "buyers.csv row 2 column deliver_at"),
    ("load.code", "buyers.csv row 3 column code"),
    ("load.unit", "promises.csv row 2 column amount_kg"),
    ("load.one-of-two", "promises.csv row 3 column amount_kg"),
    ("load.code-unknown", "promises.csv row 4 column buyer"),
    ("load.weekday", "promises.csv row 4 column weekday"),
    ("load.number-ambiguous", "promises.csv row 5 column amount_kg"),
    ("load.date", "promises.csv row 5 column on_date"),
    ("load.lot-code", "lots.csv row 2 column code"),
    ("load.not-whole", "lots.csv row 3 column count"),
    ("load.date-future", "lots.csv row 4 column made_on"),
    ("load.count-order", "lots.csv row 5 column made_count"),
    ("load.code-unknown", "lots.csv row 6 column place"),
    ("load.row-twice", "lots.csv row 9"),
    ("load.cut-off", "lots.csv row 10"),
    ("load.date", "lots.csv row 10 column made_on"),
    ("load.value-missing", "lots.csv row 10 column place"),
}


@pytest.fixture
def seeded(tmp_path: Path) -> Path:
    files = {
        "farm.toml": FARM.lstrip("\n"),
        "varieties.csv": VARIETIES,
        "routes.csv": ROUTES,
        "cultures.csv": CULTURES,
        "buyers.csv": BUYERS,
        "promises.csv": PROMISES,
        "lots.csv": LOTS,
    }
    for name, text in files.items():
        (tmp_path / name).write_text(text, encoding="utf-8")
    return tmp_path


def wrong(findings: tuple[Finding, ...]) -> set[tuple[str, str]]:
    return {(f.id, f.record) for f in findings if f.severity is Severity.WRONG}


def test_every_seeded_problem_is_found_at_its_place(seeded: Path) -> None:
    book, findings = read_folder(seeded, today=TODAY)
    assert book is None
    assert len(EXPECTED) >= 30
    assert wrong(findings) == EXPECTED


def test_every_finding_says_what_was_given_and_what_is_accepted(seeded: Path) -> None:
    _, findings = read_folder(seeded, today=TODAY)
    said = {f.record: f for f in findings}
    unit = said["promises.csv row 2 column amount_kg"]
    assert "“12 gal” is given" in unit.sentence
    assert "kg, g, mg, t, lb, oz" in unit.sentence
    assert said["farm.toml row 4 column farm.time_zone"].hint == "Did you mean Europe/Vienna?"
    assert said["farm.toml row 5 column farm.curency"].hint == "Did you mean currency?"
    assert said["varieties.csv row 1 column colur"].hint == "Did you mean colour?"
    assert said["varieties.csv row 4 column route"].hint == "Did you mean oyster-blocks?"
    assert said["routes.csv row 5 column parent"].hint == "Did you mean grain?"
    assert said["buyers.csv row 3 column code"].hint == "For example big-kitchen."
    assert "2025-04-03 or 2025-03-04" in said["cultures.csv row 2 column mother_on"].hint
    assert "1500 or 1.500" in said["promises.csv row 5 column amount_kg"].hint
    for finding in findings:
        assert finding.id.startswith("load.")
        assert finding.sentence.endswith(".")


def test_what_only_follows_from_a_broken_row_is_not_said(tmp_path: Path) -> None:
    """One slip, one finding: lots of a variety with a wrong price are not said to have none."""
    write_folder(example_book(TODAY), tmp_path)
    path = tmp_path / "varieties.csv"
    path.write_text(path.read_text("utf-8").replace(",12,", ",twelve,"), "utf-8")
    _, findings = read_folder(tmp_path, today=TODAY)
    assert wrong(findings) == {("load.number", "varieties.csv row 2 column price_per_kg")}


def test_a_broken_farm_file_does_not_hide_the_tables(tmp_path: Path) -> None:
    write_folder(example_book(TODAY), tmp_path)
    (tmp_path / "farm.toml").write_text("[farm]\nname = Shed\n", "utf-8")
    path = tmp_path / "lots.csv"
    path.write_text(path.read_text("utf-8").replace(",40,", ",forty,"), "utf-8")
    _, findings = read_folder(tmp_path, today=TODAY)
    assert [f.id for f in findings] == ["load.toml", "load.number"]
    assert "line 2" in findings[0].sentence


def test_rules_of_the_whole_book_point_at_rows(tmp_path: Path) -> None:
    write_folder(example_book(TODAY), tmp_path)
    flushes = tmp_path / "flushes.csv"
    flushes.write_text(flushes.read_text("utf-8").replace("0.65", "0.95"), "utf-8")
    cultures = tmp_path / "cultures.csv"
    cultures.write_text(cultures.read_text("utf-8").replace("2025-08-24", "2026-08-24"), "utf-8")
    farm = tmp_path / "farm.toml"
    farm.write_text(farm.read_text("utf-8").replace("holds = 120", "holds = 20"), "utf-8")
    _, findings = read_folder(tmp_path, today=TODAY)
    assert wrong(findings) == {
        ("route.flush-shares", "routes.csv row 6"),
        ("load.date-future", "cultures.csv row 2 column mother_on"),
    }
    shelf = [f for f in findings if f.severity is Severity.WARNING]
    assert [f.id for f in shelf] == ["shelf.over-full"]
    assert shelf[0].record.startswith("farm.toml row ")
    assert shelf[0].record.endswith("column rooms[6].shelves[1]")
