"""Learning a load: a known bag is found again, by another solver's log; what is no bag is said."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime

import numpy as np
import pytest

from pinset.demo.cook_logs import logged
from pinset.errors import InputError
from pinset.science.heating import Material, core_curve, modes_of
from pinset.science.judging_records import Rule
from pinset.science.loads import Filling, fill_of, usual_size
from pinset.services.cook_fitting import LearntLoad, disagreement, fit_file
from pinset.services.cook_loads import LoadPlan
from pinset.services.cook_planning import plan_cook
from science.finite_elements import Stuff, temperatures

BAG = LoadPlan(rating_bar=1.5, mass_kg=2.3, moisture=0.6)
SECONDS = 60.0 * np.arange(421)
CHAMBER = np.interp(SECONDS / 60.0, [0, 25, 30, 300, 320, 420], [20, 100, 121.3, 121.3, 98, 40])


def written(core: np.ndarray, seed: int = 1, noise_k: float = 0.1) -> bytes:
    random = np.random.default_rng(seed)
    lines = ["min,chamber [°C],core [°C]"]
    noisy = [each + random.normal(0.0, noise_k, len(each)) for each in (CHAMBER, core)]
    for second, chamber, inside in zip(SECONDS, *noisy, strict=True):
        lines.append(f"{second / 60:.0f},{chamber:.2f},{inside:.2f}")
    return "\n".join(lines).encode()


def by_series(conductivity: float, surface: float = 100.0) -> np.ndarray:
    capacity = fill_of(Filling.SAWDUST, BAG.shape, BAG.mass_kg, BAG.moisture).heat_capacity
    body = modes_of(BAG.shape, Material(conductivity, capacity, surface))
    return core_curve(body, SECONDS, CHAMBER, 20.0)


def learnt(core: np.ndarray, **more: int) -> LearntLoad:
    return fit_file(written(core, **more), "cook.csv", BAG)


def by_elements(conductivity: float, surface: float = 100.0) -> np.ndarray:
    """The core by scikit-fem, quadratic elements: nothing of it is the series that is fitted."""
    capacity = fill_of(Filling.SAWDUST, BAG.shape, BAG.mass_kg, BAG.moisture).heat_capacity
    return temperatures(
        0.075,
        [Stuff(0.2, conductivity, capacity)],
        (surface, surface, surface),
        SECONDS,
        (CHAMBER, CHAMBER, CHAMBER),
        20.0,
        [(0.0, 0.1)],
        parts=2,
    )[:, 0]


@pytest.mark.parametrize("conductivity", [0.35, 1.1])
def test_a_known_bag_is_found_again_in_a_log_of_another_solver(conductivity: float) -> None:
    found = learnt(by_elements(conductivity)).slowest
    assert found.follows
    assert found.conductivity == pytest.approx(conductivity, rel=0.08)
    assert found.scatter_k < 0.3


def test_a_plan_by_the_fit_is_the_plan_by_the_truth() -> None:
    true = 0.7
    found = learnt(by_elements(true)).slowest
    by_fit = replace(
        BAG,
        conductivity=found.conductivity,
        surface=found.surface,
        conductivity_factor=found.conductivity_factor,
    )
    truth = replace(BAG, conductivity=true, surface=100.0)
    plan = plan_cook(by_fit, Rule(f0=15.0))
    hold = plan_cook(truth, Rule(f0=15.0)).cases[0].hold_min
    assert hold is not None
    slow, likely, quick = (case.hold_min for case in plan.cases)
    assert slow is not None
    assert likely is not None
    assert quick is not None
    assert quick <= likely <= slow
    assert likely == pytest.approx(hold, abs=6.0)


def test_the_same_load_agrees_and_another_one_is_flagged() -> None:
    first, again = (learnt(by_series(0.6), seed=seed).slowest for seed in (1, 2))
    assert disagreement(first, again) == ""
    other = learnt(by_series(0.42)).slowest
    assert "heated slower" in disagreement(first, other)
    assert "heated faster" in disagreement(other, first)


def test_what_is_no_bag_is_not_planned_by() -> None:
    straight = np.interp(SECONDS / 60.0, [0, 150, 420], [20.0, 118.0, 20.0])
    found = learnt(straight).slowest
    assert not found.follows
    assert "not planned by" in found.sentence


def test_a_log_without_a_core_teaches_nothing() -> None:
    lines = [
        "min,chamber [°C]",
        *(f"{s / 60:.0f},{c:.2f}" for s, c in zip(SECONDS, CHAMBER, strict=True)),
    ]
    with pytest.raises(InputError, match="without a core's probe"):
        fit_file("\n".join(lines).encode(), "cook.csv", BAG)


def test_a_bag_said_with_a_weight_it_cannot_have_is_refused() -> None:
    with pytest.raises(InputError, match="mass_kg"):
        fit_file(written(by_series(0.6)), "cook.csv", replace(BAG, mass_kg=8.0))


def test_only_the_heating_is_learnt_from() -> None:
    cooled = by_series(0.6)
    cooled[320:] = np.linspace(cooled[320], cooled[320] - 2.0, len(cooled) - 320)
    found = learnt(cooled).slowest
    assert found.follows
    assert found.conductivity == pytest.approx(0.6, rel=0.06)


def test_a_load_heated_by_vapour_is_not_followed_by_one_conductivity() -> None:
    # The grid with a conductivity that rises with temperature, as reference notes section 5 has it.
    began = datetime(2026, 3, 2, 10, 30, tzinfo=UTC)
    file = logged("block", 150, began, 1240.0, 1, leaks=False)
    size = usual_size(Filling.SAWDUST, 2.2, 0.61)
    bag = replace(
        BAG, mass_kg=2.2, moisture=0.61, diameter_cm=200 * size.radius, height_cm=100 * size.height
    )
    found = fit_file(file, "cook.csv", bag).slowest
    assert not found.follows
    assert "not planned by" in found.sentence
