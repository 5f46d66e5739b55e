"""What a log taught: the band of a time, and vapour found again in logs of another grid."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest

from pinset.errors import InputError
from pinset.science.heating.grid import Face, heat_on_grid
from pinset.science.heating.grid_cells import Layer, Vessel
from pinset.science.heating.heated_unit import Conducting
from pinset.science.heating.heating import Cylinder, Material, core_curve, modes_of
from pinset.science.heating.vapour import vapour_function
from pinset.science.learning.learnt_heat import (
    ERRORS,
    LEAST_KNOWN,
    Learnt,
    band_of,
    by_series,
    certain,
)
from pinset.science.learning.penetration import fitted_core
from pinset.science.learning.vapour_fit import fitted_moist

BAG = Cylinder(0.075, 0.2)
CAPACITY = 2.0e6
SECONDS = np.arange(0.0, 3.5 * 3600.0, 120.0)
CHAMBER = np.interp(SECONDS, [0.0, 1200.0, 2400.0], [20.0, 100.0, 121.2])
KPA = 205.7


def moist_log(conductivity: float, free_air: float, surface: float, seed: int) -> np.ndarray:
    """A core by the whole vessel on a fine grid, with the noise of a probe."""
    stuff = vapour_function(conductivity, free_air, KPA)
    face = Face(surface)
    heated = heat_on_grid(
        Vessel(0.075, (Layer(0.2, stuff, CAPACITY),)), SECONDS, CHAMBER, 20.0,
        side=face, top=face, bottom=face, cells=(14, 14),
    )  # fmt: skip
    return heated.core.curve_c + np.random.default_rng(seed).normal(0.0, 0.1, len(SECONDS))


TRUE = [(0.3, 0.1, 100.0), (0.22, 0.25, 150.0), (0.5, 0.04, 80.0)]


@pytest.mark.parametrize("true", TRUE)
def test_conductivity_and_free_air_are_found_again(true: tuple[float, float, float]) -> None:
    before = Material(0.3, CAPACITY, 100.0)
    found = fitted_moist(BAG, before, 2.0, KPA, SECONDS, CHAMBER, moist_log(*true, seed=3))
    assert found.scatter_k < 0.3
    assert not found.at_bound
    assert found.learnt.conductivity == pytest.approx(true[0], rel=0.1)
    assert found.learnt.free_air == pytest.approx(true[1], rel=0.25)
    assert found.start_c == pytest.approx(20.0, abs=0.5)


def test_what_the_log_does_not_tell_stays_as_wide_as_it_was() -> None:
    # Twenty minutes in which a core hardly moves tell nothing of free air.
    short = slice(0, 14)
    core = moist_log(0.3, 0.1, 100.0, seed=1)[short]
    before = Material(0.3, CAPACITY, 100.0)
    found = fitted_moist(BAG, before, 1.5, KPA, SECONDS[short], CHAMBER[short], core)
    conductivity, free_air, surface = found.learnt.factors
    assert free_air > 2.5
    assert 1.2 < surface < 2.2
    assert 1.05 < conductivity < 1.6


def test_a_core_that_does_not_move_teaches_nothing() -> None:
    with pytest.raises(InputError, match="core_c"):
        fitted_moist(
            BAG,
            Material(0.3, CAPACITY, 100.0),
            1.5,
            KPA,
            SECONDS,
            CHAMBER,
            np.full(len(SECONDS), 20.0),
        )


def minutes(learnt: Learnt) -> float:
    """Until the core is at 100 degC."""
    core = learnt.unit(BAG, CAPACITY, KPA).core(SECONDS, CHAMBER, 20.0)
    return float(np.interp(100.0, core, SECONDS)) / 60.0


def test_the_ends_of_a_band_are_so_many_errors_away() -> None:
    learnt = Learnt(0.5, 0.0, 100.0, ((0.01, 0.0, 0.0), (0.0,) * 3, (0.0, 0.0, 0.0025)))
    band = band_of(learnt, minutes)
    times = [np.log(minutes(each)) for each in (band.quick, learnt, band.slow)]
    for step in (after - before for before, after in pairwise(times)):
        assert step == pytest.approx(ERRORS * band.error, rel=0.15)
    assert band.slow.conductivity < learnt.conductivity < band.quick.conductivity


def test_errors_that_go_together_do_not_widen_a_time() -> None:
    # Conducts better and takes heat in worse: along this line the time stays what it is.
    learnt, nudge = certain(2.0, 20.0), 0.1
    slopes = [
        np.log(minutes(learnt.moved(nudge * np.eye(3)[n])) / minutes(learnt)) / nudge
        for n in (0, 2)
    ]
    along = 0.4 * np.array([slopes[1], 0.0, -slopes[0]]) / np.hypot(*slopes)
    pair = Learnt(2.0, 0.0, 20.0, tuple(map(tuple, np.outer(along, along).tolist())))
    conductivity, _, surface = pair.factors
    assert max(conductivity, surface) > 1.4, "neither is told by itself"
    assert band_of(pair, minutes).error == pytest.approx(LEAST_KNOWN * abs(slopes[0]), rel=0.35)


def test_a_fit_of_the_series_hands_on_how_its_errors_go_together() -> None:
    core = core_curve(modes_of(BAG, Material(0.6, CAPACITY, 40.0)), SECONDS, CHAMBER, 20.0)
    noisy = core + np.random.default_rng(2).normal(0.0, 0.1, len(core))
    fit = fitted_core(BAG, CAPACITY, SECONDS, CHAMBER, noisy)
    spread = np.array(by_series(fit).spread)
    assert np.exp(np.sqrt(spread[0, 0])) == pytest.approx(fit.conductivity_factor)
    together = spread[0, 2] / np.sqrt(spread[0, 0] * spread[2, 2])
    assert together == pytest.approx(fit.correlation)
    assert together < -0.5


def test_a_log_that_tells_next_to_nothing_of_the_surface_still_gives_a_band() -> None:
    core = core_curve(modes_of(BAG, Material(0.6, CAPACITY, 40.0)), SECONDS, CHAMBER, 20.0)
    fit = fitted_core(BAG, CAPACITY, SECONDS, CHAMBER, core + 0.1 * np.sin(SECONDS))
    wide = ((31.4, -9.1e3), (-9.1e3, 2.7e6)), ((np.inf, np.nan), (np.nan, np.inf))
    for spread in wide:
        learnt = by_series(replace(fit, spread=spread))
        assert np.min(np.linalg.eigvalsh(np.array(learnt.spread))) >= -1e-9
        band = band_of(learnt, minutes)
        assert np.isfinite(band.error)
        assert all(np.isfinite(each.conductivity) for each in (band.slow, band.quick))


def test_what_is_said_by_hand_is_as_sure_as_weighing() -> None:
    learnt = certain(0.5, 100.0)
    assert learnt.factors[0] == pytest.approx(np.exp(LEAST_KNOWN))
    assert isinstance(learnt.unit(BAG, CAPACITY, KPA), Conducting)
    band = band_of(learnt, minutes)
    assert 0.02 < band.error < LEAST_KNOWN
