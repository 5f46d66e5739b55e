"""F of logs and holds: check rows, quadrature, and what must hold of any log."""

from __future__ import annotations

import math
import re

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad

from pinset.errors import InputError
from pinset.science.lethality.lethality import (
    f_along,
    f_band,
    f_of_holds,
    f_of_log,
    f_of_logs,
    lethal_rate,
    pasteurisation_units,
)
from science.check_rows import NUMBER, Row, rows

ROWS = {row.id: row for row in rows("lethality.csv")}
RATES = [row for row in ROWS.values() if row.quantity == "lethal rate"]
TEMPERATURES = st.floats(15.0, 135.0)


@st.composite
def logs(draw: st.DrawFn, least: int = 2) -> tuple[np.ndarray, np.ndarray]:
    count = draw(st.integers(least, 12))
    steps = draw(st.lists(st.floats(0.5, 2000.0), min_size=count, max_size=count))
    readings = draw(st.lists(TEMPERATURES, min_size=count, max_size=count))
    return np.cumsum(steps), np.array(readings)


def by_quadrature(seconds: np.ndarray, readings: np.ndarray, above: float = -1e9) -> float:
    """Integrate the rate of straight lines numerically while they are above a limit. [min]"""
    total = 0.0
    for begin, end, low, high in zip(
        seconds[:-1], seconds[1:], readings[:-1], readings[1:], strict=True
    ):
        slope = (high - low) / (end - begin)
        crossing = begin + (above - low) / slope if (low < above) != (high < above) else None
        first = begin if low >= above else crossing
        last = end if high >= above else crossing
        if first is None or last is None:
            continue

        def rate(t: float, low: float = low, begin: float = begin, slope: float = slope) -> float:
            return float(10.0 ** ((low + slope * (t - begin) - 121.1) / 10.0))

        total += quad(rate, first, last, epsabs=0.0, epsrel=1e-11)[0] if last > first else 0.0
    return total / 60.0


def celsius_of(row: Row) -> np.ndarray:
    return (np.array(listed(row, "T degF")) - 32.0) / 1.8


def listed(row: Row, name: str) -> list[float]:
    found = re.search(rf"{name}=([^;]+)", row.inputs)
    assert found
    return [float(each) for each in found[1].split(",")]


def holds_of(row: Row) -> tuple[np.ndarray, np.ndarray, str]:
    found = re.findall(rf"({NUMBER}) min at ({NUMBER}) (deg[CF])", row.inputs)
    assert len(found) == 3
    minutes, degrees, units = zip(*found, strict=True)
    return 60.0 * np.array(minutes, float), np.array(degrees, float), units[0]


@pytest.mark.parametrize("row", RATES, ids=lambda row: row.id)
def test_rates(row: Row) -> None:
    assert row.holds(lethal_rate(row["T"], reference_c=row["Tref"], z=row["z"]))


def test_holds_in_fahrenheit() -> None:
    row = ROWS["LE01"]
    seconds, fahrenheit, unit = holds_of(row)
    assert unit == "degF"
    reference = (row["Tref"] - 32.0) / 1.8
    celsius = (fahrenheit - 32.0) / 1.8
    assert row.holds(f_of_holds(seconds, celsius, reference_c=reference, z=row["z"] / 1.8))


def test_holds_in_celsius() -> None:
    row = ROWS["LE02"]
    seconds, celsius, unit = holds_of(row)
    assert unit == "degC"
    assert row.holds(f_of_holds(seconds, celsius))


def test_a_coarse_log_by_trapezium_and_in_closed_form() -> None:
    """The printed answer is the trapezium's; the closed form is 5 % below it."""
    seconds = 60.0 * np.array(listed(ROWS["LE03"], "t min"))
    celsius, reference = celsius_of(ROWS["LE03"]), 250.0 / 1.8 - 32.0 / 1.8
    rates = lethal_rate(celsius, reference_c=reference)
    assert ROWS["LE03"].holds(float(np.trapezoid(rates, seconds)) / 60.0)
    assert ROWS["LE04"].inputs == ROWS["LE03"].inputs
    assert ROWS["LE04"].holds(f_of_log(seconds, celsius, reference_c=reference))


