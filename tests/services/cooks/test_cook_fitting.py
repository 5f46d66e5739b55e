"""Learning a load: a known bag is found again, by another solver's log; what is no bag is said."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime

import numpy as np
import pytest

from pinset.demo.cook_logs import FREE_AIR, logged
from pinset.errors import InputError
from pinset.files.logger.reader import read_log
from pinset.files.logger.records import ColumnRole
from pinset.science.heating.heating import Material, core_curve, modes_of
from pinset.science.heating.loads import Filling, fill_of, usual_size
from pinset.science.judging.records import Rule
from pinset.science.learning.penetration import fitted_core
from pinset.services.cooks.ahead.planning import plan_cook
from pinset.services.cooks.judge.judging import judge_file
from pinset.services.cooks.learn.fitting import LearntLoad, fit_file, heating_of
from pinset.services.cooks.loads import LoadPlan
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
    assert found.learnt.conductivity == pytest.approx(conductivity, rel=0.08)
    assert found.learnt.free_air == 0.0
    assert found.scatter_k < 0.3


def test_a_plan_by_the_fit_is_the_plan_by_the_truth() -> None:
    true = 0.7
    found = learnt(by_elements(true)).slowest
    by_fit = replace(BAG, learnt=found.learnt)
    truth = replace(BAG, conductivity=true, surface=100.0)
    plan = plan_cook(by_fit, Rule(f0=15.0))
    hold = plan_cook(truth, Rule(f0=15.0)).cases[1].hold_min
    assert hold is not None
    slow, likely, quick = (case.hold_min for case in plan.cases)
    assert slow is not None
    assert likely is not None
    assert quick is not None
    assert quick <= likely <= slow
    assert likely == pytest.approx(hold, abs=6.0)


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
    assert found.learnt.conductivity == pytest.approx(0.6, rel=0.06)


def test_a_load_heated_by_vapour_is_followed_with_its_free_air() -> None:
    # The grid with a conductivity that rises with temperature, as reference notes section 5 has it.
    began = datetime(2026, 3, 2, 10, 30, tzinfo=UTC)
    file = logged("block", 150, began, 1240.0, 1, leaks=False)
    size = usual_size(Filling.SAWDUST, 2.2, 0.61)
    bag = replace(
        BAG, mass_kg=2.2, moisture=0.61, diameter_cm=200 * size.radius, height_cm=100 * size.height
    )
    found = fit_file(file, "cook.csv", bag).slowest
    assert found.follows
    assert found.scatter_k < 0.3
    assert found.learnt.free_air == pytest.approx(FREE_AIR, rel=0.1)
    assert found.learnt.conductivity == pytest.approx(0.3, rel=0.05)
    assert found.fh_min is None
    assert "vapour" in found.sentence
    series = fitted_core(bag.shape, found.heat_capacity, *_heating(file))
    assert series.scatter_k > 5.0, "one conductivity can't"


def test_a_plan_by_what_vapour_carries_holds_long_enough_and_not_for_hours_more() -> None:
    began = datetime(2026, 3, 2, 10, 30, tzinfo=UTC)
    size = usual_size(Filling.SAWDUST, 2.2, 0.61)
    bag = replace(
        BAG, mass_kg=2.2, moisture=0.61, diameter_cm=200 * size.radius, height_cm=100 * size.height,
        altitude_m=1240.0, come_up_min=40.0, start_c=22.0,
    )  # fmt: skip
    found = fit_file(logged("block", 150, began, 1240.0, 1, leaks=False), "cook.csv", bag).slowest
    rule = Rule(f0=15.0)
    learnt_hold = plan_cook(replace(bag, learnt=found.learnt), rule).ruling.hold_min
    cautious = plan_cook(bag, rule).ruling.hold_min
    assert learnt_hold is not None
    assert cautious is not None
    assert learnt_hold < 0.7 * cautious
    # Another cook of such bags, held so long, by the solver the logs are made with.
    held = 5 * round(learnt_hold / 5 + 0.5)
    again = judge_file(
        logged("block", held, began, 1240.0, 5, leaks=False), "next.csv", rule, altitude_m=1240.0
    )[0]
    assert again.verdict == "pass"
    [core] = [each for each in again.probes if each.role == "core"]
    assert core.f0_min < 80.0


def _heating(file: bytes) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    log = read_log(file, "cook.csv", atmosphere_kpa=87.0)
    [core], [chamber] = log.of_role(ColumnRole.CORE), log.of_role(ColumnRole.CHAMBER)
    return heating_of(log, core, chamber)
