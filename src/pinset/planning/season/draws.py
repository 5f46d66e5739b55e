"""Days, losses and yields of many seasons at once: drawn by chance, or as the plan expects them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

from pinset.chain.register import Spread
from pinset.chain.spreads import cumulative, quantile
from pinset.planning.season.odds import Growing, Phase

Row = NDArray[np.float32]
"""One number for each season."""

TINY = 1e-6


def triangular(spread: Spread, u: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return the quantiles of a triangular quantity.

    Parameters
    ----------
    spread : Spread
        Least, most likely, most.
    u : ndarray
        Chances, 0 to 1.
    """
    low, mode, high = spread.low, spread.mode, spread.high
    width = high - low
    if width <= 0.0:
        return np.full(u.shape, mode)
    rising = low + np.sqrt(u * (width * (mode - low)))
    falling = high - np.sqrt((1.0 - u) * (width * (high - mode)))
    return np.where(u <= (mode - low) / width, rising, falling)


def slowed(late: Row, slowness: float) -> Row:
    """Return delays in whole days where days follow the months: so many times the usual ones."""
    return late if slowness == 1.0 else np.rint(late * np.float32(slowness)).astype(np.float32)


def seeded(seed: int) -> np.random.Generator:
    """Return random numbers that are the same for the same seed."""
    return np.random.Generator(np.random.PCG64(seed))


class Draws(Protocol):
    """Where the numbers of seasons come from."""

    seasons: int
    is_whole: bool  # units are counted, so parents and survivors are whole numbers

    def grown(self, phases: Sequence[Phase]) -> Row:
        """Return how many days later than planned a lot is ready that is started now."""
        ...

    def ripened(self, lot: Growing) -> Row:
        """Return how many days later than planned a living lot is ready."""
        ...

    def survivors(self, units: Row, losses: Sequence[tuple[Spread, float]], usable: float) -> Row:
        """Return the units of a lot that become usable.

        ``losses`` are its steps' with the share of each that is still to come; ``usable`` is the
        fraction the plan expects.
        """
        ...

    def days_off_plan(self, spread: Spread, planned: float, age: float) -> Row:
        """Return how much later than planned something comes that had not before this age."""
        ...

    def bearing(self, spread: float) -> Row:
        """Return the yield of a lot as a share of the one expected."""
        ...


@dataclass(slots=True)
class Expected:
    """One season in which everything comes as the plan expects it."""

    seasons: int = 1
    is_whole: bool = False

    def grown(self, phases: Sequence[Phase]) -> Row:
        """Return no delay."""
        del phases
        return np.zeros(1, np.float32)

    def ripened(self, lot: Growing) -> Row:
        """Return no delay."""
        del lot
        return np.zeros(1, np.float32)

    def survivors(self, units: Row, losses: Sequence[tuple[Spread, float]], usable: float) -> Row:
        """Return what the plan expects."""
        del losses
        return units * np.float32(usable)

    def days_off_plan(self, spread: Spread, planned: float, age: float) -> Row:
        """Return no delay."""
        del spread, planned, age
        return np.zeros(1, np.float32)

    def bearing(self, spread: float) -> Row:
        """Return the whole yield."""
        del spread
        return np.ones(1, np.float32)


@dataclass(slots=True)
class ByChance:
    """Seasons as they may come: every lot its own days, its own loss, its own yield.

    A lot's loss is drawn once for all its units, from the spread of its step, and then each unit
    is lost or not by it: losses cluster by lot. Parts that are switched off come as expected.
    """

    random: np.random.Generator
    seasons: int
    is_whole: bool = True
    with_days: bool = True
    with_losses: bool = True
    with_yields: bool = True

    def grown(self, phases: Sequence[Phase]) -> Row:
        """Return the whole days beyond the middle ones, of all steps together."""
        late = np.zeros(self.seasons)
        if self.with_days:
            for phase in phases:
                drawn = np.ceil(triangular(phase.days, self._chances()) - TINY)
                late += drawn - np.ceil(quantile(phase.days, 0.5) - TINY)
        return late.astype(np.float32)

    def ripened(self, lot: Growing) -> Row:
        """Return the days of the present step, given its age, and of those to come."""
        late = self.grown(lot.later)
        if not lot.is_judged:
            days = lot.now.days
            late += self.days_off_plan(days, ceil(quantile(days, 0.5) - TINY), lot.age_days)
        return late

    def survivors(self, units: Row, losses: Sequence[tuple[Spread, float]], usable: float) -> Row:
        """Return whole units of those that survive the lot's own loss in each step."""
        if not self.with_losses:
            rounded = units * np.float32(usable) + self._chances().astype(np.float32)
            whole: Row = np.floor(rounded).astype(np.float32)
            return whole
        alive = np.ones(self.seasons)
        for loss, share in losses:
            alive *= 1.0 - share * triangular(loss, self._chances())
        counted = np.rint(units).astype(np.int64)
        return self.random.binomial(counted, np.clip(alive, 0.0, 1.0)).astype(np.float32)

    def days_off_plan(self, spread: Spread, planned: float, age: float) -> Row:
        """Return whole days beyond the plan's, of those that had not come the day before.

        What is this many days old may be ready today: it was not yet, yesterday.
        """
        if not self.with_days:
            return np.zeros(self.seasons, np.float32)
        gone = min(cumulative(spread, age - 1.0), 1.0 - TINY)
        drawn = np.ceil(triangular(spread, gone + (1.0 - gone) * self._chances()) - TINY)
        # what is late already comes today at the earliest; the plan takes it so as well
        return (np.maximum(drawn, age) - max(planned, age)).astype(np.float32)

    def bearing(self, spread: float) -> Row:
        """Return lognormal shares with mean 1."""
        if spread <= 0.0 or not self.with_yields:
            return np.ones(self.seasons, np.float32)
        z = self.random.standard_normal(self.seasons)
        return np.exp(spread * z - 0.5 * spread * spread).astype(np.float32)

    def _chances(self) -> NDArray[np.float64]:
        return self.random.random(self.seasons)
