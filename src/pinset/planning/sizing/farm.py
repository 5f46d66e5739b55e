"""From a farm's book to the chains a sizing is reckoned on: one steady week of every variety."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from datetime import date
from math import isfinite

from pinset.chain.register import FarmBook, Route, StepKind
from pinset.errors import InputError
from pinset.planning.building.calendar import WorkDays
from pinset.planning.building.from_book import staffed
from pinset.planning.building.from_route import recipe_of
from pinset.planning.building.step_numbers import DEFAULT_SAFETY, making_code
from pinset.planning.model.cook_times import cooks_ready, days_waited
from pinset.planning.recipes import Recipe
from pinset.planning.sizing.chain import Flow, flow_of
from pinset.planning.sizing.records import PICKED, Wanted

A_MONDAY = date(2001, 1, 1)  # any will do: a steady week has no date
HORIZON_DAYS = 112
LONGEST_DAYS = 400
READY_DAYS = 28  # over which cooks are looked at: every weekday, several times
MOST_GRAMS = 1e9
MOST_UNITS = 1e7


@dataclass(frozen=True, slots=True)
class Chain:
    """A variety with what is wanted of it each week."""

    recipe: Recipe
    grams: float  # [g a week]
    units: Mapping[str, float]  # [units a week] by step of the making


@dataclass(frozen=True, slots=True)
class Chains:
    """The farm without its days off, and the chains that can be reckoned."""

    book: FarmBook
    working: frozenset[int]  # weekdays on which somebody works, Monday 0
    chains: tuple[Chain, ...]
    remarks: tuple[str, ...]

    def flows(self, factor: float = 1.0, *, is_whole: bool = True) -> tuple[Flow, ...]:
        """Return the steady week of every variety, with all that is wanted times a factor."""
        return tuple(
            flow_of(
                each.recipe,
                factor * each.grams,
                {step: factor * amount for step, amount in each.units.items()},
                self.working,
                is_whole=is_whole,
            )
            for each in self.chains
        )


def chains_of(book: FarmBook, wanted: Iterable[Wanted]) -> Chains:
    """Return what a sizing is reckoned on.

    Parameters
    ----------
    book : FarmBook
        The farm; its days off are left aside, its working weekdays are kept.
    wanted : iterable of Wanted
        Zero leaves a variety out.

    Returns
    -------
    Chains
        With remarks on varieties that cannot be reckoned, which are left out.

    Raises
    ------
    InputError
        If an amount is no number or negative, all are zero, a variety or a step is unknown, nobody
        works on any day, or nothing that is wanted can be reckoned.
    """
    book = staffed(replace(book, farm=replace(book.farm, days_off=()), outages=()))
    working = frozenset(day.number for day in book.farm.working_days)
    if not working:
        raise InputError("working days", "none", "at least one weekday on which somebody works")
    asked = [each for each in wanted if _checked(book, each) > 0.0]
    if not asked:
        raise InputError("amount", 0, "more than 0 of at least one variety")
    work = WorkDays.of(book.farm, A_MONDAY, LONGEST_DAYS)
    waits = days_waited(cooks_ready(book, WorkDays.of(book.farm, A_MONDAY, READY_DAYS)))
    routes = {route.code: _all_year(route) for route in book.routes}
    chains: list[Chain] = []
    remarks: list[str] = []
    turn = 0  # as the plan counts, so that steps without weekdays get the same ones
    for variety in book.varieties:
        route = routes.get(variety.route)
        is_asked = any(each.variety == variety.code for each in asked)
        if route is None or not route.steps:
            if is_asked:
                remarks.append(f"{variety.name} has no route, so it is left out.")
            continue
        if is_asked:
            recipe, said = recipe_of(
                book,
                variety,
                route,
                work=work,
                horizon_days=HORIZON_DAYS,
                longest=LONGEST_DAYS,
                turn=turn,
                late=frozenset(),
                safety=DEFAULT_SAFETY,
                keeps_rhythm=True,
                waits=waits,
            )
            chain = _chain(recipe, route, [e for e in asked if e.variety == variety.code])
            why_not = _why_not(chain, route)
            remarks += [*said, why_not] if why_not else said
            if not why_not:
                chains.append(chain)
        turn += 1
    if not chains:
        raise InputError(
            "what is wanted",
            ", ".join(dict.fromkeys(each.variety for each in asked)),
            "at least one variety whose route can be reckoned",
            " ".join(dict.fromkeys(remarks)),
        )
    return Chains(book, working, tuple(chains), tuple(dict.fromkeys(remarks)))


def _checked(book: FarmBook, wanted: Wanted) -> float:
    variety = next((each for each in book.varieties if each.code == wanted.variety), None)
    if variety is None:
        known = ", ".join(each.code for each in book.varieties) or "none: describe one first"
        raise InputError("variety", wanted.variety, known)
    most = MOST_GRAMS if wanted.step == PICKED else MOST_UNITS
    if not (isfinite(wanted.amount) and 0.0 <= wanted.amount <= most):
        what = f"0 to {most / 1000:.0f} kg a week" if wanted.step == PICKED else f"0 to {most:.0f}"
        shown = wanted.amount / 1000.0 if wanted.step == PICKED else wanted.amount
        raise InputError(variety.name, f"{shown:g}", what)
    route = next((each for each in book.routes if each.code == variety.route), None)
    if wanted.step != PICKED and route is not None and making_code(route, wanted.step) is None:
        made = ", ".join(
            each.code for each in route.steps if each.kind in {StepKind.TRANSFER, StepKind.BUY}
        )
        raise InputError("step", wanted.step, made or "none: the route makes no units")
    return wanted.amount


def _chain(recipe: Recipe, route: Route, asked: list[Wanted]) -> Chain:
    grams = sum(each.amount for each in asked if each.step == PICKED)
    units: dict[str, float] = {}
    for each in asked:
        if each.step != PICKED:
            code = making_code(route, each.step) or each.step
            units[code] = units.get(code, 0.0) + each.amount
    return Chain(recipe, grams, units)


def _why_not(chain: Chain, route: Route) -> str:
    """Return why a variety cannot be reckoned; empty if it can."""
    recipe = chain.recipe
    name = recipe.name
    if chain.grams > 0.0 and (recipe.fruiting is None or not recipe.makings):
        return f"{name} is wanted by weight, and its route ends in no grow room; it is left out."
    if chain.grams > 0.0 and recipe.fruiting is not None and recipe.fruiting.grams <= 0.0:
        return f"The route of {name} gives no yield, so {name} is left out."
    for making in recipe.makings:
        if making.usable <= 0.0:
            return f"By its route all {making.step} of {name} are lost, so {name} is left out."
        if not making.arcs and not making.is_purchase and route.step(making.step).parents:
            return f"{making.step} of {name} has no parent in its route, so {name} is left out."
    return ""


def _all_year(route: Route) -> Route:
    """Return a route with its usual days: a steady week belongs to no month."""
    return replace(route, steps=tuple(replace(step, days_by_month=()) for step in route.steps))
