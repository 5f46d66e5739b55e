from __future__ import annotations

import pytest

from pinset.errors import InputError
from pinset.tables.cautions import caution, cautions
from pinset.tables.loader import table

HAZARDS = {
    "pressure", "pressure-rules", "relief-valve", "dry-firing", "venting", "vacuum", "opening",
    "condensate", "wet-floor", "sealed-vessel", "not-proof", "steam", "hot-agar", "hot-glass",
    "scald", "alcohol-flame", "mouldy-units", "spores", "co2", "carbon-monoxide", "lifting",
    "dust", "lime", "disinfectants", "mist-water", "orange-mould", "wrong-species", "food", "uv-c",
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


def test_the_minutes_of_venting_are_those_of_the_table() -> None:
    minutes = table("cook_practice.csv").one("pressure-steam", "vent").value
    assert f"about {minutes:g} min" in caution("venting").sentence


def test_what_must_be_said_where_heat_is_reckoned() -> None:
    for key, words in {
        "pressure-rules": "only up to the plate",
        "relief-valve": "never tied, plugged",
        "dry-firing": "watch the level",
        "vacuum": "vacuum breaker or a filtered inlet",
        "opening": "gauge stands at zero",
        "sealed-vessel": "Never seal a drum, keg or freight box",
        "not-proof": "not a proof",
    }.items():
        assert words in caution(key).sentence
    for law in ("ASME", "2014/68/EU", "PSSR 2000", "local boiler inspector"):
        assert law in caution("pressure-rules").who_decides
    assert "80 °C" in caution("opening").sentence


def test_unknown_caution_names_those_there_are() -> None:
    with pytest.raises(InputError, match="pressure, pressure-rules"):
        caution("dragons")