def test_a_straight_rise() -> None:
    assert ROWS["LE12"].holds(f_of_log([0.0, 1800.0], [100.0, 121.1]))


def test_units_of_brewers() -> None:
    assert ROWS["LE17"].holds(pasteurisation_units([0.0, 1200.0], [62.0, 62.0]))
    assert pasteurisation_units([0.0, 60.0], [63.0, 63.0]) == pytest.approx(1.393**3, rel=1e-12)
    other = pasteurisation_units([0.0, 60.0], [70.0, 70.0], reference_c=70.0, z=7.0)
    assert other == pytest.approx(1.0, rel=1e-12)


@pytest.mark.parametrize(("name", "celsius"), [("LE19", 99.97), ("LE20", 93.32)])
def test_twelve_hours_of_open_steam(name: str, celsius: float) -> None:
    assert f"{celsius} degC for 12 h" in ROWS[name].inputs
    assert ROWS[name].holds(f_of_log([0.0, 43_200.0], [celsius, celsius]))
    assert ROWS[name].holds(f_of_holds([43_200.0], [celsius]))


@pytest.mark.parametrize(("reference", "shift"), [(121.0, 0.023), (121.11, -0.0023)])
def test_another_reference_shifts_everything(reference: float, shift: float) -> None:
    f0, other = (f_of_log([0, 600], [118, 122], reference_c=ref) for ref in (121.1, reference))
    assert other / f0 - 1.0 == pytest.approx(shift, abs=5e-4)


@given(logs())
def test_quadrature_of_straight_pieces(log: tuple[np.ndarray, np.ndarray]) -> None:
    assert f_of_log(*log) == pytest.approx(by_quadrature(*log), rel=1e-9)


@given(logs(), st.floats(20.0, 130.0))
def test_quadrature_above_a_limit(log: tuple[np.ndarray, np.ndarray], limit: float) -> None:
    earned = f_of_log(*log, above_c=limit)
    assert earned == pytest.approx(by_quadrature(*log, above=limit), rel=1e-7, abs=1e-12)


@given(logs(), st.floats(20.0, 130.0), st.floats(0.0, 20.0))
def test_a_higher_limit_counts_less(
    log: tuple[np.ndarray, np.ndarray], limit: float, higher: float
) -> None:
    whole = f_of_log(*log)
    low, high = (f_of_log(*log, above_c=each) for each in (limit, limit + higher))
    assert 0.0 <= high <= low * (1 + 1e-12)
    assert low <= whole * (1 + 1e-12)
    assert f_of_log(*log, above_c=-60.0) == pytest.approx(whole, rel=1e-14)
    assert f_of_log(*log, above_c=140.0) == 0.0


def test_a_line_through_the_limit_is_cut_where_it_crosses() -> None:
    """From 100 to 120 degC in 20 minutes: above 110 are the last ten, from 110 to 120."""
    for readings in ([100.0, 120.0], [120.0, 100.0]):
        above = f_of_log([0.0, 1200.0], readings, above_c=110.0)
        assert above == pytest.approx(f_of_log([0.0, 600.0], [110.0, 120.0]), rel=1e-13)
    assert f_of_log([0.0, 60.0], [110.0, 110.0], above_c=110.0) == f_of_log([0, 60], [110, 110])
    assert f_of_log([0.0, 60.0], [109.99, 109.99], above_c=110.0) == 0.0


@given(logs(least=3), st.data())
def test_parts_of_a_log_add_up(log: tuple[np.ndarray, np.ndarray], data: st.DataObject) -> None:
    seconds, readings = log
    cut = data.draw(st.integers(1, len(seconds) - 2))
    for above in (None, 100.0):
        first = f_of_log(seconds[: cut + 1], readings[: cut + 1], above_c=above)
        second = f_of_log(seconds[cut:], readings[cut:], above_c=above)
        assert first + second == pytest.approx(f_of_log(*log, above_c=above), rel=1e-12)


