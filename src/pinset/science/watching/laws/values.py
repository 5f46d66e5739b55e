"""What is known of a load's way of conducting before its core was read, as a handful of values.

The logarithm of its conductivity at some temperatures, straight between them; of its surface's
coefficient; how warm it was; and, where it was hot when it was first read, for how long it had been
heated and how soon its chamber had come there. Each is given in errors it has beforehand.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import exp, pi

import numpy as np
from numpy import float64
from numpy.typing import NDArray

from pinset.science.heating.heated_unit import FIRST_ROOT, Conducting, Unit, ring_of
from pinset.science.heating.law_march import TABLE_C, Bodies
from pinset.science.heating.vapour import COLDEST_C, HOTTEST_C, vapour_function
from pinset.science.judging.core_match import conducts

Values = NDArray[float64]

NODES_C = np.array([15.0, 40.0, 60.0, 75.0, 88.0, 98.0, 106.0, 112.0, 117.0, 122.0])
WALK = 0.06  # error of ln conductivity a kelvin further on; grows as the root of the kelvins
LEVEL = 0.5  # of its level: sawdust's measured range, 0.12 to 0.81 W/(m K), is two of these wide
# either way about 0.3 (Ahn et al. 2009, heat_materials.csv)
SURFACE = 0.5  # of ln of the surface's coefficient: 20 to 300 W/(m2 K) is three about 100
START_K, START_HOT_K = 1.0, 3.0  # of its start; where nobody read it then
SAID, UNSAID = 0.25, 1.0  # of ln of how long it was heated before, as somebody said; as nobody did
UNSAID_S = 1800.0  # likeliest, where nobody said it
LONG = 2.5  # errors, up to which it is followed
SOON = 1.2  # of the logit of the share of that time in which its chamber came up
MOST = 20.0  # conductivity [W/(m K)]
LEAST_GONE_S = 60.0


@dataclass(frozen=True, slots=True)
class Load:
    """A unit, and how it stood when its chamber was first read."""

    unit: Unit
    start_c: float  # when it began to be heated [degC]
    hot_c: float  # of its chamber while it holds [degC]
    before_s: float | None  # it was heated before its first reading, by what was said; None: not
    is_said: bool = True

    @property
    def conductivity(self) -> float:
        """The level its law walks from, in W/(m K)."""
        return conducts(self.unit, self.start_c, self.hot_c)

    @property
    def slowest_s(self) -> float:
        """The time in which its slowest mode falls to 1/e with its face at its chamber's, in s."""
        ring = ring_of(self.unit.shape, self.unit.material)
        across = (FIRST_ROOT / ring.radius) ** 2 + (pi / ring.height) ** 2
        return self.unit.material.heat_capacity / self.conductivity / across

    @property
    def _known(self) -> Values:
        """The law it walks from: even, or with what vapour carries."""
        if isinstance(self.unit, Conducting):
            return np.full(len(TABLE_C), self.conductivity)
        vapour = vapour_function(
            self.unit.material.conductivity, self.unit.free_air, self.unit.pressure_kpa
        )
        return vapour(np.clip(TABLE_C, COLDEST_C, HOTTEST_C))

    @property
    def root(self) -> Values:
        """Whose product with its transpose is the covariance of the values beforehand."""
        nodes = len(NODES_C)
        others = [SURFACE, START_K]
        if self.before_s is not None:
            others = [SURFACE, START_HOT_K, SAID if self.is_said else UNSAID, SOON]
        root = np.zeros((nodes + len(others), nodes + len(others)))
        root[:nodes, 0] = LEVEL
        for node, apart in enumerate(np.diff(NODES_C), start=1):
            root[node:nodes, node] = WALK * np.sqrt(apart)
        root[nodes:, nodes:] = np.diag(others)
        return root

    def bodies(self, values: Values) -> Bodies:
        """Return what such values are, shape (laws, m)."""
        nodes = len(NODES_C)
        ring = ring_of(self.unit.shape, self.unit.material)
        laws = np.array([np.interp(TABLE_C, NODES_C, each[:nodes]) for each in values])
        return Bodies(
            radius=ring.radius,
            height=ring.height,
            heat_capacity=self.unit.material.heat_capacity,
            conductivity=np.minimum(self._known * np.exp(laws), MOST),
            surface=self.unit.material.surface * np.exp(values[:, nodes]),
        )

    def starts(self, values: Values) -> Values:
        """Return how warm each was when it began to be heated, shape (laws,), in degC."""
        return np.asarray(self.start_c + values[:, len(NODES_C) + 1])

    def chambers(self, values: Values, times: Values, seconds: Values, read_c: Values) -> Values:
        """Return the chamber each had, shape (laws, times), in degC.

        Before its first reading it rose evenly from its load's start, and then stayed.
        """
        along = np.broadcast_to(np.interp(times, seconds, read_c), (len(values), len(times)))
        if self.before_s is None:
            return along
        gone = self.gone_s(values)[:, None]
        soon = 1.0 / (1.0 + np.exp(-values[:, len(NODES_C) + 3]))[:, None]
        since = times[None, :] - (seconds[0] - gone)
        start_c = self.starts(values)[:, None]
        rose = np.clip(since / (gone * soon), 0.0, 1.0)
        return np.where(times < seconds[0], start_c + (read_c[0] - start_c) * rose, along)

    @property
    def longest_s(self) -> float:
        """For how long it may have been heated before its first reading, in s."""
        error = SAID if self.is_said else UNSAID
        return self._likeliest_s * exp(LONG * error)

    @property
    def _likeliest_s(self) -> float:
        return max(self.before_s or 0.0, LEAST_GONE_S) if self.is_said else UNSAID_S

    def gone_s(self, values: Values) -> Values:
        """Return for how long each was heated before its first reading, shape (laws,), in s."""
        return np.asarray(self._likeliest_s * np.exp(values[:, len(NODES_C) + 2]))
