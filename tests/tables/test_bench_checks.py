from __future__ import annotations

from pinset.tables.bench_checks import CheckList, checks

ASKED = {"washed", "clothes", "hair", "mask", "gloves", "blowing", "surfaces", "apart"}


def test_the_entry_list_asks_for_all_that_is_asked_of_who_comes_to_a_bench() -> None:
    assert {each.key for each in checks(CheckList.ENTRY)} == ASKED


def test_alcohol_flame_and_disinfectants_have_their_cautions() -> None:
    keys = {each.key: each.caution for each in checks(CheckList.ENTRY)}
    assert keys["apart"] == keys["gloves"] == "alcohol-flame"
    assert keys["surfaces"] == "disinfectants"
    assert keys["blowing"] == "uv-c"
    down = {each.key: each.caution for each in checks(CheckList.CLEAN_DOWN)}
    assert down["flame-out"] == "alcohol-flame"
    assert down["waste"] == "mouldy-units"


def test_there_are_places_for_settle_plates() -> None:
    assert len(checks(CheckList.PLATE)) > 1
