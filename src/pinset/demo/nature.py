"""What nature does to the demo farm's lots: losses, days, yields and when mould shows.

All draws come from seeded generators. Delays until contamination shows are common practice,
no source; losses, days and yields are drawn from the route.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from datetime import date, timedelta

import numpy as np

from pinset.chain.register import Spread, Step
from pinset.chain.stages import Stage
from pinset.demo.truth import HiddenTruth

SHOWS_AFTER_DAYS = {
    Stage.TUBE: 5.0,
    Stage.PLATE: 3.5,
    Stage.GRAIN: 4.5,
    Stage.SAWDUST: 7.0,
    Stage.BLOCK: 9.0,
}
"""Median days until a contaminated unit shows it; common practice, no source."""

SHOWS_LOG_SD = 0.4
IDS_AT_ONCE = 1000
PARENT_PASSES_ON = 0.9
"""Chance that a unit started from a contaminated parent is contaminated."""


@dataclass(frozen=True, slots=True)
class Vigour:
    """How a culture does, against a sound one."""

    odds: float = 1.0
    days: float = 1.0
    yields: float = 1.0
    growth: float = 1.0  # on a plate


SOUND = Vigour()


class Nature:
    """Seeded draws, with the hidden truth applied."""

    def __init__(self, truth: HiddenTruth, rng: np.random.Generator) -> None:
        self.truth = truth
        self.rng = rng
        self._effects: dict[str, float] = {}
        self._sign_rng = np.random.default_rng([truth.seed, 2])
        self._id_rng = np.random.default_rng([truth.seed, 1])
        self._ids: list[str] = []

    def triangular(self, spread: Spread) -> float:
        """Draw from a triangular spread."""
        if spread.high <= spread.low:
            return spread.mode
        return float(self.rng.triangular(spread.low, spread.mode, spread.high))

    def effect(self, key: str, log_sd: float) -> float:
        """Return the lasting effect of a cook, a session or a parent lot on the log odds."""
        if key not in self._effects:
            self._effects[key] = float(self.rng.normal(0.0, log_sd))
        return self._effects[key]

    def vigour(self, culture: str, made_on: date) -> Vigour:
        """Return how a culture does in a lot made on a day."""
        tired = self.truth.tired
        if culture == tired.culture and made_on >= tired.since:
            return Vigour(tired.odds, tired.days, tired.yields, tired.growth)
        return SOUND

    def is_failing(self, steriliser: str, day: date) -> bool:
        """Say whether the door seal leaks that day."""
        seal = self.truth.seal
        return steriliser == seal.steriliser and seal.since <= day <= seal.until

    def hot_share(self, made_on: date, days: float) -> float:
        """Return the share of a lot's incubation that falls into the hot fortnight."""
        hot = self.truth.hot
        ends = made_on + timedelta(days=max(1, round(days)))
        overlap = (min(ends, hot.until + timedelta(days=1)) - max(made_on, hot.since)).days
        return max(0, overlap) / max(1, (ends - made_on).days)

    def loss_chance(self, loss: Spread, log_effect: float, odds: float) -> float:
        """Draw a lot's chance of losing a unit and shift its odds."""
        base = self.triangular(loss)
        shifted = base / (1.0 - base) * math.exp(log_effect) * odds
        return shifted / (1.0 + shifted)

    def bad_units(self, count: int, chance: float) -> int:
        """Draw how many of a number of units are bad."""
        return int(self.rng.binomial(count, chance)) if count > 0 and chance > 0.0 else 0

    def show_days(self, step: Step, bad: int) -> list[int]:
        """Draw after how many days each bad unit shows it."""
        median = math.log(SHOWS_AFTER_DAYS.get(step.stage, 7.0))
        days = np.exp(self.rng.normal(median, SHOWS_LOG_SD, bad))
        return sorted(max(2, round(float(day))) for day in days)

    def spread_days(self, length: float, bad: int) -> list[int]:
        """Draw days spread evenly over a stretch."""
        return sorted(int(day) for day in self.rng.integers(1, max(2, round(length)), bad))

    def hidden_among(self, hidden: int, alive: int, taken: int) -> int:
        """Draw how many units that do not show yet are among those taken."""
        if hidden <= 0 or taken <= 0:
            return 0
        return int(self.rng.hypergeometric(hidden, max(0, alive - hidden), min(taken, alive)))

    def yield_factor(self, log_sd: float) -> float:
        """Draw a yield against the expected one; its mean is 1."""
        return float(np.exp(self.rng.normal(-0.5 * log_sd * log_sd, log_sd)))

    def lot_yield(self, step: Step) -> float:
        """Draw a lot's yield against the route's, which is the most likely one, as the plan has it.

        Lognormal with its mode at 1 and its mean at ``exp(1.5 yield_spread**2)``.
        """
        spread = step.yield_spread
        return float(np.exp(self.rng.normal(spread * spread, spread)))

    def whole(self, low: int, high: int) -> int:
        """Draw a whole number, both ends included."""
        return int(self.rng.integers(low, high + 1))

    def sign_share(self) -> float:
        """Draw from 0 to 1 for what is seen; nothing else depends on these draws."""
        return float(self._sign_rng.random())

    def sign_number(self, many: int) -> int:
        """Draw one of so many signs."""
        return int(self._sign_rng.integers(0, many))

    def apart(self, purpose: str) -> np.random.Generator:
        """Return a chance stream for one purpose; nothing else depends on its draws."""
        return np.random.default_rng([self.truth.seed, 3, *purpose.encode()])

    def client_id(self) -> str:
        """Draw a random id for an entry."""
        if not self._ids:
            drawn = self._id_rng.bytes(16 * IDS_AT_ONCE)
            self._ids = [drawn[i : i + 16].hex() for i in range(0, len(drawn), 16)]
        return self._ids.pop()
