from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pinset.chain.expansion import (
    bags_from_plates,
    expand,
    first_parent,
    needed_back,
    units_for_weight,
    usual_path,
)
from pinset.chain.losses import kept_through
from pinset.chain.register import Parent, Route, Spread, Step, StepKind
from pinset.chain.route_builder import default_route
from pinset.chain.stages import Stage
from pinset.errors import InputError
from pinset.tables.loader import table


def step(code: str, stage: Stage, loss: float, *parents: Parent) -> Step:
    return Step(
        code,
        StepKind.TRANSFER,
        stage,
        Spread(7, 7, 7),
        Spread(loss, loss, loss),
        temperature_c=22.0,
        parents=parents,
    )


# One order, worked out in the project's planning note: 45 kg at 0.9 kg a bag; losses 8, 6, 4 and
# 4 %; plate to jar 6, jar to sawdust 6, sawdust to bag 10.
ORDER = Route(
    "order",
    (
        step("plate", Stage.PLATE, 0.08),
        step("jar", Stage.GRAIN, 0.06, Parent("plate", 6.0)),
        step("sawdust", Stage.SAWDUST, 0.04, Parent("jar", 6.0)),
        step("bag", Stage.BLOCK, 0.04, Parent("sawdust", 10.0)),
    ),
)


@pytest.mark.parametrize(("service", "plan"), [(None, [2, 3, 7, 53]), (0.95, [2, 3, 7, 55])])
def test_the_worked_order_backwards(service: float | None, plan: list[int]) -> None:
    # Planning note, uncertainty: rows "expected values" and "each loss at 95 %, mean yield".
    bags = units_for_weight(45_000, 900)
    assert bags == 50
    assert [need.start for need in needed_back(ORDER, "bag", bags, service)] == plan


def test_parents_of_the_worked_order_are_whole() -> None:
    needs = {need.step: need for need in needed_back(ORDER, "bag", 50)}
    assert needs["bag"].parents == 6  # 53 bags, ten from one
    assert needs["sawdust"].parents == 2
    assert needs["jar"].parents == 1
    assert needs["plate"].parents == 0


@pytest.mark.parametrize(("generations", "times"), [(1, 1), (2, 10), (3, 100), (4, 1000)])
def test_ten_fold_twice_is_a_hundred(generations: int, times: int) -> None:
    # Stamets 1993, pp. 137-138: 1:10 twice gives a hundred times, three times a thousand.
    ten = table("expansion.csv").one("grain-to-grain", "expansion").value
    assert bags_from_plates(1, 1, ten, generations, 1) == times


def test_bags_from_plates_is_the_product_of_the_trade() -> None:
    # plates x jars x G^(n-1) x bags x product of (1 - loss)
    losses = (0.02, 0.02, 0.05)
    assert bags_from_plates(3, 8, 10, 2, 2.6, losses) == pytest.approx(
        3 * 8 * 10 * 2.6 * 0.98 * 0.98 * 0.95
    )


def test_a_plate_starts_two_and_a_half_kilograms_of_dry_grain() -> None:
    # Stamets 1993, grain master section and p. 132: 4 to 20 cups of 210 g, 0.84 to 4.2 kg.
    rows = table("expansion.csv")
    cups = rows.one("plate-to-grain", "dry_grain_cups_per_plate")
    cup_g = rows.one("plate-to-grain", "dry_rye_per_cup_g").value
    assert cups.low is not None
    assert cups.high is not None
    assert cups.low * cup_g == pytest.approx(840)
    assert cups.high * cup_g == pytest.approx(4200)
    # Our default of 8 jars (0.65 kg, half water) lies inside that.
    jars = default_route("shiitake").step("grain")
    assert 840 <= jars.parents[0].units_per_parent * jars.fill_g * 0.5 <= 4200


def test_expansion_of_a_route_is_the_same_product() -> None:
    route = default_route("grey oyster", grain_passes=2)
    steps = usual_path(route, "block")
    assert [s.code for s in steps] == ["tube", "plate", "grain", "grain-2", "block"]
    reached = expand(route, 1, "block")
    product = kept_through(s.loss.mean for s in steps) * 8 * 8 * 10 * 2.6
    assert reached[-1].usable == pytest.approx(product)
    assert reached[0].started == 1


