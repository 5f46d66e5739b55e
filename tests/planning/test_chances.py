"""How sure promises are, what makes them unsure, and how much more to aim at."""

from __future__ import annotations

from dataclasses import replace

import pytest

from pinset.planning.building.from_book import build_problem
from pinset.planning.season.chances import SURE, Cause, chances_of
from pinset.planning.season.draws import ByChance, seeded
from pinset.planning.season.odds import odds_of
from pinset.planning.season.season import carry_out
from pinset.planning.season.tuning import SHARES, tune, with_spare
from pinset.planning.solve import solve
from planning.six_varieties import TODAY, six_variety_book, six_variety_stock
from planning.test_season import CASE, farm


def test_a_chance_is_the_share_of_seasons_that_bring_it() -> None:
    problem, plan, odds = farm(CASE)
    found = chances_of(problem, plan, odds, seasons=3000, seed=4)
    assert [each.promise for each in found.orders] == ["p18", "p20", "p27"]
    for each in found.orders:
        assert each.low <= each.expected <= each.high <= each.amount
        assert 0.0 < each.chance < 1.0
        assert each.lacking > 0.01 * each.amount
    weeks = {week.monday: week.chance for week in found.weeks}
    assert all(
        weeks[each.day.fromordinal(each.day.toordinal() - each.day.weekday())] <= each.chance
        for each in found.orders
    )
    assert chances_of(problem, plan, odds, seasons=3000, seed=4) == found
    assert chances_of(problem, plan, odds, days=20).orders[-1].promise == "p18"


@pytest.mark.parametrize(
    ("changes", "cause"),
    [
        ({"loss": (0.0, 0.0, 0.0), "spread": 0.0}, Cause.DAYS),
        ({"days": (8, 9, 9), "first": (6, 7, 7), "gap": (5, 6, 6), "spread": 0.0}, Cause.LOSSES),
        (
            {"days": (8, 9, 9), "first": (6, 7, 7), "gap": (5, 6, 6), "loss": (0.0, 0.0, 0.0)},
            Cause.YIELDS,
        ),
    ],
)
def test_what_makes_a_promise_unsure_is_named(changes: dict[str, object], cause: Cause) -> None:
    """Only one thing is left to chance; asked for is what comes if that goes as expected."""
    case = replace(CASE, **changes)  # type: ignore[arg-type]
    case = replace(case, lead=9, orders={18: 5900.0 if cause is Cause.LOSSES else 5500.0})
    problem, plan, odds = farm(case)
    [order] = chances_of(problem, plan, odds, seasons=2000).orders
    assert order.cause is cause
    assert order.without_cause > order.chance


def test_what_is_sure_of_a_promise_is_met_so_often_if_no_more_is_promised() -> None:
    problem, plan, odds = farm(CASE)
    weak = [each for each in chances_of(problem, plan, odds, seed=4).orders if each.chance < SURE]
    assert weak
    for each in weak:
        assert each.sure is not None
        lesser = tuple(
            replace(order, amount=each.sure) if order.promise == each.promise else order
            for order in problem.orders
        )
        again = chances_of(replace(problem, orders=lesser), plan, odds, seed=8).orders
        [chance] = [other.chance for other in again if other.promise == each.promise]
        assert chance >= SURE - 0.02, "three errors of 2,000 seasons twice"


def test_without_orders_there_is_nothing_to_say() -> None:
    problem, plan, odds = farm(CASE)
    found = chances_of(replace(problem, orders=()), plan, odds)
    assert (found.orders, found.weeks) == ((), ())


def test_a_plan_aims_at_more_until_its_promises_hold_as_wanted() -> None:
    book = six_variety_book()
    book = replace(
        book,
        varieties=book.varieties[:1],
        promises=tuple(p for p in book.promises if p.variety == book.varieties[0].code),
    )
    living = tuple(lot for lot in six_variety_stock() if lot.variety == book.varieties[0].code)
    problem, _ = build_problem(book, living, TODAY)
    odds = odds_of(book, living, TODAY)
    [tuned] = tune(problem, odds, days=112).varieties
    assert tuned.is_reached
    assert tuned.share > 0.0
    assert tuned.chance >= 0.95
    assert tuned.chances[SHARES.index(tuned.share) - 1] < 0.95, "the least that does it"
    before, after = (
        chances_of(problem, solve(p, time_limit_s=10.0, gap=0.01), odds, seasons=1000, days=112)
        for p in (problem, with_spare(problem, {(tuned.variety, tuned.step): tuned.share}))
    )
    mean = [sum(o.chance for o in each.orders) / len(each.orders) for each in (before, after)]
    assert mean[1] > mean[0] + 0.03
    [easy] = tune(problem, odds, days=112, wanted=0.2).varieties
    assert (easy.share, len(easy.chances)) == (0.0, 1)
    [hard] = tune(problem, odds, days=112, wanted=1.0).varieties
    assert not hard.is_reached
    assert hard.chance >= max(hard.chances) - 0.02


def test_what_is_spare_does_not_go_before_what_is_promised() -> None:
    """With half of what is promised, nothing is short only because more was aimed at."""
    problem, _, _ = farm(replace(CASE, orders={18: 12_000.0}))
    asked = [
        sum(short.amount for short in solve(with_spare(problem, {("v", "picked"): share})).short)
        for share in (0.0, 0.6)
    ]
    assert asked[0] > 1000.0
    assert asked[1] == pytest.approx(asked[0], abs=1.0)


def test_what_nobody_was_promised_is_left_over() -> None:
    """By weight: picked is what is handed over, what is left over, and what still lies there."""
    problem, plan, odds = farm(CASE)
    found = carry_out(problem, plan, odds, ByChance(seeded(4), 3000), keeps_picks=True)
    assert found.picked is not None
    assert found.left_over is not None
    picked, gone = found.picked.sum(axis=(0, 1)), found.left_over.sum(axis=(0, 1))
    assert picked == pytest.approx(gone + found.delivered.sum(axis=0), rel=1e-3)
    surplus = chances_of(problem, plan, odds, seasons=3000, seed=4).surplus
    assert sum(each.expected for each in surplus) == pytest.approx(float(gone.mean()), rel=0.02)
    assert all(each.low <= each.expected <= each.high for each in surplus)
    assert all(each.monday.weekday() == 0 for each in surplus)
