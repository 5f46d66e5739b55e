"""Routes in a folder that start from published values."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from files.folders import BOOK, read
from pinset.chain.register import FarmBook, Step
from pinset.chain.route_builder import default_route
from pinset.errors import Finding, Severity
from pinset.files.description.writing import write_folder

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
