"""Ranges hold the truth as often as they say, on invented farms whose truth is known."""

from __future__ import annotations

from functools import cache

import numpy as np

from learning.incidence.invented_farm import farm
from pinset.learning.incidence.averaging import averaged
from pinset.learning.incidence.fit import Fit, fit

FARMS, LOTS, VESSELS = 10, 250, 30


def inside(found: Fit, truth: np.ndarray[tuple[int], np.dtype[np.float64]]) -> list[bool]:
    return list(np.abs(found.mean - truth) < 1.96 * found.sd)


@cache
def shares() -> dict[str, float]:
    """Return shares of effects within their 95 % range, by how they were fitted."""
    found: dict[str, list[bool]] = {"likeliest": [], "averaged": [], "no lot effect": []}
    for seed in range(FARMS):
        made = farm(200 + seed, LOTS, VESSELS)
        likeliest = fit(made.records)
        found["likeliest"] += inside(likeliest, made.truth)
        found["averaged"] += inside(averaged(likeliest), made.truth)
        found["no lot effect"] += inside(fit(made.records, lot_effect=False), made.truth)
    return {name: float(np.mean(each)) for name, each in found.items()}


def test_small_farms() -> None:
    assert 0.90 <= shares()["likeliest"] <= 0.97
    assert 0.93 <= shares()["averaged"] <= 0.97


def test_averaging_over_the_deviations_widens_ranges_that_are_too_narrow() -> None:
    assert shares()["averaged"] > shares()["likeliest"] + 0.005


def test_without_a_lot_effect_ranges_are_far_too_narrow() -> None:
    assert shares()["no lot effect"] < shares()["likeliest"] - 0.02


def test_large_farms() -> None:
    held: list[bool] = []
    for seed in (31, 32, 33):
        made = farm(seed, 5000)
        found = fit(made.records)
        assert found.settled
        held += inside(found, made.truth)
    assert 0.93 <= float(np.mean(held)) <= 0.97


def test_averaging_leaves_a_farm_without_suspects_as_it_is() -> None:
    made = farm(5, 40).records
    alone = fit(type(made)(**{name: getattr(made, name) for name in made.__dataclass_fields__}
                           | {"factors": ()}), lot_effect=False)  # fmt: skip
    assert averaged(alone) is alone


def test_averaging_never_claims_to_know_more() -> None:
    made = farm(6, 120, 20).records
    likeliest = fit(made)
    wide = averaged(likeliest)
    assert np.isfinite(wide.mean).all()
    assert (wide.sd >= likeliest.sd).all()
    assert np.abs(wide.mean - likeliest.mean).max() < 0.5 * likeliest.sd.max()
