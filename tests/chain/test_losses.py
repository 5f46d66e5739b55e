from __future__ import annotations

import csv
from fractions import Fraction
from math import comb
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pinset.chain.losses import chance_of_at_least, expected_lost, fewest_to_start, kept_through
from pinset.chain.register import Spread
from pinset.errors import InputError

REFERENCE = Path(__file__).parents[1] / "reference" / "fewest_to_start.csv"


def rows() -> list[dict[str, str]]:
    with REFERENCE.open(newline="", encoding="utf-8") as file:
        return list(csv.DictReader(file))


def exact_tail(needed: int, started: int, usable: Fraction) -> Fraction:
    """Binomial upper tail in exact fractions, straight from its definition."""
    return sum(
        (
            comb(started, k) * usable**k * (1 - usable) ** (started - k)
            for k in range(needed, started + 1)
        ),
        Fraction(0),
    )


@pytest.mark.parametrize("row", rows(), ids=lambda r: f"{r['usable_fraction']} {r['needed']}")
def test_fewest_units_to_start_is_the_table(row: dict[str, str]) -> None:
    needed, start = int(row["needed"]), int(row["start"])
    usable = Fraction(row["usable_fraction"])
    assert fewest_to_start(needed, float(usable)) == start
    assert exact_tail(needed, start, usable) >= Fraction(95, 100)
    assert exact_tail(needed, start - 1, usable) < Fraction(95, 100)


@given(st.integers(0, 60), st.integers(0, 60), st.integers(0, 100))
def test_tail_is_that_of_exact_fractions(needed: int, started: int, percent: int) -> None:
    ours = chance_of_at_least(needed, started, percent / 100)
    theirs = float(exact_tail(needed, started, Fraction(percent, 100)))
    assert ours == pytest.approx(theirs, rel=1e-9, abs=1e-12)


@given(st.integers(0, 300), st.floats(0.3, 1.0), st.floats(0.0, 0.999))
def test_fewest_is_enough_and_one_less_is_not(needed: int, usable: float, service: float) -> None:
    start = fewest_to_start(needed, usable, service)
    assert start >= needed
    assert chance_of_at_least(needed, start, usable) >= service - 1e-9
    if start > needed:
        assert chance_of_at_least(needed, start - 1, usable) < service


def test_many_units_need_about_their_mean() -> None:
    # Law of large numbers: 10 000 usable at 96 % need little more than 10 417.
    assert 10_417 < fewest_to_start(10_000, 0.96) < 10_500
    assert fewest_to_start(10_000, 1.0) == 10_000
    assert fewest_to_start(0, 0.5) == 0


def test_chance_at_the_service_exactly_counts() -> None:
    assert fewest_to_start(1, 0.95, 0.95) == 1


def test_expected_lost_is_mean_times_units() -> None:
    assert expected_lost(Spread(0.0, 0.03, 0.09), 24) == pytest.approx(0.96)
    assert expected_lost(Spread(0.0, 0.0, 0.0), 0) == 0.0


def test_losses_multiply() -> None:
    assert kept_through([0.08, 0.06, 0.04, 0.04]) == pytest.approx(0.92 * 0.94 * 0.96 * 0.96)
    assert kept_through([]) == 1.0
    assert kept_through([0.2, 1.0]) == 0.0


@pytest.mark.parametrize(
    ("call", "words"),
    [
        (lambda: fewest_to_start(-1, 0.9), "units needed"),
        (lambda: fewest_to_start(1, 0.0), "usable fraction"),
        (lambda: fewest_to_start(1, 1.1), "usable fraction"),
        (lambda: fewest_to_start(1, float("nan")), "usable fraction"),
        (lambda: fewest_to_start(1, 0.9, 1.0), "service"),
        (lambda: fewest_to_start(1000, 0.0009), "fewer than 1000000"),
        (lambda: chance_of_at_least(-1, 3, 0.5), "units"),
        (lambda: chance_of_at_least(1, 3, float("nan")), "usable fraction"),
        (lambda: expected_lost(Spread(0, 0, 0), -1), "units"),
        (lambda: expected_lost(Spread(0, 0, 0), float("nan")), "units"),
        (lambda: kept_through([1.2]), "loss"),
    ],
)
def test_nonsense_is_refused(call, words: str) -> None:  # noqa: ANN001
    with pytest.raises(InputError, match=words):
        call()
