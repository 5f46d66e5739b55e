"""Growth from two radii, its uncertainty, and a culture held against its own earlier plates."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from pinset.chain.vigour import (
    DAY_ONLY,
    EDGE_MM,
    Growth,
    Measured,
    Radius,
    growth,
    held_against_earlier,
    of_plate,
)
from pinset.errors import InputError

BEGUN = datetime(2026, 3, 1, 9, tzinfo=UTC)


def read(days: float, mm: float) -> Radius:
    return Radius(BEGUN + timedelta(days=days), mm)


def plate(
    lot: str,
    day: int,
    rate: float,
    within: float = 0.4,
    temperature_c: float | None = 24.0,
    medium: str = "malt agar",
) -> Measured:
    grown = Growth(rate, within / 2, 4.0)
    at = BEGUN + timedelta(days=day)
    return Measured(lot, 1, at, grown, temperature_c=temperature_c, medium=medium)


def test_a_colony_that_spreads_evenly_gives_its_rate_back() -> None:
    """Soylu et al. 2016: king oyster, mean of 28 strains at 25 degC, 3.35 mm a day."""
    rate = 3.35
    found = growth(read(3, 2 + 3 * rate), read(8, 2 + 8 * rate))
    assert found.mm_per_day == pytest.approx(rate)
    assert found.days == pytest.approx(5.0)
    assert not found.is_at_edge


def test_its_uncertainty_is_that_of_drawn_readings() -> None:
    """JCGM 101:2008 (GUM supplement 1), 7 (memory): readings drawn within their half-widths."""
    rng = np.random.default_rng(20260312)
    n, first, second = 200_000, 12.0, 32.0
    mm = rng.uniform(-1.0, 1.0, (2, n))
    hours = rng.uniform(-6.0, 6.0, (2, n))
    drawn = (second + mm[1] - first - mm[0]) / (4.0 + (hours[1] - hours[0]) / 24.0)
    radii = [replace(each, within=timedelta(hours=6)) for each in (read(0, first), read(4, second))]
    found = growth(*radii)
    assert found.uncertainty == pytest.approx(float(drawn.std()), rel=0.03)
    assert found.mm_per_day == pytest.approx(float(drawn.mean()), rel=0.01)


def test_a_reading_of_which_only_the_day_is_known_says_less() -> None:
    """JCGM 101:2008 (GUM supplement 1), 7 (memory): one moment drawn from its whole day."""
    rng = np.random.default_rng(20260313)
    n, first, second = 200_000, 12.0, 32.0
    mm = rng.uniform(-1.0, 1.0, (2, n))
    hours = rng.uniform(-12.0, 12.0, n), rng.uniform(-1.0, 1.0, n)
    drawn = (second + mm[1] - first - mm[0]) / (4.0 + (hours[1] - hours[0]) / 24.0)
    by_day = growth(replace(read(0, first), within=DAY_ONLY), read(4, second))
    assert by_day.uncertainty == pytest.approx(float(drawn.std()), rel=0.03)
    assert by_day.uncertainty > 1.8 * growth(read(0, first), read(4, second)).uncertainty


@given(st.floats(1, 40), st.floats(0, 60), st.floats(1, 20), st.floats(1.1, 3.0))
def test_longer_apart_is_surer(first: float, grown: float, days: float, longer: float) -> None:
    short = growth(read(0, first), read(days, first + grown))
    far = growth(read(0, first), read(days * longer, first + grown * longer / 3))
    assert short.mm_per_day >= 0.0
    assert short.uncertainty > 0.0
    if far.mm_per_day <= short.mm_per_day:
        assert far.uncertainty < short.uncertainty


@pytest.mark.parametrize(
    ("first", "second", "words"),
    [
        (read(0, 0), read(3, 10), "more than 0"),
        (read(0, 10), read(3, float("nan")), "more than 0"),
        (read(0, 10), read(3, 900), "at most 150 mm"),
        (read(0, 12), read(3, 10), "12 mm or more"),
        (read(0, 10), read(0.1, 11), "half a day to 60 days"),
        (read(3, 10), read(0, 20), "half a day to 60 days"),
        (read(0, 10), read(90, 20), "half a day to 60 days"),
    ],
)
def test_what_cannot_be_is_refused(first: Radius, second: Radius, words: str) -> None:
    with pytest.raises(InputError, match=words):
        growth(first, second)


def rate_of(*readings: Radius) -> tuple[float, bool] | None:
    found = of_plate(readings)
    return None if found is None else (found[1].mm_per_day, found[1].is_at_edge)


def test_a_plate_is_told_from_its_first_reading_to_its_last() -> None:
    assert rate_of(read(6, 30), read(0, 6), read(3, 18)) == (4.0, False)
    assert rate_of(read(0, 6), read(3, 18), read(4, EDGE_MM), read(9, EDGE_MM)) == (4.0, False)
    assert rate_of(read(0, 2), read(10, EDGE_MM), read(20, EDGE_MM)) == (4.0, True)


def test_readings_that_tell_nothing_are_passed_over() -> None:
    assert rate_of() is None
    assert rate_of(read(0, 20)) is None
    assert rate_of(read(0, 20), read(0.2, 21)) is None
    assert rate_of(read(0, 10), read(100, 40)) is None
    assert rate_of(read(0, 30), read(3, 5), read(6, 20)) == (5.0, False), "another plate was read"


def test_a_full_plate_says_only_that_it_grew_at_least_so_fast() -> None:
    assert growth(read(0, 10), read(10, EDGE_MM)).is_at_edge
    usual = [plate("A", 1, 5.0), plate("B", 10, 5.2)]
    full = Measured("C", 1, BEGUN + timedelta(days=20), Growth(2.0, 0.1, 20.0, is_at_edge=True))
    held = held_against_earlier([*usual, full])
    assert held is None, "two plates that tell, of which one is the newest"


def test_a_culture_is_held_against_its_own_earlier_plates() -> None:
    usual = [plate("A", 1, 5.0), plate("B", 10, 5.2), plate("C", 20, 4.8)]
    held = held_against_earlier([*usual, plate("D", 30, 3.0)])
    assert held is not None
    assert held.is_slower
    assert (held.usual_mm_per_day, held.earlier) == (5.0, 3)
    assert held.share == pytest.approx(0.6)
    for well in (plate("D", 30, 4.0), plate("D", 30, 3.0, within=2.5), plate("D", 30, 9.0)):
        held = held_against_earlier([*usual, well])
        assert held is not None
        assert not held.is_slower


def test_a_culture_that_stays_slow_does_not_become_usual() -> None:
    usual = [plate("A", 1, 5.0), plate("B", 10, 5.2), plate("C", 20, 4.8)]
    slow = [plate(f"S{day}", day, 3.0) for day in range(30, 100, 10)]
    held = held_against_earlier([*usual, *slow])
    assert held is not None
    assert held.is_slower
    assert (held.usual_mm_per_day, held.earlier) == (5.0, 3)
    back = held_against_earlier([*usual, *slow, plate("T", 110, 4.9)])
    assert back is not None
    assert not back.is_slower


def test_only_plates_that_are_alike_are_compared() -> None:
    usual = [plate("A", 1, 5.0), plate("B", 10, 5.2)]
    for other in (
        plate("D", 30, 3.0, temperature_c=18.0),
        plate("D", 30, 3.0, medium="potato agar"),
        plate("D", 30, 3.0, temperature_c=None),
    ):
        assert held_against_earlier([*usual, other]) is None
    assert held_against_earlier([]) is None
    assert held_against_earlier(usual) is None, "one earlier plate is too few"
    same_plate = [plate("D", 28, 3.1), plate("D", 26, 3.2), plate("D", 30, 3.0)]
    assert held_against_earlier(same_plate) is None, "a plate is not held against itself"
