from __future__ import annotations

import csv
from importlib import resources

import pytest

from pinset.errors import InputError
from pinset.tables.cautions import cautions
from pinset.tables.loader import Quality, sources, table
from pinset.tables.signs import (
    Medium,
    Out,
    places_in,
    reading_of,
    shown_by,
    sign,
    sign_place,
    sign_places,
    signs,
    signs_of,
)

ASKED = {
    "green-dust", "black-heads", "orange-fluff", "wet-sour", "slime-ring", "pale-wisps",
    "yellow-drops", "no-growth", "stalled", "flies", "cobweb", "blotch", "dry", "mummies",
}  # fmt: skip
NO_DAYS = {"yellow-drops", "stalled", "other"}
"""Signs of vessels for which no days are known: they come of the conditions, at any age."""

TABLES = ("signs.csv", "sign_readings.csv")


def rows_of(file: str) -> list[dict[str, str]]:
    text = (resources.files("pinset.tables") / file).read_text(encoding="utf-8")
    return list(csv.DictReader(text.splitlines()))


def test_every_sign_that_growers_name_is_there() -> None:
    assert set(signs()) >= ASKED


@pytest.mark.parametrize("file", TABLES)
def test_every_row_says_where_it_is_known_from(file: str) -> None:
    for row in rows_of(file):
        known = sources()[row["source"]]
        quality = Quality(row["quality"])
        assert known.is_publication == (quality is Quality.READ), row["key"]


def test_each_is_described_and_has_a_caution_that_exists() -> None:
    for each in signs().values():
        assert each.looks_like.endswith(".")
        assert each.usual.means.endswith(".")
        assert each.usual.flag
        assert each.caution in cautions()
    assert sign("orange-fluff").caution == "orange-mould"
    assert sign("stranger").caution == "wrong-species"
    assert "emergency" in cautions()["orange-mould"].sentence
    assert "outside the working rooms" in cautions()["mouldy-units"].sentence
    assert "mask" in cautions()["mouldy-units"].sentence


def test_every_medium_has_signs_places_and_something_else() -> None:
    for medium in Medium:
        keys = [each.key for each in signs_of(medium)]
        assert len(keys) > 4
        assert keys[-1] == "other"
        assert places_in(medium)


def test_days_are_known_wherever_a_sign_grows_in_a_vessel() -> None:
    for each in signs().values():
        for medium in each.seen_in:
            if medium is Medium.ROOM:
                continue
            days = each.shows_after(medium)
            assert (days is None) == (each.key in NO_DAYS), (each.key, medium)


def test_days_and_readings_belong_to_signs_where_they_are_seen() -> None:
    for row in table("sign_days.csv").rows:
        key, _, medium = row.key.partition(".")
        assert Medium(medium) in sign(key).seen_in, row.key
        assert row.basis == "after inoculation"
        assert row.low is not None
    for row in rows_of("sign_readings.csv"):
        key, _, place = row["key"].partition(".")
        assert set(sign_place(place).seen_in) & set(sign(key).seen_in), row["key"]


@pytest.mark.parametrize(
    ("key", "medium", "low", "high"),
    [  # days to show: common practice, as the table's rows say
        ("wet-sour", "grain", 1, 5),
        ("wet-sour", "liquid", 0.5, 5),
        ("orange-fluff", "block", 1.5, 4),
        ("black-heads", "plate", 2, 5),
        ("green-dust", "plate", 2, 5),
        ("blue-dust", "plate", 4, 12),
        ("no-growth", "block", 3, 8),
        ("dotted-trails", "plate", 4, 14),
    ],
)
def test_days_to_show(key: str, medium: str, low: float, high: float) -> None:
    days = sign(key).shows_after(Medium(medium))
    assert days is not None
    assert (days.low, days.high) == (low, high)


def test_the_slowest_sign_of_a_bag_needs_twenty_days_and_of_a_plate_fourteen() -> None:
    assert shown_by(Medium.BLOCK) == 20
    assert shown_by(Medium.PLATE) == 14
    assert shown_by(Medium.ROOM) == 90


def test_where_it_is_seen_says_more_than_what_it_is() -> None:
    assert "leaky seal" in reading_of("green-dust", "filter").means
    assert reading_of("green-dust", "grains").means == "Spawn that carried it."
    assert reading_of("green-dust", "").means == sign("green-dust").usual.means
    assert reading_of("stalled", "filter") == sign("stalled").usual


def test_only_what_is_contaminated_counts_as_lost() -> None:
    lost = {each.key for each in signs().values() if each.out is Out.LOST}
    assert {"green-dust", "wet-sour", "other"} <= lost
    assert not lost & {"no-growth", "stalled", "yellow-drops", "dry", "flies"}


def test_what_is_not_there_is_named_with_what_is() -> None:
    with pytest.raises(InputError, match="green-dust, blue-dust"):
        sign("purple-haze")
    with pytest.raises(InputError, match="filter, seam"):
        sign_place("under-the-bed")
    with pytest.raises(InputError, match="green-dust"):
        reading_of("purple-haze", "filter")
    assert sign_places()["seam"].name == "at a seam, a fold or a hole"
