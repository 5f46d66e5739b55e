from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pinset.chain.bearing import bears, flush_ends
from pinset.chain.living import LivingLot
from pinset.chain.readiness import lead_days, ready_on
from pinset.chain.register import Spread
from pinset.chain.route_builder import default_route
from pinset.chain.rules_route import check_route
from pinset.chain.season_days import lasting_days, lasting_spread, usual_days

WINTER = (1.5, 1.5, 1.25, 1.0, 1.0, 0.8, 0.8, 0.8, 1.0, 1.0, 1.25, 1.5)
"""Shares of the months: invented."""

shares = st.tuples(*([st.floats(0.2, 5.0)] * 12))
days = st.dates(date(2020, 1, 1), date(2032, 12, 31))


def plainly(season: tuple[float, ...], since: date, usual: float) -> float:
    """Count day by day what each is worth."""
    left, passed = usual, 0.0
    while left > 0.0:
        share = season[(since + timedelta(days=int(passed))).month - 1]
        worth = 1.0 / share
        if left <= worth:
            return passed + left * share
        left, passed = left - worth, passed + 1.0
    return passed


def test_a_step_within_one_month_takes_its_share() -> None:
    assert lasting_days(WINTER, date(2026, 1, 5), 10.0) == 15.0
    assert lasting_days(WINTER, date(2026, 7, 1), 10.0) == 8.0


def test_a_step_over_two_months_takes_from_both() -> None:
    # from 22 March: 10 days of March are worth 8 usual ones, then 4 days of April 4 more
    assert lasting_days(WINTER, date(2026, 3, 22), 12.0) == 14.0
    # 29 days of February 2028 at 1.5, of which 3 are worth 2; then March at 1.25
    assert lasting_days(WINTER, date(2028, 2, 27), 4.0) == 3.0 + 2.0 * 1.25


@given(shares, days, st.floats(0.0, 150.0))
def test_the_same_counted_day_by_day(season: tuple[float, ...], since: date, usual: float) -> None:
    assert lasting_days(season, since, usual) == pytest.approx(plainly(season, since, usual))


@given(shares, days, st.integers(0, 400))
def test_days_counted_back_are_the_same(season: tuple[float, ...], since: date, real: int) -> None:
    counted = usual_days(season, since, since + timedelta(days=real))
    assert lasting_days(season, since, counted) == pytest.approx(real, abs=1e-6)


@given(shares, days, st.floats(0.0, 100.0))
def test_what_begins_later_is_never_ready_sooner(
    season: tuple[float, ...], since: date, usual: float
) -> None:
    later = 1.0 + lasting_days(season, since + timedelta(days=1), usual)
    assert later >= lasting_days(season, since, usual) - 1e-9


def test_without_shares_days_are_the_usual() -> None:
    spread = Spread(8.0, 11.0, 14.0)
    assert lasting_spread((), date(2026, 1, 1), spread) is spread
    assert usual_days((), date(2026, 1, 1), date(2026, 1, 12)) == 11.0
    assert usual_days((), date(2026, 1, 12), date(2026, 1, 1)) == 0.0


def fruiting_lot(since: date, season: tuple[float, ...]) -> LivingLot:
    route = default_route("grey oyster")
    steps = tuple(
        replace(step, days_by_month=season) if step.code == "fruiting" else step
        for step in route.steps
    )
    at = next(step for step in steps if step.code == "fruiting")
    return LivingLot(
        "MYGUA", "grey-oyster", "fruiting", at.stage, 10, since, since, "a", "r", 16.0,
        replace(route, steps=steps),
    )  # fmt: skip


def test_a_lot_in_a_cold_tunnel_bears_later() -> None:
    since = date(2026, 1, 5)
    usual, slow = fruiting_lot(since, ()), fruiting_lot(since, (2.0,) * 12)
    for before, after in (
        (ready_on(usual).p50, ready_on(slow).p50),
        (flush_ends(usual, 1), flush_ends(slow, 1)),
    ):
        assert after > before
    step = slow.now_step()
    assert lead_days(step, since=since) == pytest.approx(2 * lead_days(step), abs=1)
    assert ready_on(slow).p50 == since + timedelta(days=lead_days(step, since=since))
    soonest = since + timedelta(days=round(step.days.low))
    assert bears(usual, soonest)
    assert not bears(slow, soonest)


@pytest.mark.parametrize(
    ("season", "is_right"),
    [
        ((), True),
        (WINTER, True),
        ((1.0,) * 11, False),
        ((1.0,) * 11 + (0.1,), False),
        ((1.0,) * 11 + (5.1,), False),
        ((1.0,) * 11 + (float("nan"),), False),
    ],
)
def test_twelve_shares_or_none(season: tuple[float, ...], *, is_right: bool) -> None:
    route = fruiting_lot(date(2026, 1, 5), season).route
    said = [each for each in check_route(route) if each.id == "route.season"]
    assert bool(said) is not is_right


def test_what_is_bought_has_no_season() -> None:
    route = default_route("grey oyster", starts_at="spawn")
    steps = (replace(route.steps[0], days_by_month=WINTER), *route.steps[1:])
    said = [each for each in check_route(replace(route, steps=steps)) if each.id == "route.season"]
    assert len(said) == 1
    assert "supplier" in said[0].sentence
