"""The model of a set of records, laid out for fast sums.

    k ~ Binomial(n, p),  link(p) = x'b + sum of u[level] + e[lot] + log of the share of showing
    u ~ N(expected, s^2) for each factor,  e ~ N(0, t^2) for each lot,  b ~ N(0, 10^2)

Unknown are all u (as differences from what is expected) and b, together **v**; ``eta`` of a lot is
its linear predictor without e and without the delay.
"""

from __future__ import annotations

from copy import copy
from dataclasses import dataclass

import numpy as np
from scipy.sparse import csr_array

from pinset.learning.incidence.inputs import Records
from pinset.learning.incidence.links import (
    Floats,
    Ints,
    Places,
    log_choose,
    row_terms,
    weight_slopes,
)
from pinset.learning.incidence.ordering import DENSE_BELOW, Ordering, meetings, ordering


@dataclass(frozen=True, slots=True, eq=False)
class Scales:
    """Standard deviations: between levels, one for each factor, and between lots (0: none)."""

    levels: Floats
    lot: float


class Counts:
    """The rows, added up lot by lot."""

    def __init__(self, records: Records) -> None:
        self._records = records
        self._lots = records.lots
        self._own = len(records.lot) == self._lots and bool(
            (records.lot == np.arange(self._lots)).all()
        )
        self.constant = log_choose(records.risk, records.lost)

    def terms(self, eta: Floats) -> tuple[float, Floats, Floats]:
        """Return the log-likelihood of all rows, and score and weight of each lot, (lots,)."""
        data = self._records
        likelihood, score, weight = row_terms(data.link, self._of_rows(eta), data.lost, data.risk)
        return float(likelihood.sum()), self._added(score), self._added(weight)

    def slopes(self, eta: Floats) -> Floats:
        """Return how each lot's weight changes with its linear predictor, shape (lots,)."""
        data = self._records
        return self._added(weight_slopes(data.link, self._of_rows(eta), data.lost, data.risk))

    def _of_rows(self, eta: Floats) -> Floats:
        per_row = eta if self._own else eta[self._records.lot]
        return per_row + self._records.log_showing

    def _added(self, values: Floats) -> Floats:
        if self._own:
            return values
        return np.asarray(np.bincount(self._records.lot, values, minlength=self._lots), float)


class Model:
    """Records with an order of unknowns and the sparse maps between lots and unknowns.

    Parameters
    ----------
    records : Records
        What was seen.
    dense_below : int
        Number of unknowns below which the matrix is kept dense.
    """

    def __init__(self, records: Records, *, dense_below: int = DENSE_BELOW) -> None:
        self.records = records
        self.counts = Counts(records)
        self.offset = _expected(records)
        self.sizes = np.array([len(factor.levels) for factor in records.factors], np.int64)
        self.levels = int(self.sizes.sum())
        self.lay_out(ordering(records, dense_below=dense_below))

    def after(self, records: Records) -> Model:
        """Return the model of other looks at the same lots; the layout is kept."""
        other = copy(self)
        other.records, other.counts = records, Counts(records)
        other.offset = _expected(records)
        return other

    def given(self, offset: Floats) -> Model:
        """Return the model with a known part of each lot's linear predictor, shape (lots,)."""
        other = copy(self)
        other.offset = _expected(self.records) + offset
        return other

    def lay_out(self, order: Ordering) -> None:
        """Build the maps between lots, unknowns and the matrix."""
        self.order, records, shape = order, self.records, order.shape
        unknown, times = meetings(records)
        lots, width = unknown.shape
        stands = np.where(unknown >= 0, self.order.number[unknown], 0)  # factor 0 where missing
        self.unknown, self._times = unknown, times
        self.meets = _by_lot(times, stands, shape.unknowns)
        self._meets_squared = _by_lot(times * times, stands, shape.unknowns)
        self.pairs = [(one, other) for one in range(width) for other in range(one, width)]
        self.pair_places = np.empty((lots, len(self.pairs)), np.int32)
        product = np.empty(self.pair_places.shape)
        for at, (one, other) in enumerate(self.pairs):
            self.pair_places[:, at] = shape.places(stands[:, one], stands[:, other])
            product[:, at] = times[:, one] * times[:, other]
        self._pairs = _by_lot(product, self.pair_places, shape.room)
        everyone = np.arange(shape.unknowns)
        self.diagonal = shape.places(everyone, everyone)

    def precision(self, scales: Scales, fixed: float) -> Floats:
        """Return the prior precision of every place in the matrix, shape (room for unknowns,)."""
        natural = np.full(len(self.order.number), fixed)
        natural[: self.levels] = np.repeat(scales.levels**-2.0, self.sizes)
        return self.placed(natural, empty=1.0)

    def placed(self, natural: Floats, empty: float = 0.0) -> Floats:
        """Return values of the unknowns in the order of the matrix."""
        inside = np.full(self.order.shape.unknowns, empty)
        inside[self.order.number] = natural
        return inside

    def natural(self, inside: Floats) -> Floats:
        """Return values in the order of the matrix as levels factor by factor, then fixed."""
        return inside[self.order.number]

    def eta(self, v: Floats) -> Floats:
        """Return each lot's linear predictor, shape (lots,)."""
        return self.meets @ v + self.offset

    def curvature(self, weight: Floats, precision: Floats) -> Floats:
        """Return the flat matrix ``A' diag(weight) A + diag(precision)``."""
        flat: Floats = self._pairs.T @ weight
        flat[self.diagonal] += precision
        return flat

    def leverage(self, inverse: Floats) -> Floats:
        """Return ``a' H^-1 a`` of every lot, shape (lots,)."""
        crossed = 2.0 * (self._pairs @ inverse)
        return np.asarray(crossed - self._meets_squared @ inverse[self.diagonal])

    def ties(self, inverse: Floats) -> Floats:
        """Return each lot's covariance of ``a'v`` with the unknowns it meets, (lots, width)."""
        found = np.zeros(self._times.shape)
        for at, (one, other) in enumerate(self.pairs):
            entry = inverse[self.pair_places[:, at]]
            found[:, one] += entry * self._times[:, other]
            if one != other:
                found[:, other] += entry * self._times[:, one]
        return found

    def by_factor(self, natural: Floats) -> Floats:
        """Return sums over the levels of each factor, shape (factors,)."""
        if not len(self.sizes):
            return np.zeros(0)
        index = np.repeat(np.arange(len(self.sizes)), self.sizes)
        sums = np.bincount(index, natural[: self.levels], minlength=len(self.sizes))
        return np.asarray(sums, float)


def _by_lot(values: Floats, stands: Places, columns: int) -> csr_array:
    """Return a sparse matrix with a row of equally many values for each lot."""
    lots, width = values.shape
    starts = np.arange(lots + 1, dtype=np.int32) * np.int32(width)
    indices = stands.astype(np.int32, copy=False).ravel()
    return csr_array((values.ravel(), indices, starts), (lots, columns))


def _expected(records: Records) -> Floats:
    """Return the sum of what is expected of each lot's levels, shape (lots,)."""
    total = np.zeros(records.lots)
    for factor in records.factors:
        if factor.expected is not None and len(factor.levels):
            index: Ints = factor.of_lot
            total += np.where(index >= 0, factor.expected[index], 0.0)
    return total
