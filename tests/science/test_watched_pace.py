"""A watched core held against what a log taught of its load."""

from __future__ import annotations

import numpy as np
import pytest
from numpy import float64
from numpy.typing import NDArray

from pinset.science.heating.heated_unit import Conducting
from pinset.science.heating.heating import Cylinder, Material, core_curve, modes_of
from pinset.science.heating.loads import Filling, fill_of
from pinset.science.watching.chamber import chamber_so_far
from pinset.science.watching.pace import KnownUnit, too_quick

Values = NDArray[float64]

BAG = Cylinder(0.08, 0.21)
FILL = fill_of(Filling.SAWDUST, BAG, 2.3, 0.6)
TAUGHT = Material(0.45, FILL.heat_capacity, 100.0)
MINUTES = np.arange(0.0, 141.0)
CHAMBER = np.interp(MINUTES, [0.0, 30.0, 140.0], [19.0, 121.3, 121.3])
KNOWN = KnownUnit(BAG, FILL, Conducting(BAG, TAUGHT))


def heated(conductivity: float) -> Values:
    material = Material(conductivity, FILL.heat_capacity, 100.0)
    return core_curve(modes_of(BAG, material), 60.0 * MINUTES, CHAMBER, 19.0)


def watched(inside: Values, until: int) -> float | None:
    """How much sooner it comes than such a load, in min; None: it does not."""
    seconds = 60.0 * MINUTES[:until]
    nothing = np.full(until, np.nan)
    chamber = chamber_so_far(seconds, CHAMBER[:until], nothing, error_k=0.5)
    assert chamber is not None
    found = too_quick(chamber, seconds, inside[:until], KNOWN)
    return None if found is None else (found.least - found.was) / 60.0


@pytest.mark.parametrize("at_min", [70.0, 90.0])
@pytest.mark.parametrize("over_min", [8.0, 20.0])
def test_one_that_comes_late_and_then_at_once_counts_for_nothing(
    at_min: float, over_min: float
) -> None:
    """By its mean delay it is no quicker than the load, so that alone does not tell it."""
    share = np.clip((MINUTES - at_min) / over_min, 0.0, 1.0)
    inside = (1.0 - share) * heated(0.45) + share * (CHAMBER - 6.0)
    sooner = watched(inside, round(at_min + over_min) + 5)
    assert sooner is not None
    assert sooner > 3.0


@pytest.mark.parametrize("better", [0.7, 1.0, 1.2, 1.4])
@pytest.mark.parametrize("until", [60, 100, 141])
def test_a_load_of_another_day_counts(better: float, until: int) -> None:
    assert watched(heated(0.45 * better), until) is None
