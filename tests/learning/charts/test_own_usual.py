"""The sum against its own usual: by quadrature, on drawn quiet rooms and on drawn outbreaks."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import pytest
from scipy import integrate, stats

from pinset.errors import InputError
from pinset.learning.charts.laws import FLIES, UNITS, Believed, Floats, Law, count_chance
from pinset.learning.charts.own_usual import (
    FEWEST,
    NEW_USUAL_DAYS,
    RAISED_TIMES,
    Followed,
    followed,
)

PLAIN = Law(count_chance, ((0.25, 1.0),), is_share=False)
"""Counts that clump by a known amount, so that one integral says all."""

BELIEVED = Believed(1.0, 2.0)


def weekly(
    counts: list[int] | Floats, of: float | Floats = 28.0, between: float = 50.0
) -> Followed:
    found = np.array(counts, dtype=float)
    on = np.broadcast_to(np.asarray(of, dtype=float), found.shape)
    days = 7.0 * np.arange(found.size)
    return followed(FLIES, found, on, days, believed=BELIEVED, between=between)


def evidence(counts: list[tuple[int, float, float]]) -> float:
    """Return the chance of (count, exposure, times the usual rate) over all levels, by scipy."""

    def at(log_rate: float) -> float:
        chance = stats.norm.pdf(log_rate, 0.0, 2.0)
        for count, of, times in counts:
            mean = np.exp(log_rate) * of * times
            chance *= stats.nbinom.pmf(count, 4.0, 4.0 / (4.0 + mean))
        return float(chance)

    return float(integrate.quad(at, -7.0, 7.0, epsabs=0.0, epsrel=1e-8, limit=200)[0])


def test_the_limit_is_where_the_integrals_say() -> None:
    before = [(9, 14.0, 1.0), (15, 28.0, 1.0), (4, 7.0, 1.0), (11, 28.0, 1.0)]
    told = followed(
        PLAIN,
        np.array([9.0, 15.0, 4.0, 11.0, 12.0]),
        np.array([14.0, 28.0, 7.0, 28.0, 21.0]),
        7.0 * np.arange(5),
        believed=BELIEVED,
        between=20.0,
    )

    def ratio(count: int) -> float:
        raised = np.mean([evidence([*before, (count, 21.0, t)]) for t in RAISED_TIMES])
        return float(raised) / evidence([*before, (count, 21.0, 1.0)])

    assert told.limits[:FEWEST] == (None,) * FEWEST
    limit = told.limits[FEWEST]
    assert limit is not None
    assert ratio(int(limit)) >= 20.0 * 0.99  # the sum before is 0: (1 + 0) times the ratio
    assert ratio(int(limit) - 1) < 20.0 * 1.01


def test_the_level_is_that_of_the_integral() -> None:
    counts = [9, 15, 4, 11, 12, 7]
    told = followed(
        PLAIN,
        np.array(counts, dtype=float),
        np.full(6, 14.0),
        7.0 * np.arange(6),
        believed=BELIEVED,
        between=1e6,
    )
    rates = np.linspace(-7.0, 7.0, 20_001)
    chance = stats.norm.logpdf(rates, 0.0, 2.0)
    for count in counts:
        chance += stats.nbinom.logpmf(count, 4.0, 4.0 / (4.0 + 14.0 * np.exp(rates)))
    mass = np.cumsum(np.exp(chance - chance.max()))
    low, half, high = np.exp(np.interp((0.025, 0.5, 0.975), mass / mass[-1], rates))
    assert told.learnt == len(counts)
    assert told.usual.rate == pytest.approx(half, rel=0.01)
    assert told.usual.low == pytest.approx(low, rel=0.03)
    assert told.usual.high == pytest.approx(high, rel=0.03)


def _flies(rng: np.random.Generator, of: Floats) -> Floats:
    return rng.poisson(0.5 * of * rng.gamma(1.0, 1.0, of.size)).astype(float)


def _units(rng: np.random.Generator, of: Floats) -> Floats:
    share = rng.beta(0.01 * 19.0, 0.99 * 19.0, of.size)  # units of a week go together by 0.05
    return rng.binomial(of.astype(int), share).astype(float)


@pytest.mark.parametrize(
    ("law", "draw", "most", "believed"),
    [(FLIES, _flies, 28, BELIEVED), (UNITS, _units, 150, Believed(0.01, 1.5))],
)
def test_quiet_rooms_alarm_no_more_often_than_is_said(
    law: Law,
    draw: Callable[[np.random.Generator, Floats], Floats],
    most: int,
    believed: Believed,
) -> None:
    rng = np.random.Generator(np.random.PCG64(41))
    alarms = counts = 0
    for _ in range(25):
        of = rng.integers(5, most, 80).astype(float)
        days = 7.0 * np.arange(80)
        told = followed(
            law, draw(rng, of), of, days, believed=believed, between=40.0, limits_from=80
        )
        alarms += len(told.rises)
        counts += 80 - FEWEST
    assert alarms <= counts / 40.0


def test_outbreaks_are_caught_soon() -> None:
    rng = np.random.Generator(np.random.PCG64(42))
    waits = []
    for _ in range(15):
        of = rng.integers(1, 5, 36) * 7.0
        rate = np.where(np.arange(36) < 24, 0.5, 3.0)
        found = rng.poisson(rate * of * rng.gamma(3.0, 1.0 / 3.0, 36)).astype(float)
        told = followed(
            FLIES,
            found,
            of,
            7.0 * np.arange(36),
            believed=BELIEVED,
            between=100.0,
            limits_from=36,
        )
        hits = [rise for rise in told.rises if rise.last >= 24]
        assert hits
        waits.append(hits[0].alarm - 24 + 1)
        assert 0.2 < hits[0].usual < 1.2
    assert np.median(waits) <= 2
    assert max(waits) <= 7


def test_an_alarm_is_raised_just_where_the_limit_is_reached() -> None:
    quiet = [3, 5, 2, 4, 6, 3, 4, 2, 5, 4]
    limit = weekly([*quiet, 0]).limits[-1]
    assert limit is not None
    assert weekly([*quiet, int(limit) - 1]).rises == ()
    [rise] = weekly([*quiet, int(limit)]).rises
    assert (rise.alarm, rise.goes_on) == (len(quiet), True)


def test_a_rise_ends_and_is_not_what_is_usual() -> None:
    quiet = [3, 5, 2, 4, 6, 3, 4, 2, 5, 4] * 2
    plague = [60, 70, 55, 80, 62, 71]
    before, after = weekly(quiet), weekly([*quiet, *plague, *quiet])
    [rise] = after.rises
    assert rise.first == len(quiet)
    assert rise.last == len(quiet) + len(plague) - 1
    assert not rise.goes_on
    assert after.usual.rate < 2.0 * before.usual.rate


def test_what_goes_on_for_half_a_year_is_usual_then() -> None:
    weeks = int(NEW_USUAL_DAYS / 7.0) + 12
    told = weekly([*([3, 5, 2, 4] * 5), *([40, 50, 45] * 20)[:weeks]])
    assert not told.rises[0].goes_on
    assert not any(rise.goes_on for rise in told.rises)
    assert told.usual.rate * 28.0 > 20.0


def test_a_gap_of_months_begins_anew() -> None:
    found = np.array([3.0, 5.0, 2.0, 4.0, 6.0, 3.0, 4.0, 40.0, 4.0, 4.0])
    of = np.full(10, 28.0)
    days = 7.0 * np.arange(10)
    days[8:] += 120.0
    together = followed(FLIES, found, of, days, believed=BELIEVED, between=20.0)
    [rise] = together.rises
    assert (rise.alarm, rise.last, rise.goes_on) == (7, 7, False)


def test_few_counts_and_none_found_alarm_never() -> None:
    for counts in ([], [900], [0, 0, 0, 900]):
        told = weekly(counts)
        assert told.rises == ()
        assert told.learnt == len(counts)
    nothing = weekly([0] * 30)
    assert nothing.rises == ()
    assert nothing.usual.high < 0.02
    assert nothing.usual.low < nothing.usual.rate < nothing.usual.high


def test_more_traps_with_more_flies_are_no_rise() -> None:
    of = np.array([7.0] * 12 + [70.0] * 12)
    assert weekly((of * 0.6).round(), of).rises == ()


def test_what_cannot_be() -> None:
    one = np.array([1.0, 1.0])
    for days, between in ((np.array([1.0, 0.0]), 50.0), (np.array([0.0]), 50.0), (one, 1.0)):
        with pytest.raises(InputError):
            followed(FLIES, one, one, days, believed=BELIEVED, between=between)
