"""The own figures of a fruiting step: first pick, yield, flush shares, gaps, blocks lost."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from math import exp, log, sqrt

from pinset.chain.register import Spread, Step
from pinset.chain.season_days import usual_days
from pinset.chain.spells import Spell
from pinset.chain.spreads import variance
from pinset.learning import lot_values
from pinset.learning.counted import Counted
from pinset.learning.figures import Figure, Refusal, StepFigures, What
from pinset.learning.growing_figures import lost_figure

HALF_A_DAY = 0.5
"""What is first picked on a day became ready since the day before: the middle of that is taken."""

LEAST_DAYS_SD = 0.5
"""Days are whole in the records, so lots differ by half a day at least [d]."""

USUAL_YIELD_SPREAD = 0.2
"""Standard deviation of the logarithm, for a route without one; common practice, no source."""

SHARE_SD = 0.25
"""How much a flush's share differs between lots, of the share itself; assumed, no source."""

_LEAST_SPREAD = 1e-6


def bearing_figures(
    variety: str, step: Step, base: Callable[[What], Step], found: Counted
) -> StepFigures:
    """Return the figures of a fruiting step.

    Parameters
    ----------
    variety : str
        Code.
    step : Step
        Of the route in force; its flushes are those that count.
    base : callable
        Gives for each figure the step before that figure was taken over from own records.
    found : Counted
        The lots that count.
    """
    lots = found.spells
    figures = (
        _days(variety, step, base(What.DAYS), lots),
        _yield(variety, step, base(What.YIELD), lots),
        *_shares(variety, step, base(What.SHARES), lots),
        *_gaps(variety, step, base(What.GAPS), lots),
        *_lost_before(variety, step, base(What.LOST_BEFORE), lots),
    )
    return StepFigures(variety, step.code, figures, found.left_out)


def taken_share(step: Step) -> float:
    """Return the share of the whole yield that the flushes taken bring."""
    return sum(flush.share for flush in step.flushes)


def _why_none(lots: Sequence[Spell], values: int) -> Refusal | None:
    if values >= lot_values.FEWEST:
        return None
    if values == 1:
        return Refusal.ONE_LOT
    if not lots:
        return Refusal.NO_LOTS
    return Refusal.NEVER_PICKED if any(spell.spent for spell in lots) else Refusal.ALL_LOST


def _filled(
    empty: Figure,
    values: Sequence[float],
    prior: tuple[float, float],
    lots: Sequence[Spell],
    scale: Callable[[float], float] = lambda value: value,
) -> Figure:
    """Return a figure filled from a value of each lot; ``scale`` says how it is shown."""
    known = replace(empty, lots=len(values), refusal=_why_none(lots, len(values)))
    if known.refusal is not None:
        return replace(known, own=scale(values[0]) if values else None)
    own = lot_values.alone(values)
    both = lot_values.together(values, *prior)
    return replace(
        known,
        own=scale(own.mean),
        low=scale(own.low),
        high=scale(own.high),
        spread=own.sd,
        spread_low=own.sd_low,
        spread_high=own.sd_high,
        planned=scale(both.mean),
        planned_low=scale(both.low),
        planned_high=scale(both.high),
        planned_spread=both.sd,
        weight=both.weight,
    )


def _days(variety: str, step: Step, base: Step, lots: Sequence[Spell]) -> Figure:
    picked = [spell for spell in lots if spell.flushes and spell.flushes[0].number == 1]
    values = [
        usual_days(step.days_by_month, s.since, s.flushes[0].first_on) - HALF_A_DAY for s in picked
    ]
    empty = Figure(
        variety,
        step.code,
        What.DAYS,
        "d",
        step.days.mean,
        units=sum(spell.units for spell in picked),
        route_spread=sqrt(variance(step.days)),
    )
    return _filled(empty, values, _prior_days(base.days), lots)


def _prior_days(days: Spread) -> tuple[float, float]:
    return days.mean, max(sqrt(variance(days)), LEAST_DAYS_SD)


