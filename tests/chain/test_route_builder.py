from __future__ import annotations

from datetime import date

import pytest

from pinset.chain.plain import from_plain, to_plain
from pinset.chain.register import (
    Farm,
    FarmBook,
    RateBasis,
    Room,
    RoomKind,
    Route,
    StepKind,
    Steriliser,
)
from pinset.chain.route_builder import default_route
from pinset.chain.route_rules import check_book
from pinset.chain.stages import Stage
from pinset.chain.start_values import (
    PREPARATIONS,
    default_cook,
    default_variety,
    default_vessels,
    spread,
)
from pinset.errors import InputError
from pinset.tables.cautions import cautions
from pinset.tables.defaults import all_species, defaults_for

EVERY = sorted(all_species())


def codes(route: Route) -> list[str]:
    return [step.code for step in route.steps]


@pytest.mark.parametrize(
    ("species", "options", "expected"),
    [
        ("shiitake", {}, "tube plate grain sawdust block ripening fruiting"),
        ("king oyster", {}, "tube plate grain sawdust block ripening fruiting"),
        ("grey oyster", {}, "tube plate grain block fruiting"),
        ("grey oyster", {"grain_passes": 2}, "tube plate grain grain-2 block fruiting"),
        ("grey oyster", {"substrate": "sawdust"}, "tube plate grain sawdust block fruiting"),
        ("grey oyster", {"starts_at": "spawn"}, "spawn block fruiting"),
        ("shiitake", {"starts_at": "spawn", "ends_at": "block"}, "spawn block"),
        ("shiitake", {"ends_at": "grain"}, "tube plate grain"),
        ("shiitake", {"ends_at": "grain-2"}, "tube plate grain grain-2"),
        ("grey oyster", {"ends_at": "sawdust"}, "tube plate grain sawdust"),
        ("shiitake", {"uses_sawdust_spawn": False}, "tube plate grain block ripening fruiting"),
        ("button mushroom", {}, "tube plate grain block ripening fruiting"),
    ],
)
def test_chains(species: str, options: dict[str, object], expected: str) -> None:
    assert codes(default_route(species, **options)) == expected.split()  # type: ignore[arg-type]


@pytest.mark.parametrize("species", EVERY)
@pytest.mark.parametrize("starts_at", ["tube", "spawn"])
def test_every_default_route_passes_every_rule(species: str, starts_at: str) -> None:
    route = default_route(species, starts_at=starts_at)
    cooks = tuple(default_cook(kind, 300) for kind in ("agar", "grain", "block", "straw"))
    book = FarmBook(
        Farm("Try", 400, "Europe/Zurich"),
        rooms=(
            Room("ster", "Steriliser", RoomKind.STERILISER, 20.0),
            Room("grow", "Grow room", RoomKind.GROWING, 16.0, climates=(route.steps[-1].climate,)),
        ),
        sterilisers=(Steriliser("a", "A", "ster", cooks, 20.0, 3),),
        vessels=default_vessels(),
        routes=(route,),
        varieties=(default_variety(species, route=route.code),),
    )
    assert check_book(book, date(2026, 3, 1)) == ()


@pytest.mark.parametrize("species", EVERY)
def test_a_route_survives_being_written_and_read(species: str) -> None:
    route = default_route(species)
    assert from_plain(Route, to_plain(route)) == route


@pytest.mark.parametrize("species", EVERY)
def test_values_are_those_of_the_tables(species: str) -> None:
    found, route = defaults_for(species), default_route(species)
    for step in route.steps:
        if step.code == "fruiting":
            continue
        published = found.steps[step.code]
        assert published.days is not None
        assert step.days == spread(published.days)
        assert step.temperature_c == published.temperature_c.value
        if published.cold_min_c is not None:
            assert step.cold_min_c == published.cold_min_c.value
    fruiting = route.step("fruiting")
    pins, growth = found.steps["pinning"].days, found.steps["fruiting"].days
    assert pins is not None
    assert growth is not None
    assert fruiting.days.mode == pins.value + growth.value
    assert sum(flush.share for flush in fruiting.flushes) == pytest.approx(1.0)


def test_yield_of_a_shiitake_block_is_about_250_grams_per_kilogram() -> None:
    # 251 g per kg wet block at the mode, as given with the published table.
    fruiting = default_route("shiitake").step("fruiting")
    assert fruiting.yield_g / 2.5 == pytest.approx(251, abs=1)


def test_preparations_carry_their_cautions_and_lead_hours() -> None:
    grain = default_route("shiitake").step("grain")
    assert [p.task for p in grain.preparations] == ["soak", "boil", "fill", "cook", "cool"]
    leads = [p.lead_hours for p in grain.preparations]
    assert leads == sorted(leads, reverse=True)
    assert leads[0] - leads[1] >= 12  # soaked overnight at least
    assert {p.caution for p in grain.preparations} >= {"scald", "pressure", "hot-glass"}
    straw = default_route("grey oyster").step("block")
    assert "steam" in {p.caution for p in straw.preparations}


