"""fh, j, Ball's integral and fits: rows of tests/reference/heat/heat_penetration.csv."""

from __future__ import annotations

import csv

import numpy as np
import pytest
from scipy.integrate import quad
from scipy.special import j1, jn_zeros

from pinset.errors import InputError
from pinset.science.heating.heating import Cylinder, Material, core_curve, modes_of
from pinset.science.learning.penetration import (
    Line,
    fitted_core,
    fitted_line,
    lethality_of_line,
    line_of,
)
from science.check_rows import FOLDER, chamber_curve, rows

ROWS = {row.id: row for row in rows("heat_penetration.csv")}
CAN = Cylinder(0.0681 / 2, 0.1016)
PUREE = Material(0.830, 0.830 / 2.007e-7, 4540.0)
BAG = Cylinder(0.075, 0.20)
SAWDUST = Material(0.30, 650.0 * 3070.0, 100.0)


@pytest.mark.parametrize(
    ("name", "shape"), [("HP01", Cylinder(0.0681 / 2, 40.0)), ("HP02", CAN), ("HP03", CAN)]
)
def test_a_can_of_puree(name: str, shape: Cylinder) -> None:
    seconds = np.linspace(0.0, 2700.0, 4)
    core = core_curve(modes_of(shape, PUREE, count=60), seconds, np.full(4, 115.6), 29.4)
    assert ROWS[name].holds(core[-1])


@pytest.mark.parametrize(
    ("shape", "material", "fh", "jh"),
    [(CAN, PUREE, "HP04", "HP05"), (BAG, SAWDUST, "HP15", "HP16")],
)
def test_the_slowest_mode_is_the_line(
    shape: Cylinder, material: Material, fh: str, jh: str
) -> None:
    line = line_of(modes_of(shape, material))
    assert ROWS[fh].holds(line.fh)
    assert ROWS[jh].holds(line.jh)


def test_constants_of_canning_for_a_perfect_surface() -> None:
    shape, material = Cylinder(0.05, 0.18), Material(0.5, 3e6, 1e9)
    line = line_of(modes_of(shape, material))
    first = jn_zeros(0, 1)[0]
    c = (np.pi / 2) ** 2 / first**2
    assert ROWS["HP06"].holds(line.jh)
    assert ROWS["HP06"].holds(2.0 / (first * j1(first)) * 4.0 / np.pi)
    assert ROWS["HP08"].holds(c)
    constant = 60.0 * line.fh * material.diffusivity * (1 / 0.05**2 + c / 0.09**2)
    assert ROWS["HP07"].holds(constant)


@pytest.mark.parametrize("name", ["HP09", "HP11"])
def test_ball_s_integral(name: str) -> None:
    row = ROWS[name]
    line = Line(fh=row["fh"], jh=1.0)
    distance, chamber, minutes = row["j*I"], row["retort"], row["heating time"]
    value = lethality_of_line(line, distance, chamber, minutes)
    assert row.holds(value)

    def rate(t: float) -> float:
        return float(10.0 ** ((chamber - distance * 10.0 ** (-t / line.fh) - 121.1) / 10.0))

    assert value == pytest.approx(quad(rate, 0.0, minutes, epsabs=1e-9)[0], rel=1e-6)


def grape() -> tuple[list[float], list[float]]:
    with (FOLDER / "probe_log_grape.csv").open(newline="", encoding="utf-8") as file:
        log = [(float(each["t_min"]), float(each["T_degC"])) for each in csv.DictReader(file)]
    minutes, degrees = zip(*log, strict=True)
    return list(minutes), list(degrees)


def test_a_line_through_a_measured_log() -> None:
    line = fitted_line(*grape(), 58.0, 26.268, window=(0.23, 0.85))
    assert ROWS["HP13"].holds(line.fh)
    assert ROWS["HP14"].holds(line.jh)
    assert 0.0 < line.fh_error < 0.3


def noiseless() -> tuple[np.ndarray, np.ndarray]:
    seconds = 60.0 * np.arange(700)
    return seconds, core_curve(modes_of(BAG, SAWDUST), seconds, np.full(700, 1.0), 0.0)