@given(logs(), st.floats(0.05, 0.95))
def test_a_reading_on_the_line_changes_nothing(
    log: tuple[np.ndarray, np.ndarray], where: float
) -> None:
    (a, b), (low, high) = log[0][:2], log[1][:2]
    seconds = np.insert(log[0], 1, a + where * (b - a))
    readings = np.insert(log[1], 1, low + where * (high - low))
    assert f_of_log(seconds, readings) == pytest.approx(f_of_log(*log), rel=1e-9)


@given(logs(), st.floats(0.01, 5.0))
def test_hotter_is_more(log: tuple[np.ndarray, np.ndarray], warmer: float) -> None:
    seconds, readings = log
    low, high = f_of_log(seconds, readings), f_of_log(seconds, readings + warmer)
    assert high / low == pytest.approx(10.0 ** (warmer / 10.0), rel=1e-12)
    assert f_band(low, warmer)[1] == pytest.approx(high, rel=1e-12)
    assert f_band(high, warmer)[0] == pytest.approx(low, rel=1e-12)


@given(logs())
def test_backwards_and_later_is_the_same(log: tuple[np.ndarray, np.ndarray]) -> None:
    seconds, readings = log
    turned = f_of_log((seconds[-1] - seconds)[::-1], readings[::-1])
    assert turned == pytest.approx(f_of_log(seconds, readings), rel=1e-9)
    assert f_of_log(seconds + 3600.0, readings) == pytest.approx(f_of_log(*log), rel=1e-9)


@given(logs())
def test_between_the_coldest_and_the_trapezium(log: tuple[np.ndarray, np.ndarray]) -> None:
    """The rate bends upward, so chords of it lie above and the mean temperature's rate below."""
    seconds, readings = log
    rates = np.asarray(lethal_rate(readings))
    trapezium = float(np.trapezoid(rates, seconds)) / 60.0
    middle = np.asarray(lethal_rate((readings[1:] + readings[:-1]) / 2.0))
    midpoint = float(np.diff(seconds) @ middle) / 60.0
    assert midpoint * (1 - 1e-12) <= f_of_log(*log) <= trapezium * (1 + 1e-12)


@pytest.mark.parametrize("apart", [0.0, 5e-324, 1e-300, 1e-15, 1e-12, 1e-9, 1e-6, 1e-3])
def test_equal_and_nearly_equal_readings(apart: float) -> None:
    base = 0.0 if apart < 1e-14 else 121.1
    bend = (math.log(10.0) / 10.0 * apart) ** 2 / 24.0
    expected = 10.0 * lethal_rate(base + apart / 2.0) * (1.0 + bend)
    for readings in ([base, base + apart], [base + apart, base]):
        assert f_of_log([0.0, 600.0], readings) == pytest.approx(expected, rel=1e-9)
        assert f_of_log([0.0, 600.0], readings, above_c=-1.0) == pytest.approx(expected, rel=1e-9)


@given(logs(), st.floats(-1e-9, 1e-9))
def test_noise_of_the_last_digit_does_nothing(
    log: tuple[np.ndarray, np.ndarray], noise: float
) -> None:
    flat = np.full_like(log[1], 118.0)
    shaken = flat + noise * (-1.0) ** np.arange(len(flat))
    assert f_of_log(log[0], shaken) == pytest.approx(f_of_log(log[0], flat), rel=1e-8)


def test_extremes_neither_overflow_nor_vanish() -> None:
    assert math.isfinite(f_of_log([0.0, 1.0], [-60.0, 250.0], z=1.0))
    assert f_of_log([0.0, 1.0], [-60.0, -60.0], z=1.0) > 0.0


