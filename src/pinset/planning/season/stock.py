"""Usable units and kilograms of many seasons at once, taken oldest first."""

from __future__ import annotations

from dataclasses import dataclass, field, replace

import numpy as np

from pinset.planning.season.draws import Row

ZERO = np.float32(0.0)
LEAST = np.float32(1e-6)  # units


@dataclass(slots=True)
class Cohort:
    """Units that were started together: one number for each season."""

    units: Row  # left of those that become usable
    ready: Row  # day
    last: Row  # last usable day
    expected: Row  # usable units as far as one can tell before the loss is seen
    planned_ready: int = 0
    seen_on: int = 0  # from then on what is lost shows
    latest: float = field(init=False)  # of the last days

    def __post_init__(self) -> None:
        self.latest = float(self.last.max())


@dataclass(slots=True)
class Store:
    """Everything of one sort, the oldest first."""

    cohorts: list[Cohort] = field(default_factory=list)

    def add(self, cohort: Cohort) -> None:
        """Put a cohort in; those that end sooner stand before it."""
        place = len(self.cohorts)
        while place and self.cohorts[place - 1].latest > cohort.latest:
            place -= 1
        self.cohorts.insert(place, cohort)

    def forget(self, day: int) -> None:
        """Let go of what nobody can use any more."""
        if self.cohorts and self.cohorts[0].latest < day:
            self.cohorts = [each for each in self.cohorts if each.latest >= day]

    def usable(self, day: int) -> Row | np.float32:
        """Return the units usable on a day."""
        total: Row | np.float32 = ZERO
        for each in self.cohorts:
            total = total + _usable(each, day)
        return total

    def expected(self, day: int) -> Row | np.float32:
        """Return the units that are there or under way, as far as one can tell on a day."""
        total: Row | np.float32 = ZERO
        for each in self.cohorts:
            if day < each.seen_on:
                total = total + each.expected
            else:
                total = total + np.where(each.last >= day, each.units, ZERO)
        return total

    def take(self, wanted: Row, day: int) -> Row:
        """Take up to so many usable units, the oldest first; return how many were taken."""
        left = wanted.copy()
        for each in self.cohorts:
            taken = np.minimum(_usable(each, day), left)
            each.units -= taken
            left -= taken
        return wanted - left

    def late(self, day: int) -> Row | np.float32:
        """Return the units that were to be ready by a day and are not."""
        total: Row | np.float32 = ZERO
        for each in self.cohorts:
            if each.planned_ready <= day:
                total = total + np.where(each.ready > day, each.units, ZERO)
        return total


def with_cold_apart(cohort: Cohort, kept_cold: float, days: int) -> tuple[Cohort, ...]:
    """Return a cohort, and beside it its units that a cold store keeps so many days longer."""
    if kept_cold <= 0.0 or days <= 0:
        return (cohort,)
    cold = np.minimum(cohort.units, np.float32(kept_cold))
    share = (cold / np.maximum(cohort.units, LEAST)).astype(np.float32)
    stays: Row = (cohort.expected * (np.float32(1.0) - share)).astype(np.float32)
    goes: Row = (cohort.expected * share).astype(np.float32)
    last: Row = cohort.last + np.float32(days)
    apart = replace(cohort, units=cold, last=last, expected=goes)
    return replace(cohort, units=cohort.units - cold, expected=stays), apart


def _usable(cohort: Cohort, day: int) -> Row:
    is_there = (cohort.ready <= day) & (cohort.last >= day)
    return np.where(is_there, cohort.units, ZERO)
