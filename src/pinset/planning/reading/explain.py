"""Why a start or a move is in the plan, in one sentence a grower would say."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date

from pinset.chain.stages import Stage, noun_of, units_in_words
from pinset.planning.problem import Order, Problem
from pinset.planning.reading.pegging import NOTHING, Key, Service, Use
from pinset.planning.recipes import Making, Recipe
from pinset.units import POUND_KG

SOON_DAYS = 7  # parents that expire within so many days are named
NAMED_LOTS = 3
ONE, TEN = 0.995, 9.95  # what is shown as 1 kg (or lb) and 10 kg after rounding
OUNCES = 16  # in a pound
TRACE = 0.02  # of the largest amount served; less is no reason
WORTH_NAMING = 0.25  # of the largest: the soonest order that is a reason by itself


def day_in_words(day: date) -> str:
    """Return a date as ``20 May``."""
    return f"{day.day} {day:%B}"


def weight_in_words(grams: float, system: str = "metric") -> str:
    """Return a weight as ``35 kg``, ``2.4 kg`` or ``350 g``; with ``us`` in pounds or ounces."""
    kg = grams / 1000.0
    large, unit = (kg / POUND_KG, "lb") if system == "us" else (kg, "kg")
    if large < ONE:
        small, unit = (large * OUNCES, "oz") if system == "us" else (grams, "g")
        return f"{max(1, round(small))} {unit}"
    return f"{large:.0f} {unit}" if large >= TEN else f"{large:.1f}".removesuffix(".0") + f" {unit}"


def noun_for(making: Making, count: int) -> str:
    """Return what a grower calls that many units of a step; spawn that is bought comes in bags."""
    return noun_of(making.stage, count, is_bought=making.is_purchase)


def units_for(making: Making, count: int) -> str:
    """Return a count of units of a step with its noun: ``3 spawn bags``."""
    return f"{count} {noun_for(making, count)}"


def soonest(service: Service, share: float = TRACE) -> list[tuple[Key, float]]:
    """Return what is served, soonest first, without what is less than a share of the largest.

    Grams and units are measured each by their own largest.
    """
    largest = {True: 0.0, False: 0.0}
    for key, amount in service.feeds.items():
        is_weight = key[1] == "picked"
        largest[is_weight] = max(largest[is_weight], amount)
    fed = sorted(service.feeds.items(), key=lambda item: (item[0][2], item[0][3], item[0][1]))
    return [
        (key, amount)
        for key, amount in fed
        if amount > max(NOTHING, share * largest[key[1] == "picked"])
    ]


def orders_of(problem: Problem, key: Key) -> list[Order]:
    """Return the promises that are alike: of one variety and step, packed and due together."""
    r, step, day, due = key
    variety = problem.recipes[r].variety
    return [
        order
        for order in problem.orders
        if order.day == day  # most are of other days
        and (order.variety, order.step, order.due) == (variety, step, due)
    ]


def promises_served(problem: Problem, service: Service) -> tuple[str, ...]:
    """Return the codes of the promises fed, soonest first, each once."""
    codes = [order.promise for key, _ in soonest(service) for order in orders_of(problem, key)]
    return tuple(dict.fromkeys(codes))


def why(problem: Problem, recipe: Recipe, service: Service, making: Making | None) -> str:
    """Return the reason for a start or a move."""
    fed = soonest(service)
    if not fed:
        return _why_kept(problem, recipe, making)
    key, amount = soonest(service, WORTH_NAMING)[0]
    place = fed.index((key, amount))
    others = len(fed) - 1
    orders = orders_of(problem, key)
    buyers = " and ".join(dict.fromkeys(order.words for order in orders))
    when = day_in_words(problem.date_of(orders[0].due if orders else key[3]))
    what = (
        f"{weight_in_words(amount, problem.units)} {recipe.name}"
        if key[1] == "picked"
        else f"{_units(recipe, key[1], amount)} of {recipe.name}"
    )
    sentence = f"Feeds {what} for {buyers} on {when}"
    if others:
        sentence += (
            f" and {others} {'other' if place else 'later'} order{'s' if others > 1 else ''}"
        )
    return f"{sentence}."


def _units(recipe: Recipe, step: str, amount: float) -> str:
    making = recipe.making(step)
    count = max(1, round(amount))
    return units_for(making, count) if making else units_in_words(Stage.BLOCK, count)


def _why_kept(problem: Problem, recipe: Recipe, making: Making | None) -> str:
    if making is not None and making.culture_stock > 0:
        noun = noun_for(making, 1)
        return f"Keeps a usable {noun} of {recipe.name} in hand, so that its chain does not break."
    end = day_in_words(problem.date_of(recipe.days))
    return f"Keeps the chain of {recipe.name} filled beyond {end}."


def spoils(problem: Problem, uses: Iterable[Use]) -> str:
    """Return what is lost if a start is left undone: its living parents that expire soon."""
    said = []
    for use in uses:
        for batch, _ in use.taken:
            if batch.lot and batch.last_day - use.day <= SOON_DAYS:
                said.append((batch.last_day, batch.lot))
    if not said:
        return ""
    last = min(day for day, _ in said)
    lots = list(dict.fromkeys(lot for day, lot in sorted(said) if day == last))
    named = ", ".join(lots[:NAMED_LOTS]) + (" and others" if len(lots) > NAMED_LOTS else "")
    keep = "keeps" if len(lots) == 1 else "keep"
    return f"{named} {keep} until {problem.date_of(last):%A} {day_in_words(problem.date_of(last))}."
