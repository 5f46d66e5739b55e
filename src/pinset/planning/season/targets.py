"""Where a season should stand on each day: where the one stands in which all comes as expected."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np

from pinset.planning.recipes import Picking
from pinset.planning.season.draws import Row
from pinset.planning.season.stock import ZERO

Key = tuple[int, int, int]  # recipe, making, day


@dataclass(slots=True)
class Targets:
    """What the expected season has on its days."""

    positions: dict[Key, float] = field(default_factory=dict)  # units, after a day's starts
    supply: dict[tuple[int, int], float] = field(default_factory=dict)  # grams, by recipe and day


def first_flush(curve: Sequence[Picking]) -> tuple[int, float]:
    """Return the last day of a curve's first flush, and its grams; (0, 0) of an empty one."""
    mine = [pick for pick in curve if pick.flush == curve[0].flush]
    return (mine[-1].day, sum(pick.grams for pick in mine)) if mine else (0, 0.0)


def units_lacking(supply: Row, target: float | None, grams: float) -> Row | np.float32:
    """Return the units that bring a supply up to its target; negative where it is above.

    Parameters
    ----------
    supply : Row
        Grams that are there or come, in each season.
    target : float or None
        Grams of the expected season; None: not known, and nothing is lacking.
    grams : float
        Borne by one unit in that time.
    """
    if target is None or grams <= 0.0:
        return ZERO
    lacking: Row = (np.float32(target) - supply) / np.float32(grams)
    return lacking
