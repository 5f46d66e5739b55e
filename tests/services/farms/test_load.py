"""Loading a described farm: all or nothing, once; after that the database is the truth."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

import pytest

from pinset.chain.lotcode import encode
from pinset.chain.register import FarmBook, Spread, StandingLot, StepKind
from pinset.errors import RefusedError, Severity
from pinset.farm import door, queries, register_store
from pinset.farm.entries import NewEntry
from pinset.farm.models import Entry, Lot, Person, RegisterRow
from pinset.files.description.example import example_book
from pinset.files.description.folder import read_folder
from pinset.files.description.writing import write_folder
from pinset.services.answers import lot_actions
from pinset.services.books.register_change import write_record
from pinset.services.farms import load as service
from pinset.services.farms.export import current_book, export
from pinset.services.farms.load import load
from pinset.services.farms.load_words import lot_differences
from pinset.services.farms.new import new

pytestmark = pytest.mark.django_db

NOW = datetime(2026, 3, 12, 9, 0, tzinfo=UTC)
TODAY = NOW.date()


def described(folder: Path, book: FarmBook | None = None, **ways: bool) -> Path:
    write_folder(book or example_book(TODAY), folder, replace=True, **ways)
    return folder


def nothing_written() -> bool:
    return not (
        Entry.objects.exists()
        or RegisterRow.objects.exists()
        or Lot.objects.exists()
        or Person.objects.exists()
    )


def test_templates_load_as_they_are(tmp_path: Path) -> None:
    new(tmp_path, today=TODAY)
    report = load(tmp_path, now=NOW)
    assert report.applied
    assert report.findings == ()
    assert "Example farm" in report.sentence
    assert len(report.lots) == len(example_book(TODAY).lots)
    assert {lot.code for lot in queries.living(TODAY)} == {code for _, code in report.lots}


@pytest.mark.parametrize("as_xlsx", [False, True])
def test_what_is_exported_loads_as_the_same_farm(tmp_path: Path, *, as_xlsx: bool) -> None:
    load(described(tmp_path / "in"), now=NOW)
    before = current_book(TODAY)
    export(tmp_path / "out", on=TODAY, as_xlsx=as_xlsx)
    book, findings = read_folder(tmp_path / "out", today=TODAY)
    assert book == before
    assert findings == ()
    assert replace(before, lots=()) == replace(example_book(TODAY), lots=())
    without_codes = {replace(lot, code="") for lot in before.lots}
    assert without_codes == set(example_book(TODAY).lots)


def test_loading_the_export_again_finds_no_difference(tmp_path: Path) -> None:
    load(described(tmp_path / "in"), now=NOW)
    export(tmp_path / "out", on=TODAY)
    entries = Entry.objects.count()
    report = load(tmp_path / "out", now=NOW + timedelta(hours=1))
    assert report.difference == ()
    assert report.applied
    assert "already" in report.sentence
    assert Entry.objects.count() == entries


def test_a_wrong_folder_writes_nothing(tmp_path: Path) -> None:
    described(tmp_path)
    lots = tmp_path / "lots.csv"
    lots.write_text(lots.read_text("utf-8").replace(",40,", ",-40,"), "utf-8")
    report = load(tmp_path, now=NOW)
    assert not report.applied
    assert any(f.record == "lots.csv row 5 column count" for f in report.findings)
    assert nothing_written()


def fruiting_row(book: FarmBook, **changes: object) -> FarmBook:
    """Return the book with its fruiting lot changed."""
    return replace(
        book,
        lots=tuple(
            replace(lot, **changes) if lot.step == "fruiting" else lot  # type: ignore[arg-type]
            for lot in book.lots
        ),
    )


@pytest.mark.parametrize(
    ("field", "value", "given", "accepted"),
    [
        ("picked_g", 900_000, "picked_kg 900 ", "0 to "),
        ("place", "warm-1", "place 'warm-1 in ", "grow-1"),
    ],
)
def test_what_is_hardly_so_is_asked_about_in_its_cell(
    tmp_path: Path, field: str, value: object, given: str, accepted: str
) -> None:
    book = example_book(TODAY)
    row = next(n for n, lot in enumerate(book.lots, start=2) if lot.step == "fruiting")
    report = load(described(tmp_path / "in", fruiting_row(book, **{field: value})), now=NOW)
    assert not report.applied
    assert nothing_written()
    (asked,) = (f for f in report.findings if f.severity is Severity.WRONG)
    assert asked.record == f"lots.csv row {row} column {given.split(maxsplit=1)[0]}"
    assert asked.sentence.startswith(given)
    assert accepted in asked.sentence
    assert "note" in asked.hint

    said = fruiting_row(book, **{field: value, "note": "so it is"})
    report = load(described(tmp_path / "said", said), now=NOW)
    assert report.applied
    (told,) = report.findings
    assert told.severity is Severity.WARNING


def test_what_was_recorded_is_exported_so_that_it_loads(tmp_path: Path) -> None:
    """The ledger may know what a load asks about: units were carried to another shelf."""
    load(described(tmp_path / "in"), now=NOW)
    (lot,) = (lot for lot in current_book(TODAY).lots if lot.step == "fruiting")
    saying = lot_actions.Saying(lot.code, "", "ca" * 16)
    lot_actions.move(saying, lot.count, "warm-1")
    export(tmp_path / "out", on=TODAY)
    book, findings = read_folder(tmp_path / "out", today=TODAY)
    assert book is not None
    assert [f.id for f in findings if f.severity is Severity.WRONG] == []
    assert "lot.not-in-grow-room" in {f.id for f in findings}


def test_a_fault_in_the_middle_writes_nothing(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    described(tmp_path)
    real, calls = door.record, []

    def fails_late(entries: list[NewEntry], *, now: datetime) -> object:
        calls.append(len(entries))
        if entries:
            real(entries, now=now)
            raise RefusedError("The disk is full.")
        return real(entries, now=now)

    monkeypatch.setattr(door, "record", fails_late)
    with pytest.raises(RefusedError, match="disk is full"):
        load(tmp_path, now=NOW)
    assert calls[-1] == len(example_book(TODAY).lots)
    assert nothing_written()


def test_only_looking_writes_nothing(tmp_path: Path) -> None:
    report = load(described(tmp_path), now=NOW, apply=False)
    assert not report.applied
    assert "would be loaded" in report.sentence
    assert nothing_written()


def test_loading_again_shows_the_difference_and_asks(tmp_path: Path) -> None:
    book = example_book(TODAY)
    load(described(tmp_path, book), now=NOW)
    changed = replace(
        book,
        farm=replace(book.farm, van_at="15:00"),
        promises=book.promises[:1],
        buyers=(*book.buyers, replace(book.buyers[0], code="inn", name="An inn (invented)")),
    )
    described(tmp_path, changed)
    later = NOW + timedelta(days=3)
    report = load(tmp_path, now=later)
    assert not report.applied
    assert "farm changes: van_at." in report.difference
    assert "buyer inn is new." in report.difference
    assert any("promise market-saturday" in line and "end" in line for line in report.difference)
    assert "--replace" in report.sentence
    assert register_store.book(later.date()) == replace(book, lots=())

    applied = load(tmp_path, now=later, replace=True)
    assert applied.applied
    assert register_store.book(later.date()) == replace(changed, lots=())
    assert register_store.book(TODAY) == replace(book, lots=())  # the past keeps its versions


def test_loading_again_never_touches_lots(tmp_path: Path) -> None:
    book = example_book(TODAY)
    load(described(tmp_path, book), now=NOW)
    before = queries.living(TODAY)
    fewer = replace(current_book(TODAY), lots=current_book(TODAY).lots[:1])
    one = fewer.lots[0]
    described(tmp_path, replace(fewer, lots=(replace(one, count=one.count - 1),)))
    report = load(tmp_path, now=NOW, replace=True)
    assert any(one.code in line and str(one.count) in line for line in report.difference)
    assert queries.living(TODAY) == before


def test_parts_of_a_lot_on_one_shelf_are_counted_together() -> None:
    """Some fruit, some still run: two rows of one lot at one shelf, read back in any order."""
    block = replace(
        next(lot for lot in example_book(TODAY).lots if lot.step == "block"), code="7K4MV"
    )
    rows = (replace(block, count=9), replace(block, step="fruiting", count=17))
    assert lot_differences(rows, rows[::-1]) == ()
    fewer, _ = lot_differences((rows[0], replace(rows[1], count=16)), rows)
    assert fewer == f"lot 7K4MV at {block.place}: the files say 25, 26 are alive."
    none, _ = lot_differences(rows, ())
    assert none.endswith("the files say 26, none is alive.")


def test_a_shelf_with_living_lots_cannot_be_left_out(tmp_path: Path) -> None:
    book = example_book(TODAY)
    load(described(tmp_path, book), now=NOW)
    rooms = tuple(
        replace(room, shelves=room.shelves[:1]) if room.code == "warm" else room
        for room in book.rooms
    )
    described(tmp_path, replace(book, rooms=rooms, lots=()))
    report = load(tmp_path, now=NOW, replace=True)
    assert not report.applied
    assert {f.id for f in report.findings if f.severity is Severity.WRONG} == {"load.still-needed"}
    assert register_store.book(TODAY) == replace(book, lots=())


@pytest.mark.parametrize("slipped", ["price", "shelf"])
def test_what_lots_need_is_said_beside_a_slip_of_a_row(tmp_path: Path, slipped: str) -> None:
    """A shelf that is left out is needed; one whose own row cannot be read is not left out."""
    is_needed = slipped != "shelf"
    book = example_book(TODAY)
    load(described(tmp_path, book), now=NOW)
    rooms = tuple(
        replace(room, shelves=room.shelves[:1]) if room.code == "warm" else room
        for room in book.rooms
    )
    described(tmp_path, replace(book, rooms=rooms if is_needed else book.rooms, lots=()))
    name, right, wrong = {
        "price": ("varieties.csv", ",12,", ",cheap,"),
        "shelf": ("farm.toml", 'code = "warm-2", holds = ', 'code = "warm-2", holds = -'),
    }[slipped]
    text = (tmp_path / name).read_text("utf-8-sig")
    assert right in text
    (tmp_path / name).write_text(text.replace(right, wrong), "utf-8")
    report = load(tmp_path, now=NOW, replace=True)
    assert not report.applied
    ids = {f.id for f in report.findings if f.severity is Severity.WRONG}
    assert len(ids - {"load.still-needed"}) == 1
    assert ("load.still-needed" in ids) == is_needed


def test_ripening_that_is_not_dated_begins_by_the_days_of_its_route(tmp_path: Path) -> None:
    """Its units keep the day they were made: no ripening begins while the spawn still runs."""
    book = example_book(TODAY)
    [oyster] = book.routes
    block, fruiting = oyster.steps[-2:]
    resting = replace(block, code="rest", kind=StepKind.STAND, parents=(), preparations=())
    resting = replace(resting, cook="", days=Spread(20.0, 30.0, 40.0))
    steps = (*oyster.steps[:-1], resting, fruiting)
    [there] = (lot for lot in book.lots if lot.step == "block")
    old, young = TODAY - timedelta(days=40), TODAY - timedelta(days=5)
    given = [
        replace(there, step="rest", count=5, made_count=None, made_on=made) for made in (old, young)
    ]
    dated = replace(given[0], count=6, in_room_since=old + timedelta(days=25))
    described(tmp_path, replace(book, routes=(replace(oyster, steps=steps),), lots=(*given, dated)))
    report = load(tmp_path, now=NOW)
    assert report.applied
    began = old + timedelta(days=round(block.days.mean))
    found = {(lot.alive, lot.made_on): lot.step_since for lot in queries.living(TODAY)}
    assert found == {(5, old): began, (5, young): TODAY, (6, old): dated.in_room_since}
    told = [f for f in report.findings if f.id == "lot.began-reckoned"]
    assert [f.record for f in told] == [f"lots.csv row {n} column in_room_since" for n in (2, 3)]
    assert f"made on {old.isoformat()}" in told[0].sentence
    assert f"on {began.isoformat()}" in told[0].sentence
    export(tmp_path / "out", on=TODAY)
    out, _ = read_folder(tmp_path / "out", today=TODAY)
    assert out is not None
    said = {(lot.count, lot.made_on): lot.in_room_since for lot in out.lots}
    assert said == found


def with_mother(book: FarmBook, mother_on: date) -> FarmBook:
    return replace(book, cultures=(replace(book.cultures[0], mother_on=mother_on),))


def test_a_lot_older_than_its_mother_is_refused_at_its_row(tmp_path: Path) -> None:
    book = example_book(TODAY)  # its tubes, in row 2, are the oldest lot
    load_of = described(tmp_path, with_mother(book, date(2026, 1, 12)))
    report = load(load_of, now=NOW)
    assert not report.applied
    assert nothing_written()
    (refused,) = (f for f in report.findings if f.severity is Severity.WRONG)
    assert refused.record == "lots.csv row 2 column made_on"
    assert "'2026-01-11'" in refused.sentence
    assert "2026-01-12, the date of the mother of culture oyster-a" in refused.sentence
    assert load(described(tmp_path, with_mother(book, date(2026, 1, 11))), now=NOW).applied


@pytest.mark.parametrize("how", ["load", "settings"])
def test_no_mother_is_made_younger_than_lots_alive(tmp_path: Path, how: str) -> None:
    book = example_book(TODAY)
    load(described(tmp_path, book), now=NOW)
    [tubes] = (lot for lot in current_book(TODAY).lots if lot.step == "tube")
    later = with_mother(book, date(2026, 2, 1))
    if how == "load":
        report = load(described(tmp_path, replace(later, lots=())), now=NOW, replace=True)
        assert not report.applied
        (told,) = (str(f) for f in report.findings if f.severity is Severity.WRONG)
    else:
        with pytest.raises(RefusedError) as refused:
            write_record(later.cultures[0], "", NOW)
        told = refused.value.sentence
    for words in (f"lots {tubes.code}", "2026-01-11", "2026-02-01", "culture oyster-a"):
        assert words in told
    assert register_store.book(TODAY) == replace(book, lots=())


def test_units_gone_before_count_as_used_not_as_lost(tmp_path: Path) -> None:
    book = example_book(TODAY)
    lot = replace(book.lots[2], code=encode(77), count=40, made_count=42)
    load(described(tmp_path, replace(book, lots=(lot,))), now=NOW)
    number = Lot.objects.get(code=lot.code).pk
    counts = queries.counts([number])[number]
    assert (counts.made, counts.alive, counts.used, counts.lost) == (42, 40, 2, 0)
    assert counts.is_balanced


def test_a_printed_code_is_kept_and_never_given_twice(tmp_path: Path) -> None:
    book = example_book(TODAY)
    taken = encode(0)  # the first code pinset would give
    lots = (*book.lots[:3], replace(book.lots[3], code=taken))
    report = load(described(tmp_path, replace(book, lots=lots)), now=NOW)
    given = [code for _, code in report.lots]
    assert taken not in given
    assert len({taken, *given}) == 4


def test_a_lot_at_two_places_is_one_lot(tmp_path: Path) -> None:
    book = example_book(TODAY)
    here = replace(book.lots[3], code=encode(9), count=25, made_count=45, note="half moved")
    there = replace(here, count=15, place="warm-1", made_count=None, note="")
    both = (there, here) if there.place < here.place else (here, there)
    lots = (
        replace(both[0], made_count=45, note="half moved"),
        replace(both[1], made_count=None, note=""),
    )
    load(described(tmp_path / "in", replace(book, lots=lots)), now=NOW)
    assert Lot.objects.count() == 1
    assert [(x.place, x.alive, x.made) for x in queries.living(TODAY)] == [
        ("warm-1", 15, 45),
        ("warm-2", 25, 45),
    ]
    export(tmp_path / "out", on=TODAY)
    found, findings = read_folder(tmp_path / "out", today=TODAY)
    assert findings == ()
    assert found is not None
    assert set(found.lots) == set(lots)


def test_every_field_of_a_lot_comes_back(tmp_path: Path) -> None:
    book = example_book(TODAY)
    lots = (
        StandingLot(
            "oyster",
            "fruiting",
            30,
            date(2026, 2, 1),
            "grow-1",
            culture="oyster-a",
            code=encode(5),
            made_count=33,
            generation=1,
            transfers=2,
            bought_from="",
            in_room_since=date(2026, 2, 20),
            picked_g=16_000,
            note="two bags slow",
        ),
        StandingLot(
            "oyster",
            "grain",
            6,
            date(2026, 3, 1),
            "fridge-1",
            code=encode(6),
            generation=2,
            opened_on=date(2026, 3, 10),
            bought_from="a spawn maker (invented)",
        ),
    )
    load(described(tmp_path, replace(book, lots=lots)), now=NOW)
    assert set(current_book(TODAY).lots) == set(lots)


def test_parts_of_a_lot_at_one_place_come_back_with_their_days(tmp_path: Path) -> None:
    old = StandingLot(
        "oyster",
        "fruiting",
        19,
        date(2026, 2, 1),
        "grow-1",
        culture="oyster-a",
        code=encode(5),
        made_count=33,
        in_room_since=date(2026, 2, 20),
    )
    young = replace(old, count=6, made_count=None, in_room_since=date(2026, 2, 26))
    later = replace(young, count=3, in_room_since=date(2026, 3, 1))
    book = replace(example_book(TODAY), lots=(later, young, replace(old, made_count=None)))
    load(described(tmp_path, book), now=NOW)
    bare = replace(old, made_count=None)
    assert current_book(TODAY).lots == (bare, young, later)
    export(tmp_path / "out", on=TODAY)
    found, findings = read_folder(tmp_path / "out", today=TODAY)
    assert findings == ()
    assert found is not None
    assert found.lots == (bare, young, later)


def test_a_new_folder_is_made_only_for_a_sound_farm(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    made: list[Path] = []
    monkeypatch.setattr(service.opening, "create_farm", made.append)
    described(tmp_path / "in")
    (tmp_path / "in" / "varieties.csv").unlink()
    assert not service.load_new(tmp_path / "in", tmp_path / "farm", now=NOW).applied
    assert made == []
    described(tmp_path / "in")
    assert service.load_new(tmp_path / "in", tmp_path / "farm", now=NOW).applied
    assert made == [tmp_path / "farm"]


def test_export_refuses_files_that_are_there(tmp_path: Path) -> None:
    load(described(tmp_path), now=NOW)
    before = {path.name: path.read_bytes() for path in tmp_path.iterdir()}
    with pytest.raises(RefusedError, match="already holds"):
        export(tmp_path, on=TODAY)
    assert {path.name: path.read_bytes() for path in tmp_path.iterdir()} == before


def test_export_without_a_farm_says_so(tmp_path: Path) -> None:
    with pytest.raises(RefusedError, match="No farm is described"):
        export(tmp_path / "out", on=TODAY)
    assert not (tmp_path / "out").exists()
