from __future__ import annotations

from importlib import resources

import pytest

from pinset.errors import InputError
from pinset.tables.chores import proposed_chores
from pinset.tables.loader import (
    COLUMNS,
    Quality,
    packaged_rows,
    read_rows,
    read_sources,
    read_table,
    sources,
    table,
)
from pinset.tables.signs import signs

FILES = (
    "route_steps.csv",
    "yields.csv",
    "expansion.csv",
    "storage.csv",
    "practice.csv",
    "organisms.csv",
    "cook_practice.csv",
    "heat_materials.csv",
    "sign_days.csv",
    "room_climate.csv",
    "air.csv",
    "ingredients.csv",
)
WORDS = {
    "signs.csv",
    "sign_readings.csv",
    "sources.csv",
    "species.csv",
    "cautions.csv",
    "bench_checks.csv",
    "organism_names.csv",
    "cook_names.csv",
    "sign_places.csv",
    "sign_words.csv",
    "chores.csv",
    "ingredient_names.csv",
}
HEADING = ",".join(COLUMNS)
GOOD = "rye.jar,days,11,d,8,14,to ready,stamets-1993,p. 1,read,yes,"


def load(*rows: str):  # noqa: ANN201
    return read_table([HEADING, *rows], sources(), "try.csv")


@pytest.mark.parametrize("file", FILES)
def test_every_packaged_table_loads(file: str) -> None:
    assert len(table(file).rows) > 10


def test_no_table_is_left_out_of_these_tests() -> None:
    there = {f.name for f in resources.files("pinset.tables").iterdir() if f.name.endswith(".csv")}
    assert there == {*FILES, *WORDS}


def test_every_source_is_used_and_every_used_source_says_what_was_seen() -> None:
    used = {row.source for file in FILES for row in table(file).rows}
    used |= {each.usual.source for each in signs().values()}
    used |= {each.source for each in proposed_chores()}
    notes = " ".join(row.note for file in FILES for row in table(file).rows)
    for key, source in sources().items():
        assert key in used or key in notes
        assert source.seen


def test_a_good_row() -> None:
    value = load(GOOD).one("rye.jar", "days")
    assert (value.value, value.low, value.high, value.unit) == (11.0, 8.0, 14.0, "d")
    assert value.quality is Quality.READ
    assert value.preferred


def test_two_publications_may_disagree_and_one_is_preferred() -> None:
    other = GOOD.replace("stamets-1993", "mycelia-sheets").replace(",11,", ",9,")
    both = load(GOOD, other.replace(",yes,", ",no,"))
    assert both.one("rye.jar", "days").value == 11.0
    assert both.one("rye.jar", "days", "mycelia-sheets").value == 9.0
    assert both.get("rye.jar", "days", "royse-1985") is None


@pytest.mark.parametrize(
    ("row", "words"),
    [
        (GOOD.replace(",d,", ",fortnights,"), "row 2 column unit: 'fortnights'"),
        (GOOD.replace("stamets-1993", "somebody"), "column source: 'somebody'.*sources.csv first"),
        (GOOD.replace(",11,", ",15,"), "column value: 15.0 .* from 8 to 14"),
        (GOOD.replace(",11,", ",7.9,"), "column value: 7.9 .* from 8 to 14"),
        (GOOD.replace(",11,", ",,"), "column value: ''"),
        (GOOD.replace(",to ready,", ",,"), "column basis: ''"),
        (GOOD.replace(",p. 1,", ", ,"), "column place: ''"),
        (GOOD.replace("rye.jar", ""), "column key: ''"),
        (GOOD.replace(",11,", ",eleven,"), "column value: 'eleven'"),
        (GOOD.replace(",11,", ",nan,"), "column value: 'nan'"),
        (GOOD.replace(",14,", ",inf,"), "column high: 'inf'"),
        (GOOD.replace(",8,14,", ",8,,"), "both or neither"),
        (GOOD.replace(",11,d,8,14,", ",-1,d,,,"), "0 or more, in d"),
        (GOOD.replace(",8,14,", ",-8,14,"), "0 or more, in d"),
        (GOOD.replace(",read,", ",sure,"), "column quality: 'sure'"),
        (GOOD.replace("stamets-1993", "common-practice"), "read only of a publication"),
        (GOOD.replace(",yes,", ",maybe,"), "column preferred: 'maybe'"),
        (GOOD.replace(",yes,", ",no,"), "rye.jar days: none"),
        (GOOD + ",more", "row 2: 13"),
        ("rye.jar,days", "row 2: 2"),
    ],
)
def test_nonsense_is_refused_by_row_and_column(row: str, words: str) -> None:
    with pytest.raises(InputError, match=words):
        load(row)


def test_repeated_key_is_refused() -> None:
    with pytest.raises(InputError, match=r"row 3 column key: .* row 2 has it"):
        load(GOOD, GOOD)


def test_two_preferred_rows_are_refused() -> None:
    with pytest.raises(InputError, match="yes in one row of several"):
        load(GOOD, GOOD.replace("stamets-1993", "mycelia-sheets"))


def test_negative_temperatures_are_allowed() -> None:
    row = GOOD.replace(",11,d,8,14,", ",-18,degC,-20,-16,")
    assert load(row).one("rye.jar", "days").value == -18.0


def test_logarithms_of_minutes_may_be_negative_too() -> None:
    row = GOOD.replace(",11,d,8,14,", ",-1.38,log10 min,,,")
    assert load(row).one("rye.jar", "days").value == -1.38


def test_wrong_heading_is_refused() -> None:
    with pytest.raises(InputError, match=r"try\.csv heading"):
        read_table(["key,value", "a,1"], sources(), "try.csv")
    with pytest.raises(InputError, match="heading"):
        read_rows([], COLUMNS, "empty.csv")


def test_sources_must_be_complete_and_unlike() -> None:
    heading = "key,authors,year,title,publisher,doi_or_address,licence,seen,checked_on"
    row = "a,b,c,d,e,f,g,h,i"
    assert read_sources([heading, row])["a"].title == "d"
    with pytest.raises(InputError, match="row 3 column key"):
        read_sources([heading, row, row])
    with pytest.raises(InputError, match="column licence"):
        read_sources([heading, row.replace(",g,", ",,")])


def test_what_is_not_there_is_named_with_what_is() -> None:
    with pytest.raises(InputError, match="days"):
        load(GOOD).one("rye.jar", "loss")
    with pytest.raises(InputError, match=r"a value of try\.csv"):
        load(GOOD).one("oats", "loss")


def test_word_tables_refuse_the_wrong_columns() -> None:
    with pytest.raises(InputError, match="heading"):
        packaged_rows("species.csv", ("key", "name"))
