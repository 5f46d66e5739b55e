"""Published values, and whether they make sense within their class."""

from __future__ import annotations

import pytest

from pinset.errors import InputError
from pinset.tables.defaults import STEPS, all_species, defaults_for, practice, species_of
from pinset.tables.loader import Quality, sources, table

EVERY = sorted(all_species())
WITHOUT_RIPENING_STAGE = {
    "pleurotus-ostreatus", "pleurotus-pulmonarius", "pleurotus-citrinopileatus",
    "pleurotus-djamor", "hericium-erinaceus", "ganoderma-lucidum",
}  # fmt: skip


@pytest.mark.parametrize("name", ["shiitake", "SHIITAKE", "Lentinula edodes", "lentinula-edodes"])
def test_a_species_is_found_by_any_of_its_names(name: str) -> None:
    assert species_of(name).key == "lentinula-edodes"


def test_unknown_species_is_refused_with_those_known() -> None:
    with pytest.raises(InputError, match=r"Grey oyster .Pleurotus ostreatus."):
        defaults_for("truffle")


@pytest.mark.parametrize("species", EVERY)
def test_every_step_of_every_species_has_its_values(species: str) -> None:
    found = defaults_for(species)
    missing = set(STEPS) - set(found.steps)
    assert missing == ({"sawdust"} if species == "agaricus-bisporus" else set())
    for code, step in found.steps.items():
        assert (step.days is None) == (code == "picked")
        if code in {"tube", "plate", "grain", "grain-2", "sawdust", "block"}:
            assert step.units_per_parent is not None
            assert step.units_per_parent.value >= 1.0
            assert step.keeps_days_warm is not None


@pytest.mark.parametrize("species", EVERY)
def test_values_make_sense_within_their_class(species: str) -> None:
    found = defaults_for(species)
    for code, step in found.steps.items():
        assert 0.0 <= step.loss.value <= 0.2
        assert (step.loss.high or 0.0) <= 0.2
        assert 0.0 <= step.temperature_c.value <= 30.0
        for keeps, cold in ((step.keeps_days_warm, step.keeps_days_cold),):
            if keeps is not None and cold is not None and code != "ripening":
                assert keeps.value <= cold.value  # nothing keeps longer warm than cold
        if step.cold_min_c is not None:
            assert step.cold_min_c.value <= 10.0
            assert step.cold_min_c.value < step.temperature_c.value
        if step.days is not None:
            assert step.days.high is not None
            assert step.days.high <= 130.0
    assert 0.1 <= found.biological_efficiency.value <= 1.1
    assert 0.55 <= found.fill_moisture.value <= 0.75


@pytest.mark.parametrize("species", EVERY)
def test_flush_shares_add_up_and_fall(species: str) -> None:
    flushes = defaults_for(species).flushes
    shares = [flush.share.value for flush in flushes]
    assert sum(shares) == pytest.approx(1.0, abs=1e-9)
    assert shares == sorted(shares, reverse=True)
    lost = [flush.lost_before.value for flush in flushes]
    assert lost == sorted(lost)
    assert lost[0] == 0.0
    assert flushes[0].gap_days.value == 0.0
    assert all(flush.gap_days.value >= 5.0 for flush in flushes[1:])


@pytest.mark.parametrize("species", EVERY)
def test_losses_of_cultures_and_spawn_are_those_of_a_clean_laboratory(species: str) -> None:
    # 0.5 to 5 % a stage, common practice; 12.7 to 20.7 % (Gupta et al. 2020) is a poor one.
    for code in ("tube", "plate", "grain", "grain-2"):
        loss = defaults_for(species).steps[code].loss
        assert (loss.low, loss.high) == (0.005, 0.05)


def test_ripening_is_a_step_of_its_own_where_the_crop_has_one() -> None:
    for species in EVERY:
        days = defaults_for(species).steps["ripening"].days
        assert days is not None
        assert (days.value == 0.0) == (species in WITHOUT_RIPENING_STAGE)
    shiitake = defaults_for("shiitake").steps["ripening"].days
    king = defaults_for("king oyster").steps["ripening"].days
    assert shiitake is not None
    assert king is not None
    assert (shiitake.low, shiitake.high) == (35.0, 130.0)  # 70 to 110 by strain, to 4.5 months
    assert (king.low, king.high) == (14.0, 40.0)  # 35 on the maker's sheet


