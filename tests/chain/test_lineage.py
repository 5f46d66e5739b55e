from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pinset.chain.lineage import (
    Ancestor,
    Counters,
    PartMeasure,
    child_counters,
    limit_findings,
    may_start,
    part_taken,
)
from pinset.chain.register import Parent
from pinset.chain.route_builder import default_route
from pinset.chain.stages import Stage
from pinset.errors import InputError, Severity
from pinset.tables.loader import table

LIVING = st.sampled_from([s for s in Stage if s not in {Stage.PREPARED, Stage.FRUIT}])
ANCESTORS = st.builds(Ancestor, LIVING, st.integers(0, 5), st.integers(0, 8))


@pytest.mark.parametrize(
    ("stage", "parents", "generation", "transfers"),
    [
        (Stage.PLATE, [Ancestor(Stage.TUBE, 0, 2)], 0, 2),  # waking a tube is no transfer
        (Stage.PLATE, [Ancestor(Stage.PLATE, 0, 2)], 0, 3),
        (Stage.TUBE, [Ancestor(Stage.PLATE, 0, 2)], 0, 3),
        (Stage.TUBE, [Ancestor(Stage.TUBE, 0, 2)], 0, 3),
        (Stage.GRAIN, [Ancestor(Stage.PLATE, 0, 1)], 1, 1),  # master
        (Stage.GRAIN, [Ancestor(Stage.LIQUID, 0, 1)], 1, 1),
        (Stage.GRAIN, [Ancestor(Stage.GRAIN, 1, 1)], 2, 1),
        (Stage.GRAIN, [Ancestor(Stage.GRAIN, 1, 4), Ancestor(Stage.GRAIN, 2, 0)], 3, 4),
        (Stage.SAWDUST, [Ancestor(Stage.GRAIN, 2, 1)], 2, 1),
        (Stage.BLOCK, [Ancestor(Stage.SAWDUST, 2, 1)], 2, 1),
        (Stage.GRAIN, [], 1, 0),  # bought spawn
        (Stage.PLATE, [], 0, 0),
    ],
)
def test_counters_of_a_child(
    stage: Stage, parents: list[Ancestor], generation: int, transfers: int
) -> None:
    assert child_counters(stage, parents) == Counters(generation, transfers)


def test_a_clone_starts_anew_and_is_not_cleared() -> None:
    counters = child_counters(Stage.PLATE, [Ancestor(Stage.FRUIT, 3, 4)])
    assert counters == Counters(0, 0, cleared=False)
    found = limit_findings(default_route("shiitake"), Stage.PLATE, counters, "MYGUA")
    assert [f.id for f in found] == ["lineage.clone"]
    assert "gene test" in found[0].hint


@given(LIVING, st.lists(ANCESTORS, max_size=4))
def test_no_child_is_younger_than_its_parents(stage: Stage, parents: list[Ancestor]) -> None:
    child = child_counters(stage, parents)
    for parent in parents:
        assert child.generation >= parent.generation
        assert child.transfers >= parent.transfers


@given(st.integers(1, 6))
def test_a_chain_of_grain_counts_up_by_one(passes: int) -> None:
    lot = Ancestor(Stage.PLATE)
    for _ in range(passes):
        counters = child_counters(Stage.GRAIN, [lot])
        lot = Ancestor(Stage.GRAIN, counters.generation, counters.transfers)
    assert lot.generation == passes


def test_limits_are_those_of_the_published_table() -> None:
    # Stamets 1993, p. 138: normally three generations; five transfers: common practice.
    route = default_route("shiitake")
    rows = table("expansion.csv")
    assert route.generation_limit == rows.one("grain-to-grain", "generation_limit").value == 3
    assert route.transfer_limit == rows.one("generation-limit", "transfer_limit").value == 5


@pytest.mark.parametrize(
    ("stage", "counters", "expected"),
    [
        (Stage.GRAIN, Counters(2, 0), []),
        (Stage.GRAIN, Counters(3, 0), [("lineage.generation-last", Severity.NOTE)]),
        (Stage.BLOCK, Counters(3, 0), []),
        (Stage.GRAIN, Counters(4, 0), [("lineage.generation", Severity.WARNING)]),
        (Stage.PLATE, Counters(0, 5), [("lineage.transfers-last", Severity.NOTE)]),
        (
            Stage.BLOCK,
            Counters(4, 6),
            [("lineage.generation", Severity.WARNING), ("lineage.transfers", Severity.WARNING)],
        ),
    ],
)
def test_limits_speak_at_and_beyond(
    stage: Stage, counters: Counters, expected: list[tuple[str, Severity]]
) -> None:
    found = limit_findings(default_route("shiitake"), stage, counters, "MYGUA")
    assert [(f.id, f.severity) for f in found] == expected
    assert all(f.record == "MYGUA" and f.hint for f in found)


