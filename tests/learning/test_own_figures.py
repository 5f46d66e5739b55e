from dataclasses import replace
from math import exp, log, sqrt

import numpy as np
import pytest

from learning.farm_of_lots import FRUITING, GRAIN, ROUTE, TODAY, bearing_farm, borne, grown
from pinset.chain.register import Route
from pinset.chain.route_rules import check_route
from pinset.chain.spells import Spell
from pinset.errors import InputError, Severity
from pinset.learning.figures import Figure, Refusal, StepFigures, What
from pinset.learning.own_figures import own_figures, with_figures
from pinset.planning.building.step_numbers import Safety, planned_yield_g


def step_of(lots: list[Spell], step: str, route: Route = ROUTE) -> StepFigures:
    return next(each for each in own_figures("grey", route, lots, TODAY) if each.step == step)


def figure(found: StepFigures, what: What, flush: int = 0) -> Figure:
    return next(f for f in found.figures if (f.what, f.flush) == (what, flush))


LOST = [grown(n, 30, lost) for n, lost in enumerate((3, 4, 0, 6, 2, 5, 3, 1, 8, 3))]


def test_every_step_of_the_route_is_told_even_without_lots() -> None:
    found = own_figures("grey", ROUTE, [], TODAY)
    assert [each.step for each in found] == ["grain", "block", "fruiting"]
    for each in found:
        for one in each.figures:
            assert (one.refusal, one.planned, one.own) == (Refusal.NO_LOTS, None, None)


def test_units_lost_move_the_routes_loss_and_its_spread() -> None:
    loss = figure(step_of(LOST, "grain"), What.LOSS)
    assert (loss.lots, loss.units) == (10, 300)
    assert loss.route == pytest.approx(0.03)
    assert loss.own == pytest.approx(35 / 300, abs=0.01)
    assert loss.planned is not None
    assert 0.03 < loss.planned < 35 / 300
    assert loss.weight == pytest.approx(10 / 15)
    changed = with_figures(ROUTE, step_of(LOST, "grain"), What.LOSS)
    loss_now = changed.step("grain").loss
    assert loss_now.mean == pytest.approx(loss.planned, abs=2e-4)
    assert loss_now.high > GRAIN.loss.high
    assert changed.step("block") == ROUTE.step("block")


@pytest.mark.parametrize(
    ("lots", "refusal"),
    [
        ([grown(1, 30, 2)], Refusal.ONE_LOT),
        ([grown(1, 30, 30), grown(2, 20, 20)], Refusal.ALL_LOST),
    ],
)
def test_one_lot_and_nothing_but_loss_are_no_figures_to_plan_with(
    lots: list[Spell], refusal: Refusal
) -> None:
    loss = figure(step_of(lots, "grain"), What.LOSS)
    assert (loss.refusal, loss.planned) == (refusal, None)
    assert loss.own is not None
    with pytest.raises(InputError, match="something to plan with"):
        with_figures(ROUTE, step_of(lots, "grain"), What.LOSS)


def test_what_a_fruiting_step_has_not() -> None:
    with pytest.raises(InputError, match="gaps"):
        with_figures(ROUTE, step_of(LOST, "grain"), What.GAPS)


def test_yield_is_of_the_middle_lot_and_becomes_the_mode_of_the_route() -> None:
    lots = bearing_farm(60, 3)
    found = step_of(lots, "fruiting")
    borne_g = figure(found, What.YIELD)
    assert borne_g.route == pytest.approx(600.0 * exp(0.04) * 0.9)
    assert borne_g.low is not None
    assert borne_g.high is not None
    assert borne_g.low <= 450.0 * 0.9 <= borne_g.high
    assert borne_g.planned is not None
    changed = with_figures(ROUTE, found, What.YIELD).step("fruiting")
    logs = [log(sum(f.grams_per_unit for f in spell.flushes)) for spell in lots]
    mean, variance = np.mean(logs), np.var(logs, ddof=1)
    # what the plan reckons with over the flushes taken is near what the lots brought on average
    assert planned_yield_g(changed, Safety()) * 0.9 == pytest.approx(
        exp(mean + variance / 2), rel=0.05
    )
    assert changed.yield_spread == pytest.approx(sqrt(variance), rel=0.1)
    weak = planned_yield_g(changed, Safety(yield_quantile=0.5)) * 0.9
    assert weak == pytest.approx(borne_g.planned, rel=1e-3)


def test_a_lot_lost_after_one_flush_yields_by_that_flush_alone() -> None:
    cleared = [borne(n, (240.0, 120.0)) for n in range(4)]
    stopped = [replace(borne(n, (240.0,), gone=(0,)), spent=0, lost=50) for n in range(4, 8)]
    found = figure(step_of([*cleared, *stopped], "fruiting"), What.YIELD)
    assert found.own == pytest.approx(360.0)  # 240 g of 0.6 and 360 g of 0.9 are the same whole
    early = [borne(n, (240.0,), gone=(0,)) for n in range(8)]  # cleared after the first flush
    assert figure(step_of(early, "fruiting"), What.YIELD).own == pytest.approx(240.0)


