"""What chance decides, beside a problem's expected numbers: days, losses, yields, lot by lot.

A problem plans with one number for each; here is the distribution behind it, from the same routes.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import date

from pinset.chain.living import LivingLot
from pinset.chain.readiness import ready_on
from pinset.chain.register import FarmBook, Route, Spread, Step, StepKind, Variety
from pinset.chain.season_days import days_from
from pinset.planning.building.step_numbers import DEFAULT_SAFETY, curve_of, groups, making_code
from pinset.planning.recipes import Picking


@dataclass(frozen=True, slots=True)
class Phase:
    """One step of growing: the days it takes, and the fraction of a lot that is lost in it."""

    days: Spread
    loss: Spread


@dataclass(frozen=True, slots=True)
class Bearing:
    """How units bear in a grow room."""

    days: Spread  # from room entry to the first pick
    gaps: tuple[Spread, ...]  # before each flush but the first
    curve: tuple[Picking, ...]  # expected saleable grams of one unit by day after room entry
    spread: float  # standard deviation of the logarithm of one lot's yield


@dataclass(frozen=True, slots=True)
class VarietyOdds:
    """The chances of one variety's route."""

    phases: Mapping[str, tuple[Phase, ...]]  # by making: its own growing, then ripening
    bearing: Bearing | None = None


@dataclass(frozen=True, slots=True)
class Growing:
    """A living lot that is still growing, or ripening."""

    age_days: float  # since its present step began
    now: Phase
    loss_left: float  # share of the present step's loss that is still to come
    later: tuple[Phase, ...] = ()
    is_judged: bool = False  # a person said when it is ready


@dataclass(frozen=True, slots=True)
class Odds:
    """The chances of a whole farm."""

    varieties: Mapping[str, VarietyOdds] = field(default_factory=dict)
    growing: Mapping[str, Growing] = field(default_factory=dict)  # by lot; others are ready


def odds_of(book: FarmBook, living: Iterable[LivingLot], today: date) -> Odds:
    """Return the chances of a farm.

    Parameters
    ----------
    book : FarmBook
        The farm and its routes.
    living : iterable of LivingLot
        What is alive.
    today : date
        Day 0 of the problem they go with.
    """
    routes = {route.code: route for route in book.routes}
    varieties = {
        variety.code: _of_variety(variety, routes[variety.route])
        for variety in book.varieties
        if variety.route in routes
    }
    growing: dict[str, Growing] = {}
    for lot in living:
        step = next((each for each in lot.route.steps if each.code == lot.step), None)
        if step is None:
            continue
        age = float((today - lot.step_since).days)
        if step.kind is StepKind.FRUIT:
            continue
        if (found := _growing(lot, step, age, today)) is not None:
            growing[lot.code] = found
    return Odds(varieties, growing)


def _of_variety(variety: Variety, route: Route) -> VarietyOdds:
    phases = {
        first.code: tuple(Phase(step.days, step.loss) for step in (first, *stands))
        for first, stands in groups(route)
    }
    fruit = next((step for step in route.steps if step.kind is StepKind.FRUIT), None)
    if fruit is None:
        return VarietyOdds(phases)
    gaps = tuple(flush.gap_days for flush in fruit.flushes[1:])
    curve = curve_of(fruit, variety, DEFAULT_SAFETY)
    return VarietyOdds(phases, Bearing(fruit.days, gaps, curve, fruit.yield_spread))


def _growing(lot: LivingLot, step: Step, age: float, today: date) -> Growing | None:
    """Return what is still to come of a lot; None where nothing is."""
    made = making_code(lot.route, lot.step)
    steps = next(
        ((first, *stands) for first, stands in groups(lot.route) if first.code == made), ()
    )
    codes = [each.code for each in steps]
    ready = ready_on(lot)
    left = (ready.p50 - today).days
    begins = max(today, ready.p50)
    later = tuple(Phase(days_from(s, begins), s.loss) for s in steps[codes.index(step.code) + 1 :])
    if left <= 0 and not later:
        return None
    share = min(1.0, max(0.0, left / max(1.0, left + age)))
    now = Phase(days_from(step, lot.step_since), step.loss)
    return Growing(age, now, share, later, is_judged=ready.judged)