def test_continuing_steps_keep_their_units() -> None:
    route = default_route("king oyster")
    reached = {r.step: r for r in expand(route, 1, "fruiting")}
    assert reached["ripening"].started == pytest.approx(reached["block"].usable)
    assert reached["fruiting"].started == pytest.approx(reached["ripening"].usable)
    needs = {n.step: n for n in needed_back(route, "fruiting", 100)}
    assert needs["fruiting"].parents == needs["ripening"].parents == 0
    assert needs["block"].usable == needs["ripening"].start


@given(st.integers(0, 2_000), st.sampled_from([None, 0.5, 0.95]))
def test_what_is_started_is_enough_again(usable: int, service: float | None) -> None:
    route = default_route("shiitake")
    needs = needed_back(route, "block", usable, service)
    for before, after in pairwise(needs):
        factor = first_parent(route.step(after.step))
        assert factor is not None
        assert before.usable == after.parents
        assert after.parents * factor.units_per_parent >= after.start - 1e-6
    if service is None:
        last = needs[-1]
        assert last.start * (1 - route.step("block").loss.mean) >= usable - 1e-6


@given(st.floats(0, 100), st.floats(0, 100))
def test_expansion_is_proportional(one: float, other: float) -> None:
    route = default_route("shiitake")
    total = expand(route, one + other, "block")[-1].usable
    parts = expand(route, one, "block")[-1].usable + expand(route, other, "block")[-1].usable
    assert total == pytest.approx(parts, abs=1e-9)


def test_a_self_parent_is_not_walked_in_circles() -> None:
    plate = ORDER.steps[0]
    renewing = replace(plate, parents=(Parent("plate", 20.0),))
    assert first_parent(renewing) is None
    assert len(usual_path(replace(ORDER, steps=(renewing, *ORDER.steps[1:])), "bag")) == 4


def test_a_route_that_starts_with_bought_spawn() -> None:
    route = default_route("golden oyster", starts_at="spawn")
    assert [s.code for s in usual_path(route, "fruiting")] == ["spawn", "block", "fruiting"]
    needs = needed_back(route, "block", 24)
    # By hand: 24 / (1 - 0.0733) is 26 bags; twelve from one 3 kg bag of spawn at 250 g each, so
    # three; and 3 / (1 - 0.0083) is a little over three.
    assert [need.start for need in needs] == [4, 26]
    assert needs[1].parents == 3


@pytest.mark.parametrize(
    ("call", "words"),
    [
        (lambda: expand(ORDER, -1, "bag"), "units"),
        (lambda: expand(ORDER, 1, "crate"), "plate, jar, sawdust, bag"),
        (lambda: needed_back(ORDER, "bag", -1), "units"),
        (lambda: needed_back(_all_lost(), "bag", 1), "a mean loss below 1"),
        (lambda: expand(_no_units(), 1, "bag"), "jar units per parent"),
        (lambda: usual_path(_circle(), "bag"), "do not run in a circle"),
        (lambda: units_for_weight(-1, 900), "weight and yield"),
        (lambda: units_for_weight(1, 0), "weight and yield"),
        (lambda: bags_from_plates(-1, 8, 10, 1, 2), "plates"),
        (lambda: bags_from_plates(1, float("nan"), 10, 1, 2), "jars per plate"),
        (lambda: bags_from_plates(1, 8, 10, 0, 2), "grain generations"),
        (lambda: bags_from_plates(1, 8, 10, 1, 2, (1.5,)), "loss"),
    ],
)
def test_nonsense_is_refused(call, words: str) -> None:  # noqa: ANN001
    with pytest.raises(InputError, match=words):
        call()


def _changed(code: str, **changes: object) -> Route:
    steps = (replace(s, **changes) if s.code == code else s for s in ORDER.steps)  # type: ignore[arg-type]
    return replace(ORDER, steps=tuple(steps))


def _all_lost() -> Route:
    return _changed("sawdust", loss=Spread(1, 1, 1))


def _no_units() -> Route:
    return _changed("jar", parents=(Parent("plate", 0.0),))


def _circle() -> Route:
    return _changed("plate", parents=(Parent("sawdust", 1.0),))
