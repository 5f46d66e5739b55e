"""What more a plan takes than another: hours, cooks, substrate, units, places."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass

from pinset.chain.register import FarmBook
from pinset.planning.plan import Plan
from pinset.planning.problem import Problem
from pinset.planning.recipes import Making

GRAMS_PER_KG = 1000.0
HOUR = 60.0


@dataclass(frozen=True, slots=True)
class Cost:
    """What a promise takes over the days that are judged, beyond what the farm does anyway."""

    days: int
    bench_hours: float = 0.0
    hands_hours: float = 0.0  # with picking, without the bench
    cooks: float = 0.0
    substrate_kg: float = 0.0  # wet, of every mix and vessel
    started: tuple[tuple[str, float], ...] = ()  # variety and step, units
    bought_cents: int = 0  # spawn
    room_places: float = 0.0  # most that stand in grow rooms at once, beyond before

    @property
    def weeks(self) -> float:
        """Over how many weeks it is counted."""
        return self.days / 7.0


def cost_between(book: FarmBook, problem: Problem, before: Plan, after: Plan, days: int) -> Cost:
    """Return what a plan takes more than another of the same farm.

    Parameters
    ----------
    book, problem : FarmBook, Problem
        The farm; its steps say what a unit holds and what it costs.
    before, after : Plan
        Without the promise and with it.
    days : int
        Starts, cooks and picks of so many days count.
    """
    one, other = (_totals(book, problem, plan, days) for plan in (before, after))
    return Cost(
        days,
        bench_hours=(other.bench - one.bench) / HOUR,
        hands_hours=(other.hands - one.hands) / HOUR,
        cooks=other.cooks - one.cooks,
        substrate_kg=(other.grams - one.grams) / GRAMS_PER_KG,
        started=tuple(
            (f"{variety} {step}", units - one.started.get((variety, step), 0.0))
            for (variety, step), units in sorted(other.started.items())
            if abs(units - one.started.get((variety, step), 0.0)) >= 0.5  # noqa: PLR2004  (of a unit)
        ),
        bought_cents=round(other.cents - one.cents),
        room_places=max(
            (
                other.places.get(day, 0.0) - one.places.get(day, 0.0)
                for day in {*one.places, *other.places}
            ),
            default=0.0,
        ),
    )


class _Totals:
    def __init__(self) -> None:
        self.bench = self.hands = self.cooks = self.grams = self.cents = 0.0
        self.started: dict[tuple[str, str], float] = defaultdict(float)
        self.places: dict[int, float] = defaultdict(float)


def _totals(book: FarmBook, problem: Problem, plan: Plan, days: int) -> _Totals:
    found = _Totals()
    fills = _fills(book)
    for start in plan.starts:
        recipe = problem.recipe(start.variety)
        making = recipe.making(start.step) if recipe is not None else None
        if making is None or (start.day - plan.start).days >= days:
            continue
        found.started[start.variety, start.step] += start.count
        grams, cents = fills.get((start.variety, start.step), (0.0, 0.0))
        found.grams += start.count * grams
        found.cents += start.count * cents if making.is_purchase else 0.0
        found.bench += start.count * making.bench_minutes
        found.hands += start.count * _hands(making)
    minutes = {
        (each.code, option.kind): option.hands_minutes
        for each in problem.resources.sterilisers
        for option in each.cooks
    }
    for cook in plan.cooks:
        if (cook.day - plan.start).days < days:
            found.cooks += cook.cooks
            found.hands += cook.cooks * minutes.get((cook.steriliser, cook.kind), 0.0)
    for move in plan.moves:
        recipe = problem.recipe(move.variety)
        fruiting = recipe.fruiting if recipe is not None else None
        day = (move.day - plan.start).days
        if fruiting is None or move.step != fruiting.step or day >= days:
            continue
        kilograms = move.count * fruiting.grams / GRAMS_PER_KG
        found.hands += move.count * fruiting.hands_minutes
        found.hands += kilograms * fruiting.pick_minutes_per_kg
        for later in range(day, min(days, day + fruiting.room_days_on(day))):
            found.places[later] += move.count * fruiting.places
    return found


def _hands(making: Making) -> float:
    return making.hands_minutes + sum(p.minutes_per_unit for p in making.preparations)


def _fills(book: FarmBook) -> dict[tuple[str, str], tuple[float, float]]:
    """Return grams of filling and cents of price of a unit, by variety and step."""
    routes = {route.code: route for route in book.routes}
    return {
        (variety.code, step.code): (float(step.fill_g), float(step.price_cents))
        for variety in book.varieties
        if variety.route in routes
        for step in routes[variety.route].steps
    }
