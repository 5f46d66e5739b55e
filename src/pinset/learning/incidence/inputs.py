"""What a fit reads: looks at lots, and what each lot was made of, by and with.

A **row** is one interval between looks at one lot: so many vessels still clean at its start, so
many newly contaminated at its end, and the share of all showing that falls into the interval. All
rows of a lot share its levels (one cook, one session, ...) and its own clumping.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from pinset.errors import InputError
from pinset.learning.incidence.links import Floats, Ints, Link

LEAST_SHOWING = 0.001
"""Rows with a smaller share of showing say nothing and are left out; assumed, no source."""

_ROUNDING = 1e-9


@dataclass(frozen=True, slots=True, eq=False)
class Factor:
    """One kind of suspect (cook, parent spawn, line, session, ...) and its level for each lot.

    ``of_lot`` has shape (lots,): an index into ``levels``, -1 where none is known or applies.
    ``expected`` has shape (levels,): where each level's effect is centred before any count is read
    (by physics, say) [log rate, or log odds]; without it all are centred on 0.
    """

    name: str
    levels: tuple[str, ...]
    of_lot: Ints
    expected: Floats | None = None


FIXED_SD = 10.0
"""Of the prior of fixed effects on the log scale, where nothing is known; common practice."""


@dataclass(frozen=True, slots=True, eq=False)
class Records:
    """Checked input of a fit; made by :func:`records`.

    ``lot``, ``lost``, ``risk`` and ``log_showing`` have shape (rows,); ``made_day`` shape (lots,),
    in days from any origin; ``design`` shape (lots, columns). Rows that say nothing are gone:
    ``left_out`` counts them, ``lost_left_out`` the contaminated vessels in them.
    """

    lot: Ints
    lost: Floats
    risk: Floats
    log_showing: Floats
    made_day: Floats
    factors: tuple[Factor, ...]
    design: Floats
    columns: tuple[str, ...]
    link: Link
    fixed_sd: float = FIXED_SD
    left_out: int = 0
    lost_left_out: int = 0

    @property
    def lots(self) -> int:
        """Return how many lots there are, those that no row tells of included."""
        return len(self.made_day)

    def has_lots_of(self, other: Records) -> bool:
        """Return whether the lots, their levels and their fixed effects are those of another."""
        return (
            self.columns == other.columns
            and np.array_equal(self.made_day, other.made_day)
            and np.array_equal(self.design, other.design)
            and len(self.factors) == len(other.factors)
            and all(
                one.name == two.name
                and one.levels == two.levels
                and np.array_equal(one.of_lot, two.of_lot)
                for one, two in zip(self.factors, other.factors, strict=True)
            )
        )


def records(
    *,
    lost: ArrayLike,
    risk: ArrayLike,
    factors: Sequence[Factor],
    log_showing: ArrayLike | None = None,
    lot: ArrayLike | None = None,
    made_day: ArrayLike | None = None,
    design: ArrayLike | None = None,
    columns: Sequence[str] = (),
    link: Link = Link.CLOGLOG,
    fixed_sd: float = FIXED_SD,
) -> Records:
    """Return the input of a fit, checked, without the rows that say nothing.

    Parameters
    ----------
    lost, risk : array_like, shape (rows,)
        Vessels newly seen contaminated, of vessels at risk; whole, ``0 <= lost <= risk``.
    factors : sequence of Factor
        The suspects.
    log_showing : array_like, shape (rows,), optional
        ``log(F(end) - F(start))`` of the delay until contamination shows; at most 0, ``-inf`` for
        a look too early to see anything. Without it lots count as read out. Complementary log-log
        only.
    lot : array_like, shape (rows,), optional
        Which lot a row tells of; by default each row is a lot of its own.
    made_day : array_like, shape (lots,), optional
        When each lot was made, from any origin; lots count as made in their order without it. [d]
    design : array_like, shape (lots, columns), optional
        Fixed effects; a column of ones by default.
    columns : sequence of str
        Their names.
    link : Link
        Complementary log-log unless all lots are read out.
    fixed_sd : float
        Standard deviation of the prior of fixed effects, above 0. [log rate]

    Raises
    ------
    InputError
        If sizes differ, or a value is not a number, not whole or out of its range.
    """
    k, n = _whole("lost", lost), _whole("risk", risk)
    rows = len(k)
    if len(n) != rows:
        raise InputError("risk", f"{len(n)} rows", f"one for each of {rows} rows of lost")
    if rows and (k > n).any():
        at = int(np.argmax(k > n))
        raise InputError("lost", f"{k[at]:g} of {n[at]:g} in row {at}", "no more than were at risk")
    given = np.zeros(rows) if log_showing is None else log_showing
    showing = _floats("log_showing", given, (rows,))
    if rows and (np.isnan(showing).any() or showing.max() > _ROUNDING):
        raise InputError("log_showing", float(showing.max()), "the logarithm of a share of 0 to 1")
    if link is Link.LOGIT and showing.any():
        raise InputError("log_showing", "a delay", "none with the logit link", "Use cloglog.")

    of_lot = np.arange(rows) if lot is None else _whole("lot", lot).astype(np.int64)
    lots = _count_of_lots(of_lot, made_day, design)
    if len(of_lot) != rows or (rows and not 0 <= of_lot.min() <= of_lot.max() < lots):
        raise InputError("lot", f"{len(of_lot)} rows", f"an index below {lots} for each row")
    days = np.arange(float(lots)) if made_day is None else _floats("made_day", made_day, (lots,))
    if not np.isfinite(days).all():
        raise InputError("made_day", "a day that is not a number", "a finite number of days")
    fixed, names = _fixed(design, columns, lots)
    for factor in factors:
        _check(factor, lots)

    says = (n > 0.0) & (showing >= np.log(LEAST_SHOWING))
    return Records(
        lot=of_lot[says], lost=k[says], risk=n[says], log_showing=np.minimum(showing[says], 0.0),
        made_day=days, factors=tuple(factors), design=fixed, columns=names, link=link,
        fixed_sd=fixed_sd,
        left_out=int(rows - says.sum()), lost_left_out=int(k[~says].sum()),
    )  # fmt: skip


def _fixed(
    design: ArrayLike | None, columns: Sequence[str], lots: int
) -> tuple[Floats, tuple[str, ...]]:
    """Return the fixed effects, checked, and their names."""
    if design is None:
        return np.ones((lots, 1)), ("overall",)
    fixed = _floats("design", design, (lots, len(columns)))
    if not np.isfinite(fixed).all():
        raise InputError("design", "a value that is not a number", "finite numbers")
    return fixed, tuple(columns)


def _check(factor: Factor, lots: int) -> None:
    """Refuse a factor whose levels do not fit the lots."""
    index, levels = np.asarray(factor.of_lot), len(factor.levels)
    fits = index.shape == (lots,) and np.issubdtype(index.dtype, np.integer)
    if not fits or (lots and not -1 <= index.min() <= index.max() < levels):
        raise InputError(
            f"levels of {factor.name}",
            f"{index.dtype} of shape {index.shape}",
            f"an index from -1 to {levels - 1} for each of {lots} lots",
        )
    if len(set(factor.levels)) != levels:
        raise InputError(f"levels of {factor.name}", "a name twice", "names that differ")
    if factor.expected is not None:
        expected = _floats(f"expected of {factor.name}", factor.expected, (levels,))
        if not np.isfinite(expected).all():
            raise InputError(f"expected of {factor.name}", "not a number", "finite numbers")


def _count_of_lots(lot: Ints, made_day: ArrayLike | None, design: ArrayLike | None) -> int:
    """Return how many lots are spoken of."""
    for told in (made_day, design):
        if told is not None:
            return len(np.asarray(told))
    return int(lot.max()) + 1 if len(lot) else 0


def _whole(name: str, values: ArrayLike) -> Floats:
    """Return counts as floats; refuse what is not a count."""
    array = np.asarray(values, float)
    if array.ndim != 1:
        raise InputError(name, f"shape {array.shape}", "one count for each row")
    bad = ~np.isfinite(array) | (array < 0.0) | (array != np.floor(array))
    if bad.any():
        at = int(np.argmax(bad))
        raise InputError(name, f"{array[at]} in row {at}", "a whole number, 0 or more")
    return array


def _floats(name: str, values: ArrayLike, shape: tuple[int, ...]) -> Floats:
    """Return an array of floats; refuse another shape."""
    array = np.asarray(values, float)
    if array.shape != shape:
        raise InputError(name, f"shape {array.shape}", f"shape {shape}")
    return array
