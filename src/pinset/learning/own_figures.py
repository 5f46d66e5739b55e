"""What a farm's own records say of a route, step by step, and the route with it taken over."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from datetime import date
from math import exp, inf

from pinset.chain.register import Route, Spread, Step, StepKind
from pinset.chain.spells import Spell
from pinset.errors import InputError
from pinset.learning.bearing_figures import bearing_figures, taken_share
from pinset.learning.counted import counted
from pinset.learning.figures import Figure, StepFigures, What
from pinset.learning.growing_figures import growing_figures
from pinset.learning.triangles import triangle

Base = Callable[[str, What], Step]
"""Gives a step as the route had it before a figure of it was taken over from own records."""

_FRACTION, _DAYS, _GRAMS, _SPREAD = 4, 1, 1, 3
"""Decimals a route is written with."""


def own_figures(
    variety: str, route: Route, spells: Sequence[Spell], today: date, base: Base | None = None
) -> tuple[StepFigures, ...]:
    """Return the figures of every step of a variety's route.

    Parameters
    ----------
    variety : str
        Code.
    route : Route
        In force.
    spells : sequence of Spell
        Of the whole farm.
    today : date
        The farm's day.
    base : callable, optional
        Says what the route gave before own figures were taken over, so that no lot counts twice;
        without it the route in force is taken.
    """
    before = base or (lambda step, _what: route.step(step))
    return tuple(_figures(variety, route, spells, today, before))


def _figures(
    variety: str, route: Route, spells: Sequence[Spell], today: date, base: Base
) -> Iterator[StepFigures]:
    for step in route.steps:
        mine = [spell for spell in spells if (spell.variety, spell.step) == (variety, step.code)]
        found = counted(mine, step, today)
        if step.kind is StepKind.FRUIT:
            yield bearing_figures(variety, step, _fitting(step, base), found)
        else:
            yield growing_figures(variety, step, base(step.code, What.LOSS), found)


def _fitting(step: Step, base: Base) -> Callable[[What], Step]:
    """Return the base of a fruiting step's figures; other flushes than now are no base."""

    def of(what: What) -> Step:
        before = base(step.code, what)
        return before if len(before.flushes) == len(step.flushes) else step

    return of


def with_figures(route: Route, found: StepFigures, what: What, base: Base | None = None) -> Route:
    """Return the route with one figure of one step taken over, for all flushes it is given for.

    Parameters
    ----------
    route : Route
        In force.
    found : StepFigures
        Of the step.
    what : What
        Which figure.
    base : callable, optional
        As in :func:`own_figures`; the lean of its spreads is kept.

    Raises
    ------
    InputError
        If the records have nothing to plan with for it.
    """
    step = route.step(found.step)
    before = base(step.code, what) if base else step
    figures = [figure for figure in found.figures if figure.what is what]
    if not figures or any(figure.planned is None for figure in figures):
        raise InputError("figure", what.value, "one that the records have something to plan with")
    changed = _changed(step, before, what, figures)
    steps = tuple(changed if each.code == step.code else each for each in route.steps)
    return replace(route, steps=steps)


def _changed(step: Step, before: Step, what: What, figures: Sequence[Figure]) -> Step:
    first = figures[0]
    mean, sd = first.planned or 0.0, first.planned_spread or 0.0
    if what is What.LOSS:
        return replace(step, loss=_rounded(mean, sd, before.loss, _FRACTION, most=1.0))
    if what is What.DAYS:
        return replace(step, days=_rounded(mean, sd, before.days, _DAYS))
    if what is What.YIELD:
        mode = mean / taken_share(step) * exp(-sd * sd)
        return replace(step, yield_g=round(mode, _GRAMS), yield_spread=round(sd, _SPREAD))
    flushes = list(step.flushes)
    taken, lost = taken_share(step), 0.0
    for figure in figures:
        place, planned = figure.flush - 1, figure.planned or 0.0
        flush = flushes[place]
        if what is What.SHARES:
            flush = replace(flush, share=round(planned * taken, _FRACTION))
        elif what is What.GAPS:
            like = before.flushes[place].gap_days if place < len(before.flushes) else flush.gap_days
            gap = _rounded(planned, figure.planned_spread or 0.0, like, _DAYS)
            flush = replace(flush, gap_days=gap)
        else:
            lost = max(lost, round(planned, _FRACTION))  # counted from room entry: never falling
            flush = replace(flush, lost_before=lost)
        flushes[place] = flush
    return replace(step, flushes=tuple(flushes))


def _rounded(mean: float, sd: float, like: Spread, places: int, most: float = inf) -> Spread:
    found = triangle(mean, sd, like=like, most=most)
    low, mode, high = (round(each, places) for each in (found.low, found.mode, found.high))
    return Spread(low, max(low, mode), max(low, mode, high))
