"""Days until contamination shows: scipy's log-normal, and drawn farms whose law is known."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.stats import lognorm

from pinset.errors import InputError
from pinset.learning.showing import (
    LATE_DAYS,
    LATE_SHARE,
    MEDIAN_LOG_SD,
    SPREAD_LOG_SD,
    Find,
    Law,
    Mixed,
    Usual,
    fitted,
    mixed,
)

GREEN = Usual(4.0, 8.0, 20.0)
LOOKS = np.array([3.0, 5.0, 7.0, 9.0, 12.0, 16.0, 21.0])


def drawn(
    rng: np.random.Generator, bad: int, median: float, spread: float, looks: np.ndarray = LOOKS
) -> list[Find]:
    """Return what looks at these ages find of so many bad units; what shows later is not seen."""
    days = rng.lognormal(np.log(median), spread, bad)
    finds = []
    for i, until in enumerate(looks):
        after = looks[i - 1] if i else 0.0
        units = int(((days > after) & (days <= until)).sum())
        if units:
            finds.append(Find(after, float(until), units, float(looks[-1])))
    return finds


def test_the_law_is_scipys() -> None:
    law = Law(8.0, 0.5)
    ages = np.array([0.0, 0.5, 4.0, 8.0, 30.0])
    assert law.shown_by(ages) == pytest.approx(lognorm(0.5, scale=8.0).cdf(ages), abs=1e-12)
    assert law.shown_by(-1.0) == 0.0


def test_without_finds_it_is_what_is_usual() -> None:
    law = fitted(GREEN, [])
    assert (law.median_days, law.units, law.median_low) == (8.0, 0, None)
    assert float(law.shown_by(20.0) - law.shown_by(4.0)) == pytest.approx(0.90, abs=0.03)


def test_many_finds_bring_the_truth_back_though_looks_are_few_and_late_shows_are_cut() -> None:
    rng = np.random.Generator(np.random.PCG64(7))
    law = fitted(GREEN, drawn(rng, 4000, 13.0, 0.6))  # one in five shows after the last look
    assert law.median_low is not None
    assert law.median_high is not None
    error = np.log(law.median_high / law.median_low) / (2.0 * 1.96)
    assert abs(np.log(law.median_days / 13.0)) < 3.0 * error < 0.1
    assert law.spread == pytest.approx(0.6, rel=0.08)
    assert law.units < 4000


def test_ranges_hold_as_often_as_they_say() -> None:
    """Farms whose law differs from the usual as much as is assumed; 95 % of 200 within 3 errors."""
    rng = np.random.Generator(np.random.PCG64(8))
    held = 0
    for _ in range(200):
        median = GREEN.middle_days * np.exp(rng.normal(0.0, MEDIAN_LOG_SD))
        spread = GREEN.spread * np.exp(rng.normal(0.0, SPREAD_LOG_SD))
        law = fitted(GREEN, drawn(rng, 25, median, spread))
        if law.median_low is not None and law.median_high is not None:
            held += law.median_low < median < law.median_high
    assert 180 <= held <= 199


def test_a_few_finds_are_the_posterior_by_quadrature() -> None:
    finds = [Find(5.0, 7.0, 2, 21.0), Find(9.0, 12.0, 1, 16.0)]
    law = fitted(GREEN, finds)
    middle, spread = np.log(GREEN.middle_days), np.log(GREEN.spread)

    mu = np.linspace(middle - 1.2, middle + 1.2, 61)[:, None]
    log_sd = np.linspace(spread - 1.2, spread + 1.2, 61)[None, :]
    dist = lognorm(np.exp(log_sd), scale=np.exp(mu))
    held = ((mu - middle) / MEDIAN_LOG_SD) ** 2 + ((log_sd - spread) / SPREAD_LOG_SD) ** 2
    mass = np.exp(-0.5 * held)
    for each in finds:
        share = dist.cdf(each.until_days) - dist.cdf(each.after_days)
        mass = mass * (share / dist.cdf(each.last_look_days)) ** each.units
    mean = float((mass * mu).sum() / mass.sum())
    assert np.log(law.median_days) == pytest.approx(mean, abs=0.06)


def test_signs_together() -> None:
    both = mixed(
        {"green": GREEN, "wet": Usual(1.0, 3.0, 5.0)},
        {"wet": [Find(1.0, 3.0, 8, 21.0)], "unknown": [Find(1.0, 3.0, 8, 21.0)]},
    )
    assert both.shares == pytest.approx({"green": 0.1, "wet": 0.9})
    assert float(both.shown_by(0.0)) == 0.0
    assert float(both.shown_by(600.0)) == pytest.approx(1.0, abs=1e-4)
    in_time = 0.1 * both.laws["green"].shown_by(60.0) + 0.9 * both.laws["wet"].shown_by(60.0)
    late = 1.0 - np.exp(-60.0 / LATE_DAYS)
    assert float(both.shown_by(60.0)) == pytest.approx(
        (1.0 - LATE_SHARE) * float(in_time) + LATE_SHARE * late
    )
    half = both.days_for(0.5)
    assert float(both.shown_by(half)) == pytest.approx(0.5)
    logs = both.log_showing([0.0, 5.0], [5.0, 5.0])
    assert logs[0] == pytest.approx(np.log(both.shown_by(5.0)))
    assert logs[1] == -np.inf


def test_what_cannot_be() -> None:
    with pytest.raises(InputError):
        Usual(5.0, 4.0, 8.0)
    with pytest.raises(InputError):
        Usual(0.0, 4.0, 8.0)
    with pytest.raises(InputError):
        fitted(GREEN, [Find(9.0, 5.0, 1, 21.0)])
    with pytest.raises(InputError):
        fitted(GREEN, [Find(5.0, 9.0, 1, 8.0)])
    with pytest.raises(InputError):
        mixed({}, {})
    with pytest.raises(InputError):
        Mixed({}, {}).days_for(1.0)