def test_positions_are_judged_one_by_one() -> None:
    seconds = [0.0, 300.0, 900.0]
    readings = np.array([[20.0, 110.0, 121.0], [20.0, 100.0, 115.0]])
    together = f_of_logs(seconds, readings)
    assert together.shape == (2,)
    along = f_along(seconds, readings, above_c=105.0)
    assert along.shape == (2, 3)
    for i, each in enumerate(readings):
        assert together[i] == pytest.approx(f_of_log(seconds, each), rel=1e-14)
        assert along[i, -1] == pytest.approx(f_of_log(seconds, each, above_c=105.0), rel=1e-14)
    mean = f_of_log(seconds, readings.mean(axis=0))
    assert together.min() < mean, "the mean temperature hides the slowest position"
    assert f_of_logs(seconds, readings[None]).shape == (1, 2)
    assert f_of_logs(seconds, np.empty((0, 3))).shape == (0,)


@given(logs())
def test_f_along_starts_at_nought_and_only_grows(log: tuple[np.ndarray, np.ndarray]) -> None:
    along = f_along(*log)
    assert along[0] == 0.0
    assert np.all(np.diff(along) >= 0.0)
    for i in range(1, len(along)):
        assert along[i] == pytest.approx(f_of_log(log[0][: i + 1], log[1][: i + 1]), rel=1e-12)


def test_one_kelvin_is_a_quarter() -> None:
    low, high = f_band(10.0, 1.0)
    assert (high / 10.0 - 1.0, 10.0 / low - 1.0) == pytest.approx((0.26, 0.26), abs=0.002)
    assert f_band(10.0, 0.5)[1] == pytest.approx(11.2, abs=0.05)
    assert f_band(10.0, 0.0) == (10.0, 10.0)
    with pytest.raises(InputError, match="error_k"):
        f_band(10.0, -1.0)
    with pytest.raises(InputError, match="f_minutes"):
        f_band(math.nan, 1.0)


@pytest.mark.parametrize("function", [f_of_log, f_of_logs, f_along, pasteurisation_units])
def test_what_is_no_log_is_refused(function) -> None:  # noqa: ANN001
    for seconds in ([0.0, 120.0, 60.0], [0.0, 60.0, 60.0]):
        with pytest.raises(InputError, match=r"seconds: '60 after .* times that rise"):
            function(seconds, [100.0, 110.0, 120.0])
    with pytest.raises(InputError, match="seconds"):
        function([0.0, math.nan], [100.0, 110.0])
    for wrong in (math.nan, 1372.0, -127.0, math.inf):
        with pytest.raises(InputError, match=f"temperature_c: {wrong}"):
            function([0.0, 60.0, 120.0], [100.0, wrong, 110.0])
    for seconds, readings in (([], []), ([0.0], [100.0]), ([0.0, 1.0], [100.0]), (5.0, 100.0)):
        with pytest.raises(InputError):
            function(seconds, readings)
    for pair in ({"reference_c": math.nan}, {"z": 0.0}, {"z": math.nan}, {"reference_c": -5.0}):
        with pytest.raises(InputError, match=next(iter(pair))):
            function([0.0, 60.0], [100.0, 110.0], **pair)


def test_other_wrong_calls() -> None:
    with pytest.raises(InputError, match="above_c"):
        f_of_log([0.0, 60.0], [100.0, 110.0], above_c=math.nan)
    with pytest.raises(InputError, match="one log"):
        f_of_log([0.0, 60.0], [[100.0, 110.0]])
    with pytest.raises(InputError, match="holds"):
        f_of_holds([60.0, 60.0], [100.0])
    with pytest.raises(InputError, match="seconds"):
        f_of_holds([-60.0], [100.0])
    with pytest.raises(InputError, match="temperature_c"):
        f_of_holds([60.0], [math.nan])
    assert f_of_holds([], []) == 0.0
    assert type(lethal_rate(100)) is float
    assert lethal_rate([100.0, 110.0]).shape == (2,)
