from __future__ import annotations

import pytest

from pinset.errors import InputError
from pinset.tables.cautions import caution, cautions
from pinset.tables.loader import table

HAZARDS = {
    "pressure", "steam", "hot-agar", "hot-glass", "scald", "alcohol-flame", "mouldy-units",
    "spores", "co2", "carbon-monoxide", "lifting", "dust", "lime", "disinfectants", "mist-water",
    "wrong-species", "food", "uv-c",
}  # fmt: skip


def test_every_hazard_of_the_work_has_its_sentence() -> None:
    assert set(cautions()) == HAZARDS


def test_every_caution_says_who_decides_and_where_it_stands() -> None:
    deciding = ("local", "maker", "doctor", "licensed", "label", "expert", "mycologist", "sheet")
    for each in cautions().values():
        assert any(word in each.who_decides for word in deciding), each.key
        assert each.where_shown
        assert each.words.startswith(each.sentence)
        assert each.sentence.endswith(".")


def test_carbon_dioxide_figures_are_those_of_the_table() -> None:
    sentence = caution("co2").sentence
    limits = table("practice.csv")
    for name in ("eight_hours_ppm", "fifteen_minutes_ppm"):
        assert f"{limits.one('limit.co2', name).value:,.0f} ppm" in sentence


def test_unknown_caution_names_those_there_are() -> None:
    with pytest.raises(InputError, match="pressure, steam"):
        caution("dragons")