def test_more_grain_may_be_made_only_within_the_limit() -> None:
    route = default_route("shiitake")
    assert may_start(route, Stage.GRAIN, [Ancestor(Stage.GRAIN, 2)])
    assert not may_start(route, Stage.GRAIN, [Ancestor(Stage.GRAIN, 3)])
    assert may_start(route, Stage.BLOCK, [Ancestor(Stage.GRAIN, 3)])
    assert not may_start(route, Stage.PLATE, [Ancestor(Stage.PLATE, 0, 5)])


@pytest.mark.parametrize(
    ("stage", "parent", "words"),
    [
        (Stage.GRAIN, Ancestor(Stage.FRUIT), "plate or tube"),
        (Stage.GRAIN, Ancestor(Stage.PREPARED), "something living"),
        (Stage.GRAIN, Ancestor(Stage.PLATE, -1), "0 or more"),
    ],
)
def test_what_cannot_be_a_parent(stage: Stage, parent: Ancestor, words: str) -> None:
    with pytest.raises(InputError, match=words):
        child_counters(stage, [parent])


def test_pieces_of_a_slant() -> None:
    route = default_route("shiitake")
    plate = route.step("plate")
    taken = part_taken(route, plate.parents[0], plate, 3)
    assert (taken.vessels, taken.amount, taken.measure, taken.left) == (1, 3, PartMeasure.UNIT, 5)
    more = part_taken(route, plate.parents[0], plate, 6, left=5)
    assert (more.vessels, more.amount, more.left) == (1, 6, 7)


def test_grams_of_a_bag_by_its_spawn_rate() -> None:
    route = default_route("golden oyster", starts_at="spawn")
    block = route.step("block")  # 5 kg straw at 5 % of a 3 kg bag: 250 g each
    taken = part_taken(route, block.parents[0], block, 6)
    assert taken.measure is PartMeasure.GRAM
    assert (taken.vessels, taken.amount, taken.left) == (1, 1500, 1500)
    assert part_taken(route, block.parents[0], block, 6, left=1500).vessels == 0
    assert part_taken(route, block.parents[0], block, 13).vessels == 2


def test_grams_of_a_jar_without_a_rate() -> None:
    route = default_route("grey oyster", grain_passes=2)
    second = route.step("grain-2")
    taken = part_taken(route, second.parents[0], second, 4)
    assert (taken.vessels, taken.amount, taken.left) == (1, 260, 390)


def test_millilitres_of_liquid() -> None:
    # 250 mL per 4.8 kg grain bag (Stamets 1993, p. 131); a litre is enough for four.
    route = default_route("grey oyster")
    liquid = replace(route.step("plate"), code="liquid", stage=Stage.LIQUID, fill_g=1000)
    link = Parent("liquid", 4.0, part_use=True)
    grain = replace(route.step("grain"), parents=(link,), fill_g=4800)
    with_liquid = replace(route, steps=(liquid, grain))
    taken = part_taken(with_liquid, link, grain, 3)
    published = table("expansion.csv").one("liquid", "inoculum_per_4_8_kg_grain_ml").value
    assert taken.amount == 3 * published
    assert taken.measure is PartMeasure.MILLILITRE
    assert taken.left == 250


@given(st.integers(0, 500), st.integers(0, 3000))
def test_nothing_appears_or_vanishes_when_parts_are_taken(units: int, left: int) -> None:
    route = default_route("golden oyster", starts_at="spawn")
    block = route.step("block")
    taken = part_taken(route, block.parents[0], block, units, left=left)
    assert left + taken.vessels * 3000 - taken.amount == taken.left
    assert taken.left >= 0
    assert taken.left < max(3000, left + 1)


@pytest.mark.parametrize(
    ("units", "left", "link", "fill", "words"),
    [
        (-1, 0, Parent("grain", 8.0), 650, "units and rest"),
        (1, -1, Parent("grain", 8.0), 650, "units and rest"),
        (1, 0, Parent("grain", 0.0), 650, "units per parent"),
        (1, 0, Parent("grain", 8.0), 0, "grain fill"),
        (1, 0, Parent("nothing", 8.0), 650, "a step of route"),
    ],
)
def test_nonsense_is_refused(units: int, left: int, link: Parent, fill: int, words: str) -> None:
    route = default_route("grey oyster", grain_passes=2)
    steps = tuple(replace(s, fill_g=fill) if s.code == "grain" else s for s in route.steps)
    with pytest.raises(InputError, match=words):
        part_taken(replace(route, steps=steps), link, route.step("grain-2"), units, left=left)
