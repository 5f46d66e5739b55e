"""How long lots keep comes along in an export: the warm days before the cold are not lost."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

import pytest
from django.db import transaction

from pinset.chain.lotcode import encode
from pinset.chain.readiness import keeps_until
from pinset.chain.register import Room, RoomKind, Shelf, StandingLot
from pinset.errors import Severity
from pinset.farm import queries, trade
from pinset.farm.door import record
from pinset.farm.trade import Taken
from pinset.farm.trade.looking import Verdict
from pinset.files.description.example import example_book
from pinset.files.description.folder import read_folder
from pinset.files.description.writing import write_folder
from pinset.services.farms.export import current_book, export
from pinset.services.farms.load import load

pytestmark = pytest.mark.django_db

NOW = datetime(2026, 3, 12, 9, 0, tzinfo=UTC)
TODAY = NOW.date()
GRAIN, PLATE, BLOCK, WAITING, OPENED = (encode(number) for number in range(3, 8))
COOL = Room("cellar", "Cellar", RoomKind.COLD, 10, (Shelf("cellar-1", 200),))


Kept = dict[tuple[str, str], list[tuple[date, int]]]
BEGUN = NOW - timedelta(days=30)
"""When the first farm is written down: 10 February."""


def tap(number: int, days_ago: int) -> trade.Tap:
    return trade.Tap(f"{number:032x}", NOW - timedelta(days=days_ago))


def described(folder: Path) -> Path:
    """Write a farm down whose lots stand warm and are not ready yet."""
    book = example_book(BEGUN.date())
    lots = (
        StandingLot("oyster", "grain", 10, date(2026, 2, 2), "warm-1", code=GRAIN),
        StandingLot("oyster", "plate", 6, date(2026, 2, 8), "warm-1", code=PLATE),
        StandingLot("oyster", "block", 20, date(2026, 2, 1), "warm-2", code=BLOCK),
        StandingLot("oyster", "grain", 5, date(2026, 2, 9), "warm-1", code=WAITING),
        StandingLot("oyster", "grain", 3, date(2026, 2, 1), "warm-1", code=OPENED,
                    opened_on=date(2026, 2, 9)),
    )  # fmt: skip
    write_folder(replace(book, rooms=(*book.rooms, COOL), lots=lots), folder)
    return folder


def carried() -> None:
    """Carry lots to several shelves: 5 jars cold, 2 cool and then cold, 1 plate cold late."""
    record(
        [
            trade.move(tap(1, 20), Taken(GRAIN, 5, "warm-1"), "fridge-1"),
            trade.move(tap(2, 19), Taken(GRAIN, 2, "warm-1"), "cellar-1"),
            trade.move(tap(3, 16), Taken(GRAIN, 2, "cellar-1"), "fridge-1"),
            trade.move(tap(4, 20), Taken(PLATE, 5, "warm-1"), "fridge-1"),
            trade.move(tap(5, 13), Taken(PLATE, 1, "warm-1"), "fridge-1"),
            trade.move(tap(6, 17), Taken(BLOCK, 8, "warm-2"), "cellar-1"),
            trade.move(tap(7, 18), Taken(OPENED, 3, "warm-1"), "fridge-1"),
            trade.judge(tap(8, 20), WAITING, Verdict.READY, day=date(2026, 3, 5)),
        ],
        now=NOW,
    )


def kept() -> Kept:
    """Return until when the units of each lot at each place keep, sealed; those of 12 March."""
    found: dict[tuple[str, str], dict[date, int]] = {}
    for lot in queries.living(TODAY):
        until = keeps_until(replace(lot, opened_on=None))
        assert until is not None
        here = found.setdefault((lot.code, lot.place), {})
        here[until] = here.get(until, 0) + lot.alive
    return {place: sorted(here.items()) for place, here in found.items()}


@pytest.fixture
def again(tmp_path: Path) -> tuple[Path, Kept]:
    """Return the first farm's export, loaded into an empty farm, and how long all kept there."""
    with transaction.atomic():
        load(described(tmp_path / "in"), now=BEGUN)
        carried()
        before = kept()
        export(tmp_path / "first", on=TODAY)
        transaction.set_rollback(True)
    assert not queries.living(TODAY)
    assert load(tmp_path / "first", now=NOW).applied
    return tmp_path / "first", before


def test_what_is_loaded_keeps_as_long(again: tuple[Path, Kept]) -> None:
    assert kept() == again[1]


def test_the_second_export_is_the_first_to_the_byte(
    again: tuple[Path, Kept], tmp_path: Path
) -> None:
    first, second = again[0], tmp_path / "second"
    export(second, on=TODAY)
    names = sorted(path.name for path in first.iterdir())
    assert "lots.csv" in names
    for name in names:
        assert (first / name).read_bytes() == (second / name).read_bytes()


def test_the_days_are_those_reckoned_by_hand(again: tuple[Path, Kept]) -> None:
    """Plates ready on 17 February keep 14 days warm, 60 cold; 3 warm days leave 11/14 of them."""
    assert again[1][PLATE, "fridge-1"] == [
        (date(2026, 2, 27) + timedelta(days=int(4 / 14 * 60)), 1),
        (date(2026, 2, 20) + timedelta(days=int(11 / 14 * 60)), 5),
    ]


def test_what_is_carried_on_after_the_load_has_spent_its_share(again: tuple[Path, Kept]) -> None:
    """One plate is taken back into the warm on 12 March, with what the cold left of its time."""
    assert again[1][PLATE, "fridge-1"][0][1] == 1
    later = NOW + timedelta(hours=1)
    back = trade.move(trade.Tap(f"{9:032x}", later), Taken(PLATE, 6, "fridge-1"), "warm-1")
    record([back], now=later)
    plates = [lot for lot in queries.living(TODAY) if lot.code == PLATE]
    left = [4 / 14 - 13 / 60, 11 / 14 - 20 / 60]
    assert sorted((keeps_until(lot), lot.alive) for lot in plates) == [
        (TODAY + timedelta(days=int(left[0] * 14)), 1),
        (TODAY + timedelta(days=int(left[1] * 14)), 5),
    ]


def test_only_what_the_days_do_not_say_is_written(again: tuple[Path, Kept]) -> None:
    book, findings = read_folder(again[0], today=TODAY)
    assert book is not None
    assert [each for each in findings if each.severity is Severity.WRONG] == []
    told = {(lot.code, lot.place) for lot in book.lots if lot.keeps_until is not None}
    assert (GRAIN, "warm-1") not in told
    assert (BLOCK, "warm-2") not in told
    assert {(GRAIN, "fridge-1"), (PLATE, "fridge-1"), (WAITING, "warm-1")} <= told
    assert book == current_book(TODAY)


@pytest.mark.parametrize(
    ("step", "day", "words"),
    [
        ("fruiting", date(2026, 3, 20), "is fruiting"),
        ("grain", date(2026, 1, 1), "before made_on"),
    ],
)
def test_a_last_day_that_cannot_be_is_refused_at_its_cell(
    tmp_path: Path, step: str, day: date, words: str
) -> None:
    book = example_book(TODAY)
    lots = tuple(replace(lot, keeps_until=day) if lot.step == step else lot for lot in book.lots)
    write_folder(replace(book, lots=lots), tmp_path)
    _, findings = read_folder(tmp_path, today=TODAY)
    assert any("keeps_until" in str(each) and words in str(each) for each in findings)