def test_first_pick_counts_half_a_day_back_and_keeps_the_routes_lean() -> None:
    lots = [borne(n, (300.0, 150.0), first=days) for n, days in enumerate((14, 15, 16, 17, 18))]
    found = step_of(lots, "fruiting")
    days = figure(found, What.DAYS)
    assert days.own == pytest.approx(15.5)
    changed = with_figures(ROUTE, found, What.DAYS).step("fruiting").days
    assert days.planned is not None
    assert changed.mean == pytest.approx(days.planned, abs=0.1)
    ratio = (changed.high - changed.mode) / (changed.mode - changed.low)
    assert ratio == pytest.approx(2.5, rel=0.1)


def test_shares_add_up_and_gaps_and_blocks_lost_go_flush_by_flush() -> None:
    lots = [borne(n, (200.0 + n, 200.0), gap=9 + n % 2, gone=(3, 5)) for n in range(12)]
    found = step_of(lots, "fruiting")
    shares = [figure(found, What.SHARES, flush).planned or 0.0 for flush in (1, 2)]
    assert sum(shares) == pytest.approx(1.0)
    assert shares[0] < 2.0 / 3.0
    assert figure(found, What.GAPS, 2).own == pytest.approx(9.0)
    assert figure(found, What.LOST_BEFORE, 1).own == pytest.approx(0.06, abs=0.01)
    assert figure(found, What.LOST_BEFORE, 2).own == pytest.approx(0.10, abs=0.01)
    changed = ROUTE
    for what in (What.SHARES, What.GAPS, What.LOST_BEFORE):
        changed = with_figures(changed, found, what)
    first, second = changed.step("fruiting").flushes
    assert first.share + second.share == pytest.approx(0.9, abs=2e-4)
    assert second.gap_days.mean < 10.6
    assert 0.0 < first.lost_before < second.lost_before


@pytest.mark.parametrize(
    ("lots", "refusal"),
    [
        ([borne(1, (300.0, 150.0))], Refusal.ONE_LOT),
        ([replace(borne(n, ()), spent=0, lost=50) for n in range(3)], Refusal.ALL_LOST),
        ([borne(n, ()) for n in range(3)], Refusal.NEVER_PICKED),
    ],
)
def test_what_was_not_picked_often_enough_gives_no_yield(
    lots: list[Spell], refusal: Refusal
) -> None:
    found = step_of(lots, "fruiting")
    for what in (What.YIELD, What.DAYS):
        assert (figure(found, what).refusal, figure(found, what).planned) == (refusal, None)


def test_the_route_with_all_of_it_taken_over_still_holds() -> None:
    lots = [*bearing_farm(20, 4), *LOST]
    changed = ROUTE
    for found in own_figures("grey", ROUTE, lots, TODAY):
        for what in dict.fromkeys(each.what for each in found.figures):
            if all(each.planned is not None for each in found.figures if each.what is what):
                changed = with_figures(changed, found, what)
    assert changed != ROUTE
    wrong = [each for each in check_route(changed) if each.severity is Severity.WRONG]
    known = [each for each in check_route(ROUTE) if each.severity is Severity.WRONG]
    assert wrong == known


def test_the_range_of_a_whole_farm_covers_the_truth_on_four_of_five() -> None:
    held = dict.fromkeys((What.YIELD, What.DAYS, What.GAPS), 0)
    truth = {What.YIELD: 450.0 * 0.9, What.DAYS: 14.0, What.GAPS: 9.0}
    farms = 400
    for seed in range(farms):
        found = step_of(bearing_farm(12, seed), "fruiting")
        for what, true in truth.items():
            one = next(each for each in found.figures if each.what is what)
            held[what] += (one.low or 0.0) <= true <= (one.high or 0.0)
    for what in truth:
        assert held[what] / farms == pytest.approx(0.8, abs=0.06), what


def test_another_route_with_more_flushes_is_no_base() -> None:
    lots = bearing_farm(6, 9)
    three = replace(FRUITING, flushes=(*FRUITING.flushes, FRUITING.flushes[-1]))
    found = own_figures(
        "grey",
        ROUTE,
        lots,
        TODAY,
        lambda code, _: three if code == "fruiting" else ROUTE.step(code),
    )
    assert figure(found[2], What.GAPS, 2).planned is not None


def test_days_that_follow_the_months_are_read_as_usual_days() -> None:
    def slow(share: float) -> Route:
        step = replace(FRUITING, days_by_month=(share,) * 12)
        return replace(ROUTE, steps=(GRAIN, ROUTE.steps[1], step))

    def lots(times: int) -> list[Spell]:
        days = ((12, 10), (14, 11), (13, 9), (16, 12))
        return [
            borne(n, (300.0, 150.0), first=first * times, gap=gap * times)
            for n, (first, gap) in enumerate(days)
        ]

    usual = step_of(lots(1), "fruiting", slow(1.0))
    doubled = step_of(lots(2), "fruiting", slow(2.0))
    for what, flush in ((What.DAYS, 0), (What.GAPS, 2)):
        before, after = figure(usual, what, flush), figure(doubled, what, flush)
        assert before.own == pytest.approx({What.DAYS: 13.25, What.GAPS: 10.0}[what])
        assert after.own == pytest.approx(before.own)
        assert after.planned == pytest.approx(before.planned)