def _yield(variety: str, step: Step, base: Step, lots: Sequence[Spell]) -> Figure:
    borne = [(spell, value) for spell in lots if (value := whole_yield(spell, step)) > 0.0]
    taken = taken_share(step)
    empty = Figure(
        variety,
        step.code,
        What.YIELD,
        "g",
        _middle(step) * taken,
        units=sum(spell.units for spell, _ in borne),
        route_spread=step.yield_spread,
    )
    spread = base.yield_spread or USUAL_YIELD_SPREAD
    prior = (log(_middle(base)), max(spread, _LEAST_SPREAD))
    values = [log(value) for _, value in borne]
    return _filled(empty, values, prior, lots, lambda value: exp(value) * taken)


def _middle(step: Step) -> float:
    """Return the yield of the middle lot; ``yield_g`` is the most likely one (the mode) [g]."""
    return step.yield_g * exp(step.yield_spread**2)


def whole_yield(spell: Spell, step: Step) -> float:
    """Return the whole yield of a standing unit of a lot, by the flushes that it could bear.

    A lot that was cleared could have borne all flushes of the route; of one that was lost before
    only those it was picked of count.
    """
    count = len(step.flushes)
    picked = [flush for flush in spell.flushes if flush.number <= count]
    if not picked:
        return 0.0
    last = count if spell.spent else picked[-1].number
    share = sum(flush.share for flush in step.flushes[:last])
    return sum(flush.grams_per_unit for flush in picked) / share if share > 0.0 else 0.0


def _by_flush(spell: Spell) -> dict[int, float]:
    return {flush.number: flush.grams_per_unit for flush in spell.flushes}


def _shares(variety: str, step: Step, base: Step, lots: Sequence[Spell]) -> Iterator[Figure]:
    count = len(step.flushes)
    if count < 2:  # noqa: PLR2004 - one flush has all of it
        return
    taken, before = taken_share(step), taken_share(base)
    whole = [spell for spell in lots if spell.spent and spell.flushes]
    for number, flush in enumerate(step.flushes, start=1):
        values = []
        for spell in whole:
            borne = _by_flush(spell)
            total = sum(borne.get(n, 0.0) for n in range(1, count + 1))
            if total > 0.0:
                values.append(borne.get(number, 0.0) / total)
        usual = base.flushes[number - 1].share / before
        empty = Figure(
            variety,
            step.code,
            What.SHARES,
            "fraction",
            flush.share / taken,
            flush=number,
            units=sum(spell.units for spell in whole),
        )
        # one width for all flushes, so that what is planned with adds up to the whole
        yield _filled(empty, values, (usual, SHARE_SD / count), lots)


def _gaps(variety: str, step: Step, base: Step, lots: Sequence[Spell]) -> Iterator[Figure]:
    for number, flush in enumerate(step.flushes[1:], start=2):
        values, units = [], 0
        for spell in lots:
            picked = {each.number: each for each in spell.flushes}
            if number in picked and number - 1 in picked:
                before, first = picked[number - 1].last_on, picked[number].first_on
                gap = usual_days(step.days_by_month, before, first)
                values.append(max(gap, 1) - HALF_A_DAY)
                units += spell.units
        empty = Figure(
            variety,
            step.code,
            What.GAPS,
            "d",
            flush.gap_days.mean,
            flush=number,
            units=units,
            route_spread=sqrt(variance(flush.gap_days)),
        )
        yield _filled(empty, values, _prior_days(base.flushes[number - 1].gap_days), lots)


def _lost_before(variety: str, step: Step, base: Step, lots: Sequence[Spell]) -> Iterator[Figure]:
    for number, flush in enumerate(step.flushes, start=1):
        counts = [(spell.units, _gone(spell, number)) for spell in lots]
        empty = Figure(
            variety, step.code, What.LOST_BEFORE, "fraction", flush.lost_before, flush=number
        )
        yield lost_figure(empty, counts, base.flushes[number - 1].lost_before, 0.0)


def _gone(spell: Spell, flush: int) -> int:
    """Return the units lost by the first pick of a flush; by the end, where it never came."""
    picked = next((each for each in spell.flushes if each.number >= flush), None)
    gone = picked.gone_before if picked else spell.lost + sum(units for _, units in spell.culled)
    return min(gone, spell.units)
