"""What watching, using first, holding and culling a lot cost in what is promised."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import pytest

from pinset.chain.living import LivingLot
from pinset.chain.register import FarmBook
from pinset.chain.stages import Stage
from pinset.errors import InputError
from pinset.planning.ask.lot_choices import Choice, DoubtfulLot, LotOutcomes, outcomes_of
from pinset.planning.ask.trials import Farm
from planning.six_varieties import TODAY, six_variety_book, six_variety_stock

CODE = "grey-oyster"


def farm() -> Farm:
    """Return one variety of the six, with its stock and its promises."""
    whole = six_variety_book()
    book: FarmBook = replace(
        whole,
        varieties=tuple(v for v in whole.varieties if v.code == CODE),
        promises=tuple(p for p in whole.promises if p.variety == CODE),
    )
    living = tuple(lot for lot in six_variety_stock() if lot.variety == CODE)
    return Farm(book, living, TODAY, shares={CODE: 0.2})


def blocks() -> LivingLot:
    """Return the most blocks that do not bear yet: what is lost of them cannot be made anew."""
    found = [lot for lot in farm().living if lot.stage is Stage.BLOCK and not lot.picked_g]
    growing = [lot for lot in found if lot.now_step().kind.value != "fruit"]
    return max(growing, key=lambda lot: lot.alive)


def asked(expected_lost: float, waits: int = 3) -> LotOutcomes:
    lot = DoubtfulLot(blocks().code, expected_lost, TODAY + timedelta(waits))
    return outcomes_of(farm(), lot, seed=1, time_limit_s=20.0)


@pytest.fixture(scope="module")
def sound() -> LotOutcomes:
    return asked(0.0)


def test_a_sound_lot_costs_nothing_to_watch_and_its_weight_to_cull(sound: LotOutcomes) -> None:
    by = {each.choice: each for each in sound.outcomes}
    assert list(by) == list(Choice)
    assert sound.bad == 0
    assert by[Choice.WATCH].grams == pytest.approx(0.0, abs=1.0)
    assert by[Choice.WATCH].less_sure == ()
    lot = blocks()
    step = next(s for s in lot.route.steps if s.yield_g)
    # what it bears at most; a plan makes up for a part of it, chance takes a part in any case
    assert 0.0 < by[Choice.CULL].grams <= lot.alive * step.yield_g
    assert by[Choice.CULL].less_sure
    for each in by[Choice.CULL].less_sure:
        assert each.chance < each.if_sound


def test_more_bad_units_cost_more_and_no_more_than_all_of_them(sound: LotOutcomes) -> None:
    culled = {each.choice: each.grams for each in sound.outcomes}[Choice.CULL]
    costs = []
    for share in (0.3, 0.8):
        found = asked(share * blocks().alive)
        assert 0 < found.bad <= blocks().alive
        costs.append(next(e.grams for e in found.outcomes if e.choice is Choice.WATCH))
    same = 0.004 * sound.grams  # by so much two plans of one farm differ in themselves
    assert 0.0 < costs[1] <= culled + same
    assert costs[0] <= costs[1] + same


def test_waiting_beyond_what_a_lot_keeps_costs_as_much_as_taking_it_out() -> None:
    found = {each.choice: each.grams for each in asked(0.0, waits=200).outcomes}
    assert found[Choice.HOLD] == pytest.approx(found[Choice.CULL], rel=0.02)


def test_holding_never_costs_more_than_taking_out_nor_using_first_more_than_watching() -> None:
    """Of spawn that stands ready in the cold, too: others must not be taken to wait for it."""
    spawn = max(
        (lot for lot in farm().living if lot.stage is Stage.GRAIN), key=lambda lot: lot.alive
    )
    for waits in (1, 4, 20):
        lot = DoubtfulLot(spawn.code, 2.0, TODAY + timedelta(waits))
        found = outcomes_of(farm(), lot, seed=1, time_limit_s=20.0)
        cost = {each.choice: each.grams for each in found.outcomes}
        assert cost[Choice.HOLD] <= cost[Choice.CULL] + 1e-9
        assert cost[Choice.FIRST] == cost[Choice.WATCH]


def test_what_is_the_same_farm_is_not_planned_twice_and_costs_nothing() -> None:
    lot = blocks()
    planned: list[str] = []
    ready = DoubtfulLot(lot.code, 0.0, TODAY)  # no more lost, and nothing to wait for
    found = outcomes_of(farm(), ready, seed=1, time_limit_s=20.0, say=planned.append)
    assert planned == ["planning as if the lot were sound", "planning for: cull"]
    for each in found.outcomes:
        if each.choice is not Choice.CULL:
            assert (each.grams, each.units, each.less_sure) == (0.0, 0.0, ())


@pytest.mark.parametrize("waits", [2, 6, 15])
def test_no_delivery_is_less_sure_by_a_milder_choice_than_by_taking_out(waits: int) -> None:
    found = {each.choice: each.less_sure for each in asked(0.0, waits=waits).outcomes}
    culled = {(each.promise, each.day) for each in found[Choice.CULL]}
    for choice in (Choice.WATCH, Choice.FIRST, Choice.HOLD):
        assert {(each.promise, each.day) for each in found[choice]} <= culled


def test_a_lot_that_is_not_there() -> None:
    gone = DoubtfulLot("99999", 1.0, date(2026, 4, 1))
    with pytest.raises(InputError, match="alive"):
        outcomes_of(farm(), gone, seed=1, time_limit_s=5.0)
