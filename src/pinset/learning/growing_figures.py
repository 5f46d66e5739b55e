"""The own figure of a step in which units grow: the share that is lost."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from math import sqrt

from pinset.chain.register import Step
from pinset.chain.spreads import variance
from pinset.learning import lot_shares
from pinset.learning.counted import Counted, left_after, lost_units
from pinset.learning.figures import Figure, Refusal, StepFigures, What
from pinset.learning.lot_values import FEWEST

Lots = Sequence[tuple[int, int]]
"""Units of each lot, and how many of them were lost."""


def growing_figures(variety: str, step: Step, base: Step, found: Counted) -> StepFigures:
    """Return the loss of a growing step.

    Parameters
    ----------
    variety : str
        Code.
    step : Step
        Of the route in force.
    base : Step
        The step before any of the farm's own figures were taken over: what the route says by
        itself.
    found : Counted
        The lots that count.
    """
    lots = [(spell.units, lost_units(spell, step)) for spell in found.spells]
    empty = Figure(variety, step.code, What.LOSS, "fraction", step.loss.mean)
    figure = lost_figure(empty, lots, base.loss.mean, sqrt(variance(base.loss)))
    return StepFigures(variety, step.code, (figure,), found.left_out, left_after(found.spells))


def lost_figure(empty: Figure, lots: Lots, mean: float, sd: float) -> Figure:
    """Return a figure of a share lost, filled from lots and the route's mean and spread."""
    units, lost = sum(each for each, _ in lots), sum(each for _, each in lots)
    known = replace(empty, lots=len(lots), units=units, own=lost / units if units else None)
    if not lots:
        return replace(known, refusal=Refusal.NO_LOTS)
    if len(lots) < FEWEST:
        return replace(known, refusal=Refusal.ONE_LOT)
    alone = lot_shares.alone(lots, lot_shares.correlation_of(mean, sd))
    known = replace(known, own=alone.mean, low=alone.low, high=alone.high)
    if lost == units:
        return replace(known, refusal=Refusal.ALL_LOST)
    both = lot_shares.together(lots, mean, sd)
    return replace(
        known,
        planned=both.mean,
        planned_low=both.low,
        planned_high=both.high,
        planned_spread=both.sd,
        weight=both.weight,
    )
