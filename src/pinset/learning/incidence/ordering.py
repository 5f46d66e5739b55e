"""In which order the effects stand, and which of them go into the border.

A cook, a session or a spawn lot lives days or weeks: ordered by mid-time it meets only its
neighbours. What lives longer (a line, a person, a shelf) and the fixed effects meet everything.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from pinset.learning.incidence.arrow import Arrow
from pinset.learning.incidence.inputs import Records
from pinset.learning.incidence.links import Floats, Ints, Truths

DENSE_BELOW = 1200
"""With fewer unknowns the plain dense form is simplest and no slower."""

SPANS = (0.1, 0.05, 0.02, 0.01, 0.005)
"""Shares of the history above which a level goes into the border; the cheapest is taken."""

_LEAST_SIZE = 32  # smaller blocks spend their time between the calls


@dataclass(frozen=True, slots=True, eq=False)
class Ordering:
    """Where each unknown stands in the matrix.

    ``number`` has shape (unknowns of the model,): levels factor by factor, then fixed effects.
    """

    shape: Arrow
    number: Ints


def meetings(records: Records) -> tuple[Ints, Floats]:
    """Return the unknowns each lot meets and with what factor, both of shape (lots, width).

    Where a level is missing the unknown is -1 and the factor 0. Fixed effects come last.
    """
    columns: list[Ints] = []
    first = 0
    for factor in records.factors:
        index = factor.of_lot.astype(np.int64)
        columns.append(np.where(index < 0, -1, index + first))
        first += len(factor.levels)
    fixed = records.design.shape[1]
    unknown = np.empty((records.lots, len(columns) + fixed), np.int64)
    times = np.empty(unknown.shape)
    for at, column in enumerate(columns):
        unknown[:, at] = column
        times[:, at] = column >= 0
    unknown[:, len(columns) :] = first + np.arange(fixed)
    times[:, len(columns) :] = records.design
    return unknown, times


def lives(records: Records) -> tuple[Floats, Floats]:
    """Return mid-time and span of every level, factor by factor.

    Shape (levels,), in days. A level without lots stands at the middle of the history.
    """
    days = records.made_day
    middle = float(days.min() + days.max()) / 2.0 if len(days) else 0.0
    mids, spans = [], []
    for factor in records.factors:
        known = factor.of_lot >= 0
        index, when = factor.of_lot[known], days[known]
        first, last = np.full(len(factor.levels), np.inf), np.full(len(factor.levels), -np.inf)
        np.minimum.at(first, index, when)
        np.maximum.at(last, index, when)
        met = last >= first
        first, last = np.where(met, first, middle), np.where(met, last, middle)
        mids.append((first + last) / 2.0)
        spans.append(last - first)
    none = np.zeros(0)
    return np.concatenate([*mids, none]), np.concatenate([*spans, none])


def ordering(records: Records, *, dense_below: int = DENSE_BELOW) -> Ordering:
    """Return the order that makes factoring cheapest."""
    mids, spans = lives(records)
    fixed = records.design.shape[1]
    unknowns = len(mids) + fixed
    dense = Ordering(Arrow(0, 0, unknowns), np.arange(unknowns))
    if unknowns < dense_below:
        return dense
    history = float(np.ptp(records.made_day)) if records.lots else 0.0
    met, _ = meetings(records)
    met = met[:, : len(records.factors)]
    best = dense
    for share in SPANS:
        candidate = _banded(mids, spans > share * history, met, fixed)
        if candidate.shape.work() < best.shape.work():
            best = candidate
    return best


def _banded(mids: Floats, wide: Truths, met: Ints, fixed: int) -> Ordering:
    """Return the order with these levels in the border."""
    levels = len(mids)
    local = np.flatnonzero(~wide)
    number = np.full(levels + fixed, -1, np.int64)
    number[local[np.argsort(mids[local], kind="stable")]] = np.arange(len(local))
    stands = np.where(met >= 0, number[met], -1)
    here = stands >= 0
    low = np.where(here, stands, levels).min(axis=1, initial=levels)
    high = np.where(here, stands, -1).max(axis=1, initial=-1)
    size = max(int((high - low).max(initial=0)), _LEAST_SIZE)
    blocks = -(-len(local) // size)
    others = np.flatnonzero(number < 0)
    number[others] = blocks * size + np.arange(len(others))
    return Ordering(Arrow(blocks, size, len(others)), number)
