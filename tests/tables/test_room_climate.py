from __future__ import annotations

import pytest

from pinset.errors import InputError
from pinset.tables.defaults import all_species
from pinset.tables.room_climate import climate_of


def test_every_species_has_a_band_of_each() -> None:
    for key in all_species():
        climate = climate_of(key)
        for band in (climate.temperature_c, climate.humidity, climate.co2_ppm):
            assert band is not None, key
            assert band.low <= band.high
            assert band.known_from


def test_sources_that_differ_are_held_together() -> None:
    """Shiitake: Stamets 1993 gives 60 to 80 %, the spawn maker's sheets 85 to 95 %."""
    humidity = climate_of("shiitake").humidity
    assert humidity is not None
    assert (humidity.low, humidity.high) == (0.6, 0.95)
    assert humidity.known_from == "Stamets, P. 1993, Mycelia BVBA (spawn maker)"


def test_oyster_fruits_below_a_thousand_parts_of_carbon_dioxide() -> None:
    """Stamets 1993: below 1000 ppm."""
    co2 = climate_of("Pleurotus ostreatus").co2_ppm
    assert co2 is not None
    assert (co2.low, co2.high) == (0, 1000)


def test_what_rests_on_practice_or_memory_says_so() -> None:
    chestnut, reishi = climate_of("pholiota-adiposa"), climate_of("reishi")
    assert chestnut.humidity is not None
    assert chestnut.humidity.known_from == "common practice, no source"
    assert reishi.co2_ppm is not None
    assert "from memory" in reishi.co2_ppm.known_from


def test_unknown_species_is_refused() -> None:
    with pytest.raises(InputError, match="Shiitake"):
        climate_of("dragon")
