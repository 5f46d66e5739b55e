"""A load that conducts otherwise hot than cold is not learnt as one value, however well it fits."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest
from numpy import float64
from numpy.typing import NDArray

from pinset.science.heating.grid import Face, heat_on_grid
from pinset.science.heating.grid_cells import Layer, Vessel
from pinset.science.heating.loads import Filling, fill_of
from pinset.science.learning.fit_doubts import bounds_of, doubt_of_fit
from pinset.science.learning.learnt_heat import certain
from pinset.services.cooks.learn.fitting import fit_file
from services.cooks.test_cook_fitting import BAG, CHAMBER, SECONDS, by_series, written

Values = NDArray[float64]

FILL = fill_of(Filling.SAWDUST, BAG.shape, BAG.mass_kg, BAG.moisture)


def by_grid(conductivity: Callable[[Values], Values]) -> Values:
    """The core of a bag whose conductivity depends on temperature."""
    face = Face(100.0)
    unit = Vessel(0.075, (Layer(0.2, conductivity, FILL.heat_capacity),))
    heated = heat_on_grid(unit, SECONDS, CHAMBER, 20.0, side=face, top=face, bottom=face)
    return heated.core.curve_c


@pytest.mark.parametrize("falls", [2.0, 5.0, 10.0, 30.0])
def test_a_load_that_conducts_less_while_it_heats_is_not_planned_by(falls: float) -> None:
    core = by_grid(lambda c: 1.5 / (1.0 + falls * np.clip((c - 20.0) / 100.0, 0.0, 2.0)))
    found = fit_file(written(core), "cook.csv", BAG).slowest
    assert found.scatter_k < 0.5, "it is followed all the same"
    assert not found.follows
    assert f"would conduct {found.learnt.conductivity:.2f} W/(m K)" in found.sentence
    assert "0.06 to 2.00" in found.sentence
    assert "Measure and weigh the unit again" in found.sentence
    assert found.sentence.endswith("It is not planned by.")


@pytest.mark.parametrize("rises", [10.0])
def test_nor_one_that_conducts_far_more(rises: float) -> None:
    core = by_grid(lambda c: 0.3 * (1.0 + rises * np.clip((c - 20.0) / 100.0, 0.0, 2.0) ** 3))
    assert not fit_file(written(core), "cook.csv", BAG).slowest.follows


@pytest.mark.parametrize(
    ("conductivity", "follows"), [(0.05, False), (0.1, True), (1.5, True), (3.0, False)]
)
def test_the_bounds_are_those_of_such_loads(conductivity: float, follows: bool) -> None:  # noqa: FBT001
    found = fit_file(written(by_series(conductivity)), "cook.csv", BAG).slowest
    assert found.follows is follows


def test_a_log_that_leaves_its_conductivity_open_is_not_planned_by() -> None:
    """As that of a probe which follows minutes late may leave it."""
    spread = ((float(np.log(279.0)) ** 2, 0.0, 0.0), (0.0, 0.0, 0.0), (0.0, 0.0, 0.01))
    open_ = replace(certain(0.3, 100.0), spread=spread)
    against = doubt_of_fit(open_, FILL, SECONDS, CHAMBER, CHAMBER)
    assert "anything from a 279th to 279 times 0.30 W/(m K)" in against


@pytest.mark.parametrize("surface", [3.0, 7.0])
def test_a_surface_without_steam_is_none(surface: float) -> None:
    against = doubt_of_fit(certain(0.3, surface), FILL, SECONDS, CHAMBER, CHAMBER)
    assert f"take in {surface:.1f} W/(m2 K), less than in still air" in against
    assert doubt_of_fit(certain(0.3, 20.0), FILL, SECONDS, CHAMBER, CHAMBER) == ""


def test_what_is_left_for_minutes_on_end_and_where_it_is_hot() -> None:
    core = by_series(0.6)
    random = np.random.default_rng(2)
    noise = core + random.normal(0.0, 1.5, len(core))
    assert doubt_of_fit(certain(0.6, 100.0), FILL, SECONDS, core, noise) == ""
    waves = core + 4.0 * np.sin(SECONDS / 1500.0) * (core < 95.0)
    assert "which is no noise" in doubt_of_fit(certain(0.6, 100.0), FILL, SECONDS, waves, core)
    hot = core + 1.5 * (core > 99.0)
    assert "1.5 K too hot" in doubt_of_fit(certain(0.6, 100.0), FILL, SECONDS, hot, core)


def test_a_liquid_may_turn_over() -> None:
    agar = fill_of(Filling.AGAR, BAG.shape, 3.55, 0.97)
    low, high = bounds_of(agar)
    assert low < 0.6
    assert high > 2.0


def test_a_core_that_begins_above_its_chamber_is_not_planned_by() -> None:
    core = by_series(0.6)
    assert fit_file(written(core), "cook.csv", BAG).slowest.follows
    found = fit_file(written(core + 3.5), "cook.csv", BAG).slowest
    assert not found.follows
    assert "begins 3.5 K above every other probe while all are at rest" in found.sentence
    assert found.sentence.endswith("It is not planned by.")
