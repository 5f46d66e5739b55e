"""What a farm keeps beside its routes and lots: outages, outlets, chores, instructions."""

from __future__ import annotations

from datetime import date
from pathlib import Path

from files.folders import read
from pinset.chain.register import Outlet, OutletKind, Weekday
from pinset.chain.upkeep import Chore, ChoreAt, ChoreKind, Instruction, Reads

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


UPKEEP = """\
code,name,kind,at,which,every_days,every_uses,reads,limit,since,by,cautions
floor,Wash the floor,room-cleaning,room,lab,7,,,,2026-03-01,me,disinfectants
hepa,Pressure drop,hepa,bench,bench,2 weeks,,pa,240,,,
roof,Roof,cleaning,room,lab,7,,,,,,
attic,Attic,room-cleaning,room,attic,7,,,,,you,
seal,Seal,gasket,steriliser,steamer,,,,,,,
lamp,Lamp,lamp,bench,bench,30,,h,-5,,,
soon,Soon,laundry,farm,,7,,,,2027-03-01,,
bleach,Bleach,laundry,farm,,7,,,,,,bleech
"""


def test_chores_are_read_and_every_slip_has_its_row(folder: Path) -> None:
    (folder / "upkeep.csv").write_text(UPKEEP, "utf-8")
    book, findings = read(folder)
    assert book is None
    assert {(f.id, f.record) for f in findings} == {
        ("load.word", "upkeep.csv row 4 column kind"),
        ("load.code-unknown", "upkeep.csv row 5 column which"),
        ("load.code-unknown", "upkeep.csv row 5 column by"),
        ("upkeep.often", "upkeep.csv row 6 column every_days"),
        ("load.out-of-range", "upkeep.csv row 7 column limit"),
        ("load.date-future", "upkeep.csv row 8 column since"),
        ("upkeep.caution", "upkeep.csv row 9 column cautions"),
    }
    good = [line for n, line in enumerate(UPKEEP.splitlines()) if n in {0, 1, 2}]
    (folder / "upkeep.csv").write_text("\n".join(good), "utf-8")
    book, _ = read(folder)
    assert book is not None
    floor, hepa = book.upkeep
    assert floor == Chore(
        "floor",
        "Wash the floor",
        ChoreKind.ROOM_CLEANING,
        ChoreAt.ROOM,
        "lab",
        7,
        since=date(2026, 3, 1),
        by="me",
        cautions=("disinfectants",),
    )
    assert (hepa.every_days, hepa.reads, hepa.limit) == (14, Reads.PRESSURE_DROP, 240.0)


def test_an_instruction_keeps_its_lines(folder: Path) -> None:
    text = 'code,text\nhepa,"Fan on.\nRead the gauge."\nsing,La\n'
    (folder / "instructions.csv").write_text(text, "utf-8")
    book, findings = read(folder)
    assert book is None
    assert [(f.id, f.record) for f in findings] == [
        ("load.word", "instructions.csv row 4 column code")
    ]
    (folder / "instructions.csv").write_text(text.replace("sing,La\n", ""), "utf-8")
    book, _ = read(folder)
    assert book is not None
    assert book.instructions == (Instruction("hepa", "Fan on.\nRead the gauge."),)
