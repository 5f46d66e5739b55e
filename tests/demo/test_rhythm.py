"""The expansion arithmetic against figures worked by hand."""

import math
from dataclasses import replace
from datetime import date

import pytest

from pinset.chain.register import FarmBook, Weekday
from pinset.demo import rhythm
from pinset.demo.routes import GREY_OYSTER, KING_OYSTER
from pinset.demo.shed import opening_book


@pytest.fixture(scope="module")
def farm() -> FarmBook:
    return opening_book(date(2026, 3, 12))


def test_grams_per_block_by_hand() -> None:
    # Straw bag: 1125 g most likely, 0.2 the standard deviation of its logarithm, so the mean is
    # exp(1.5 * 0.04) of that; shares 0.50 and 0.32 of which 4 % of bags are gone by the second
    # flush, and nothing else is lost in the grow room; mean loss of straw (0.02, 0.05, 0.15);
    # 5 % trimmed.
    mean = 1125 * math.exp(0.06)
    by_hand = mean * (0.50 + 0.32 * 0.96) * (1 - 0.22 / 3) * 0.95
    assert rhythm.saleable_g_per_block(GREY_OYSTER, 0.05) == pytest.approx(by_hand)


def test_blocks_cover_the_promise_with_the_reserve(farm: FarmBook) -> None:
    for variety in farm.varieties:
        route = rhythm.route_of(farm, variety)
        blocks = sum(b.count for b in rhythm.variety_batches(farm, variety) if b.step == "block")
        grams = blocks * rhythm.saleable_g_per_block(route, variety.trim_loss)
        promised = rhythm.weekly_grams(farm, variety.code)
        assert promised * rhythm.RESERVE <= grams < promised * rhythm.RESERVE * 1.10


def test_parents_suffice_for_their_children(farm: FarmBook) -> None:
    for variety in farm.varieties:
        route = rhythm.route_of(farm, variety)
        counts: dict[str, int] = {}
        for batch in rhythm.variety_batches(farm, variety):
            counts[batch.step] = counts.get(batch.step, 0) + batch.count
        for code, count in counts.items():
            step = route.step(code)
            if step.parents and step.parents[0].step in counts:
                parent = step.parents[0]
                usable = counts[parent.step] * (1 - route.step(parent.step).loss.mean)
                assert usable >= math.floor(count / parent.units_per_parent)


def test_sold_spawn_is_made_beside_the_farms_own(farm: FarmBook) -> None:
    shiitake = next(v for v in farm.varieties if v.code == "shiitake")
    without = replace(farm, promises=tuple(p for p in farm.promises if p.measure == "gram"))
    made = {b.step: b.count for b in rhythm.variety_batches(farm, shiitake)}
    own = {b.step: b.count for b in rhythm.variety_batches(without, shiitake)}
    assert made["sawdust"] >= own["sawdust"] + 2
    assert made["block"] == own["block"]


def test_vessels_are_cooked_on_a_day_before() -> None:
    assert rhythm.cook_weekday(KING_OYSTER.step("block"), Weekday.THU) is Weekday.WED
    assert rhythm.cook_weekday(KING_OYSTER.step("plate"), Weekday.TUE) is Weekday.FRI
