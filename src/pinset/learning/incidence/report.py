"""What a fit says of each suspect, and which suspects it cannot tell apart.

Three questions stay apart: which level is bad (``raised``), which costs most (``excess``), and how
much has been learnt of it at all (``learnt``, ``too_few_lots``). None of them is a verdict.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from scipy.special import ndtr, ndtri

from pinset.learning.incidence.fit import Fit, effects
from pinset.learning.incidence.links import Floats, Ints
from pinset.learning.incidence.rates import Outlook, expected_lost, lots_themselves

RAISED = 1.5
"""A level counts as raised from this rate ratio on; common practice, no source."""

RANGE = 0.95
"""Share of farms whose true effect lies in the range that is shown."""

FEWEST_LOTS = 3
"""With fewer lots nothing is said of a level; assumed, no source."""

LEAST_LEARNT = 0.2
"""Less of the variance between levels taken away says too little; assumed, no source."""

CONFUSED = -0.7
"""Two levels whose effects go together more negatively cannot be told apart; common practice."""


@dataclass(frozen=True, slots=True)
class Suspect:
    """One level of one factor.

    ``mean`` and ``sd`` of its effect [log rate, or log odds], ``expected`` of it before any count;
    ``ratio`` of rates (or odds) with its 95 % range; lots, vessels and lost behind it; ``raised``,
    the chance that the ratio is above 1.5; ``excess`` contaminated vessels it is expected to have
    cost; ``learnt``, the share of the variance between levels its lots have taken away, 0 to 1.
    """

    factor: str
    level: str
    mean: float
    sd: float
    expected: float
    ratio: float
    low: float
    high: float
    lots: int
    vessels: int
    lost: int
    raised: float
    excess: float
    learnt: float
    too_few_lots: bool


@dataclass(frozen=True, slots=True)
class Confused:
    """Two levels that cannot be told apart, by how many lots they share, of how many each."""

    factor: str
    level: str
    other_factor: str
    other_level: str
    correlation: float
    shared_lots: int
    lots: int
    other_lots: int


def suspects(fit: Fit) -> tuple[Suspect, ...]:
    """Return every level, factor by factor, in the order of the levels."""
    data, model = fit.records, fit.model
    vessels = np.zeros(data.lots)
    np.maximum.at(vessels, data.lot, data.risk)
    told = (vessels > 0.0).astype(float)
    lost = np.asarray(np.bincount(data.lot, data.lost, minlength=data.lots), float)
    tail = float(ndtri((1.0 + RANGE) / 2.0))
    outlook = lots_themselves(fit)
    as_now = expected_lost(fit, outlook)
    ties = model.ties(fit.at.inverse) / fit.at.mode.lots.damped[:, None]
    found: list[Suspect] = []
    first = 0
    for at, factor in enumerate(data.factors):
        many = len(factor.levels)
        mean, sd = fit.mean[first : first + many], fit.sd[first : first + many]
        lots, of_vessels, of_lost = (
            _per_level(factor.of_lot, many, each) for each in (told, vessels, lost)
        )
        raised = ndtr((mean - np.log(RAISED)) / sd)
        learnt = np.maximum(1.0 - (sd / fit.scales.levels[at]) ** 2, 0.0)
        excess = _per_level(factor.of_lot, many, _excess(fit, outlook, as_now, at, ties[:, at]))
        centre = np.zeros(many) if factor.expected is None else factor.expected
        for n, level in enumerate(factor.levels):
            found.append(
                Suspect(
                    factor=factor.name, level=level, mean=float(mean[n]), sd=float(sd[n]),
                    expected=float(centre[n]), ratio=float(np.exp(mean[n])),
                    low=float(np.exp(mean[n] - tail * sd[n])),
                    high=float(np.exp(mean[n] + tail * sd[n])),
                    lots=int(lots[n]), vessels=int(of_vessels[n]), lost=int(of_lost[n]),
                    raised=float(raised[n]), excess=float(excess[n]), learnt=float(learnt[n]),
                    too_few_lots=bool(lots[n] < FEWEST_LOTS or learnt[n] < LEAST_LEARNT),
                )
            )  # fmt: skip
        first += many
    return tuple(found)


def confused(fit: Fit) -> tuple[Confused, ...]:
    """Return the pairs of levels that cannot be told apart, the most alike first."""
    data, model = fit.records, fit.model
    told = np.zeros(data.lots, bool)
    told[data.lot] = True
    names = [(f.name, level) for f in data.factors for level in f.levels]
    _, variance = effects(model, fit.at)
    lots = np.zeros(len(names), np.int64)  # behind each level
    for column in range(len(data.factors)):
        known = model.unknown[told, column]
        lots += np.bincount(known[known >= 0], minlength=len(names))
    found: list[Confused] = []
    for at, (one, other) in enumerate(model.pairs):
        if one == other or other >= len(data.factors):
            continue
        pair = model.unknown[:, [one, other]]
        met = told & (pair >= 0).all(axis=1)
        known, tie = pair[met], fit.at.inverse[model.pair_places[met, at]]
        alike = tie / np.sqrt(variance[known[:, 0]] * variance[known[:, 1]])
        bad = alike < CONFUSED
        each, index, shared = np.unique(
            known[bad], axis=0, return_index=True, return_counts=True
        )  # every lot of a pair tells the same correlation
        for (a, b), row, together in zip(each, index, shared, strict=True):
            found.append(
                Confused(
                    factor=names[a][0], level=names[a][1],
                    other_factor=names[b][0], other_level=names[b][1],
                    correlation=float(alike[bad][row]), shared_lots=int(together),
                    lots=int(lots[a]), other_lots=int(lots[b]),
                )
            )  # fmt: skip
    return tuple(sorted(found, key=lambda pair: pair.correlation))


def _excess(fit: Fit, outlook: Outlook, as_now: Floats, at: int, tie: Floats) -> Floats:
    """Return each lot's expected loss less that without its level of a factor, shape (lots,).

    ``tie`` is the covariance of the lot's linear predictor with the effect of the level.
    """
    data = fit.records
    level = fit.model.unknown[:, at]
    known = level >= 0
    means, variances = effects(fit.model, fit.at)
    mean = np.where(known, means[level], 0.0)
    variance = np.where(known, variances[level] - 2.0 * tie, 0.0)
    without = Outlook(outlook.mean - mean, outlook.variance + variance)
    rows = as_now - expected_lost(fit, without)
    return np.asarray(np.bincount(data.lot, rows, minlength=data.lots), float)


def _per_level(of_lot: Ints, levels: int, values: Floats) -> Floats:
    """Return sums of the lots' values by level, shape (levels,)."""
    known = of_lot >= 0
    sums = np.bincount(of_lot[known], np.asarray(values, float)[known], minlength=levels)
    return np.asarray(sums, float)