def test_pink_oyster_has_the_highest_floor_in_every_step() -> None:
    for code in ("tube", "plate", "grain", "grain-2", "sawdust", "block"):
        floors = {
            s: defaults_for(s).steps[code].cold_min_c
            for s in EVERY
            if code in defaults_for(s).steps
        }
        pink = floors.pop("pleurotus-djamor")
        assert pink is not None
        assert pink.value == 10.0
        assert all(other is None or other.value < 10.0 for other in floors.values())


def test_slants_and_plates_bear_the_stores_they_are_usually_kept_in() -> None:
    """2 to 4 degC (tables/storage.csv); species of warm countries do not bear it there."""
    warm = {"pleurotus-djamor", "pleurotus-citrinopileatus", "ganoderma-lucidum"}
    for species in EVERY:
        for code in ("tube", "plate"):
            floor = defaults_for(species).steps[code].cold_min_c
            assert floor is not None
            assert (floor.value <= 2.0) == (species not in warm), species


def test_days_from_spawned_block_to_first_pick_of_the_modes() -> None:
    # Sums of the modes as given with the published table, days.
    expected = {
        "pleurotus-pulmonarius": 21, "pleurotus-ostreatus": 25, "hericium-erinaceus": 25,
        "flammulina-velutipes": 49, "pleurotus-eryngii": 56, "pholiota-nameko": 66,
        "agrocybe-aegerita": 66, "grifola-frondosa": 81, "pholiota-adiposa": 88,
        "ganoderma-lucidum": 99, "hypsizygus-tessulatus": 105, "lentinula-edodes": 119,
    }  # fmt: skip
    for species, days in expected.items():
        steps = defaults_for(species).steps
        total = 0.0
        for code in ("block", "ripening", "pinning", "fruiting"):
            value = steps[code].days
            assert value is not None
            total += value.value
        assert total == pytest.approx(days, abs=0.5), species


def test_grams_per_kilogram_of_wet_block_are_those_given_with_the_published_table() -> None:
    expected = {
        "pleurotus-ostreatus": 225, "lentinula-edodes": 251, "pleurotus-eryngii": 166,
        "hericium-erinaceus": 209, "grifola-frondosa": 180, "ganoderma-lucidum": 72,
        "hypsizygus-tessulatus": 193, "flammulina-velutipes": 176, "agrocybe-aegerita": 191,
        "pholiota-nameko": 266, "pholiota-adiposa": 270, "agaricus-bisporus": 281,
    }  # fmt: skip
    for species, grams in expected.items():
        found = defaults_for(species)
        dry = 1.0 - found.fill_moisture.value
        assert 1000 * dry * found.biological_efficiency.value == pytest.approx(grams, abs=1.0)


def test_every_loss_says_that_it_is_common_practice() -> None:
    for row in table("route_steps.csv").rows:
        if row.name == "loss":
            assert row.quality is Quality.COMMON_PRACTICE


def test_what_is_marked_read_names_a_publication() -> None:
    for file in ("route_steps.csv", "yields.csv", "expansion.csv", "storage.csv", "practice.csv"):
        for row in table(file).rows:
            if row.quality in {Quality.READ, Quality.MEASURED}:
                assert sources()[row.source].is_publication


def test_preparations_begin_in_the_order_they_are_done() -> None:
    for chain in (
        ("agar.mix", "agar.cook", "agar.pour"),
        ("grain.soak", "grain.boil", "grain.fill", "grain.cook", "grain.cool"),
        ("block.mix", "block.fill", "block.cook", "block.cool"),
        ("straw.chop", "straw.soak", "straw.cook", "straw.cool"),
    ):
        leads = [practice(f"preparation.{task}", "lead_hours").value for task in chain]
        assert leads == sorted(leads, reverse=True)
        cook = chain[0].split(".")[0]
        between = practice(f"preparation.{cook}.cook", "lead_hours").value - leads[-1]
        if cook != "agar":  # plates are poured while the agar is still liquid
            assert between >= practice(f"cook.{cook}", "hours").value


def test_grain_soaks_a_day_before_it_boils() -> None:
    soak = practice("preparation.grain.soak", "lead_hours").value
    boil = practice("preparation.grain.boil", "lead_hours").value
    assert 12.0 <= soak - boil <= 24.0