def test_every_preparation_names_a_caution_that_exists() -> None:
    named = {caution for tasks in PREPARATIONS.values() for _, _, caution in tasks if caution}
    assert named <= set(cautions())


def test_blocks_start_from_spawn_by_a_rate_with_its_basis() -> None:
    parent = default_route("shiitake").step("block").parents[0]
    assert parent.spawn_rate == 0.05
    assert parent.spawn_rate_basis is RateBasis.WET_ON_WET
    assert parent.units_per_parent == pytest.approx(20.0)


def test_a_heavier_block_takes_more_spawn_more_room_and_gives_more() -> None:
    usual, heavy = default_route("shiitake"), default_route("shiitake", block_g=5000)
    assert heavy.step("block").parents[0].units_per_parent == pytest.approx(10.0)
    assert heavy.step("block").places == 2 * usual.step("block").places
    assert heavy.step("fruiting").yield_g == pytest.approx(2 * usual.step("fruiting").yield_g)


def test_sterilised_blocks_lose_less_than_pasteurised_straw() -> None:
    straw = default_route("grey oyster").step("block").loss
    sterile = default_route("grey oyster", "sawdust").step("block").loss
    assert (straw.low, straw.mode, straw.high) == (0.02, 0.05, 0.15)
    assert (sterile.low, sterile.mode, sterile.high) == (0.01, 0.03, 0.08)
    assert "published for straw" in default_route("grey oyster", "sawdust").note


def test_fewer_flushes_keep_their_shares_of_the_whole() -> None:
    two = default_route("grey oyster", flushes=2).step("fruiting")
    assert [flush.share for flush in two.flushes] == [0.5, 0.32]
    assert two.yield_g == default_route("grey oyster").step("fruiting").yield_g


def test_bought_spawn_is_a_purchase_that_keeps_as_grain_does() -> None:
    spawn = default_route("pink oyster", starts_at="spawn").steps[0]
    assert spawn.kind is StepKind.BUY
    assert spawn.stage is Stage.GRAIN
    assert spawn.supplier_days > 0
    assert spawn.cold_min_c == 10.0
    assert spawn.temperature_c >= 10.0
    assert "8 to 10 °C" in default_route("pink oyster").note


def test_beds_are_counted_as_beds() -> None:
    route = default_route("button mushroom")
    assert {s.stage for s in route.steps if s.code in {"block", "ripening", "fruiting"}} == {
        Stage.BED
    }
    assert route.step("fruiting").yield_g == pytest.approx(25_000, rel=0.05)  # 20 to 32 kg a m2


def test_the_tube_is_the_head_of_the_chain_and_used_in_parts() -> None:
    route = default_route("shiitake")
    assert route.steps[0].parents == ()
    assert route.step("plate").parents[0].part_use
    assert route.steps[0].opened_keeps_days is not None


@pytest.mark.parametrize(
    ("species", "options", "words"),
    [
        ("truffle", {}, "species"),
        ("shiitake", {"substrate": "gravel"}, "straw or sawdust for Shiitake"),
        ("button mushroom", {"substrate": "straw"}, "compost for Button mushroom"),
        ("shiitake", {"starts_at": "log"}, "start of the route"),
        ("shiitake", {"ends_at": "ripening"}, "end of the route"),
        ("shiitake", {"starts_at": "spawn", "ends_at": "grain"}, "end of the route"),
        ("button mushroom", {"ends_at": "sawdust"}, "end of the route"),
        ("shiitake", {"grain_passes": 3}, "grain passes"),
        ("shiitake", {"block_g": -5}, "block weight"),
        ("shiitake", {"flushes": 9}, "1 to 4 for Shiitake"),
        ("shiitake", {"flushes": 0}, "flushes"),
    ],
)
def test_choices_that_do_not_fit_are_refused(
    species: str, options: dict[str, object], words: str
) -> None:
    with pytest.raises(InputError, match=words):
        default_route(species, **options)  # type: ignore[arg-type]


def test_unknown_cook_is_refused() -> None:
    with pytest.raises(InputError, match="agar, grain, block, straw"):
        default_cook("soup", 300)


def test_varieties_carry_trade_names_and_keep_as_published() -> None:
    variety = default_variety("hericium-erinaceus")
    assert (variety.code, variety.name) == ("lions-mane", "Lion's mane")
    assert variety.route == "lions-mane"
    assert variety.picked_keeps_days == 12.0
    assert default_variety("pink oyster").picked_keeps_days == 1.5
