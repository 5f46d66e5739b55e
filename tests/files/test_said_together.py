"""A slip in one row does not hide what does not hold across the book: both are said at once."""

from __future__ import annotations

from datetime import date
from itertools import product
from pathlib import Path

import pytest

from pinset.errors import Severity
from pinset.files.description.example import example_book
from pinset.files.description.folder import read_folder
from pinset.files.description.writing import write_folder

TODAY = date(2026, 3, 12)
Slip = tuple[str, str, str]

ALTITUDE = ("farm.toml", "altitude_m = 240", 'altitude_m = "240 kg"')
ZONE = ("farm.toml", "Europe/Vienna", "Europe/Viena")
NO_TOML = ("farm.toml", "altitude_m = 240", "altitude_m = = 240")
PRICE = ("varieties.csv", ",12,", ",cheap,")
DAYS = ("routes.csv", "10,13,17,0.01", "14,13,17,0.01")
MINUTES = ("preparations.csv", "soak,40,0.2", "soak,40,x")
OF_ROW = ("preparations.csv", "grain,boil,28", "grain,boil,-1")
OF_STEP = ("routes.csv", "0.65,0.48", "0.65,4.8")
LEAD = ("preparations.csv", "soak,40", "soak,x")
SHARE = ("flushes.csv", "0.65", "65")

YIELD = ("routes.csv", "0.7,0.2,3", "0,0.2,3")
FLUSHES = ("flushes.csv", "17,0.35,3,0.1", "17,0.35,3,0.01")
FORWARD = ("routes.csv", "transfer,plate,tube", "transfer,plate,grain")
CLIMATE = ("routes.csv", ",cool,", ",hot,")
PICKED = ("lots.csv", "2026-03-06,", "2026-03-06,900")
OUTLET = ("outlets.csv", "10,0,5", "10,7,5")
CAUTION = ("preparations.csv", "0.5,30,preparation,", "0.5,30,preparation,hot")
TRIM = ("varieties.csv", "picked,6,0.05", "picked,6,0.97")
SEASON = ("varieties.csv", ",,\n", ",,0.5 1\n")
MONTHS = ("routes.csv", "block,,10,,,", "block,,10,1 1,,")
OF_ROUTES = (YIELD, FLUSHES, FORWARD)

PAIRS = [
    *product((ALTITUDE, ZONE, PRICE, MINUTES), (*OF_ROUTES, CLIMATE, PICKED, OUTLET)),
    *product((NO_TOML,), (*OF_ROUTES, PICKED, OUTLET)),
    *product((DAYS, LEAD), (*OF_ROUTES, OUTLET)),
    *product((SHARE,), (FORWARD, OUTLET)),
    *product((DAYS, LEAD, OF_ROW, OF_STEP, PRICE), (CAUTION, TRIM, SEASON, MONTHS)),
]


def wrong(folder: Path, *slips: Slip) -> set[tuple[str, str]]:
    """Return id and place of what is wrong in the example with these slips."""
    write_folder(example_book(TODAY), folder)
    for name, right, slipped in slips:
        path = folder / name
        text = path.read_text("utf-8-sig")
        assert right in text
        path.write_text(text.replace(right, slipped, 1), "utf-8")
    book, findings = read_folder(folder, today=TODAY)
    assert (book is None) == bool(slips)
    return {(f.id, f.record) for f in findings if f.severity is Severity.WRONG}


def test_two_slips_of_one_row_are_said_in_one_round(tmp_path: Path) -> None:
    """A row whose code names nothing still says that its days stand the wrong way round."""
    head = "code,what,which,from_date,until,note"
    slip = ("outages.csv", head, f"{head}\ndown,steriliser,kettel,2026-05-02,2026-05-01,")
    found = wrong(tmp_path, slip)
    assert {id_ for id_, _ in found} == {"load.code-unknown", "load.date-order"}


def test_the_example_itself_is_sound(tmp_path: Path) -> None:
    assert wrong(tmp_path) == set()


@pytest.mark.parametrize(("slip", "rule"), PAIRS, ids=lambda slip: slip[2])
def test_both_are_said_and_nothing_else(tmp_path: Path, slip: Slip, rule: Slip) -> None:
    folders = [tmp_path / name for name in ("slip", "rule", "both")]
    for folder in folders:
        folder.mkdir()
    alone, across = wrong(folders[0], slip), wrong(folders[1], rule)
    assert alone
    assert across
    assert wrong(folders[2], slip, rule) == alone | across