def test_a_straight_line_is_biased_on_a_large_bag() -> None:
    seconds, core = noiseless()
    assert ROWS["HP17"].holds(fitted_line(seconds / 60.0, core, 1.0, 0.0).fh)


@pytest.mark.parametrize("noise", [0.0, 0.1])
def test_a_log_gives_back_the_load_it_came_from(noise: float) -> None:
    seconds, chamber = chamber_curve()
    truth = Material(0.62, 2.4e6, 35.0)
    core = core_curve(modes_of(BAG, truth), seconds, chamber, 20.0)
    core = core + noise * np.random.default_rng(3).standard_normal(len(core))
    fit = fitted_core(BAG, 2.4e6, seconds, chamber, core)
    allowed = 4.0 * np.log(fit.conductivity_factor) + 1e-3
    assert abs(np.log(fit.material.conductivity / 0.62)) < allowed
    assert abs(np.log(fit.material.surface / 35.0)) < 4.0 * np.log(fit.surface_factor) + 2e-3
    assert fit.scatter_k == pytest.approx(noise, abs=0.02)
    assert -1.0 <= fit.correlation < 0.0, "more of the one does for less of the other"
    assert not fit.at_bound


def test_errors_are_as_large_as_they_say() -> None:
    """Over forty noisy logs the fits scatter about as much as each of them claims."""
    seconds, chamber = chamber_curve()
    seconds, chamber = seconds[::5], chamber[::5]
    truth = Material(0.5, 2.4e6, 40.0)
    clean = core_curve(modes_of(BAG, truth), seconds, chamber, 20.0)
    rng = np.random.default_rng(11)
    fits = [
        fitted_core(BAG, 2.4e6, seconds, chamber, clean + 0.2 * rng.standard_normal(len(clean)))
        for _ in range(40)
    ]
    scatter = np.std([np.log(fit.material.conductivity) for fit in fits])
    claimed = np.mean([np.log(fit.conductivity_factor) for fit in fits])
    assert 0.6 < scatter / claimed < 1.6


def test_a_known_surface_leaves_one_thing_to_find() -> None:
    seconds, chamber = chamber_curve()
    core = core_curve(modes_of(BAG, Material(0.8, 2.4e6, 60.0)), seconds, chamber, 20.0)
    fit = fitted_core(BAG, 2.4e6, seconds, chamber, core, surface=60.0)
    assert fit.material.conductivity == pytest.approx(0.8, rel=1e-3)
    assert (fit.surface_factor, fit.correlation) == (1.0, 0.0)


def test_a_log_of_something_else_shows() -> None:
    """A core that jumps as no bag does leaves kelvins over; the fit does not hide it."""
    seconds, chamber = chamber_curve()
    core = np.where(seconds < 7200.0, 20.0, 110.0)
    assert fitted_core(BAG, 2.4e6, seconds, chamber, core).largest_k > 10.0


def test_what_is_no_log_is_refused() -> None:
    seconds, chamber = chamber_curve()
    with pytest.raises(InputError, match="core that moves"):
        fitted_core(BAG, 2.4e6, seconds, chamber, np.full(len(seconds), 20.0))
    with pytest.raises(InputError, match="core that moves"):
        fitted_core(BAG, 2.4e6, seconds[:3], chamber[:3], chamber[:3])
    with pytest.raises(InputError, match="straight part"):
        fitted_line([0.0, 1.0, 2.0], [20.0, 21.0, 22.0], 121.0, 20.0)
    with pytest.raises(InputError, match="chamber_c"):
        fitted_line([0.0, 1.0], [20.0, 20.0], 20.0, 20.0)
    away = np.linspace(80.0, 60.0, 20)
    with pytest.raises(InputError, match="approaches"):
        fitted_line(np.arange(20.0), away, 100.0, 10.0)
    for wrong in ({"first_distance": 0.0}, {"minutes": -1.0}):
        given = {"first_distance": 100.0, "chamber_c": 121.0, "minutes": 90.0} | wrong
        with pytest.raises(InputError):
            lethality_of_line(Line(40.0, 2.0), **given)
