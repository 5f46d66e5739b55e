"""What a plan expects to be picked beyond its promises, picking by picking, and where it goes."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from enum import StrEnum

from pinset.planning.plan import Plan
from pinset.planning.problem import IN_STORE, Problem

PICKED = "picked"
LEAST_GRAMS = 1.0
"""Less of a picking is a rounding. [g]"""


@dataclass(frozen=True, slots=True)
class Crop:
    """Mushrooms of one variety, picked on one day. Days count from the problem's."""

    variety: str
    day: int  # of the picking; IN_STORE: before today
    last_day: int  # on which they can be handed over
    grams: float


class WhyLeft(StrEnum):
    """Why no outlet takes a part of what is left over."""

    NOBODY = "nobody"  # takes the variety
    CLOSED = "closed"  # nobody that takes it is open while it keeps
    LEAST = "least"  # it is less than the least of those that are open
    FULL = "full"  # those that are open are given their most


@dataclass(frozen=True, slots=True)
class OutletShare:
    """What an outlet is to get of a variety on a day."""

    outlet: str
    day: date
    variety: str
    grams: float
    cents: float  # what that brings, in hundredths of the farm's currency


@dataclass(frozen=True, slots=True)
class NotTaken:
    """What of a variety no outlet takes, by the last day it can be handed over."""

    variety: str
    last_day: date
    grams: float
    why: WhyLeft


@dataclass(frozen=True, slots=True)
class SurplusPlan:
    """Where all goes that a plan expects beyond its promises."""

    shares: tuple[OutletShare, ...] = ()
    not_taken: tuple[NotTaken, ...] = ()
    gap: float = 0.0  # how far the money may be from the most there is, a fraction


def left_of_promises(problem: Problem, plan: Plan) -> tuple[Crop, ...]:
    """Return what is left of each picking once promises are served, what keeps shortest first.

    Promises are served as everywhere: what is due first, from the oldest that is still good, so
    none of them waits for a picking to come while something lies there. What keeps beyond the last
    day for which promises are known is left out: a promise may still want it.

    Parameters
    ----------
    problem : Problem
        With what lies in the store, and its orders.
    plan : Plan
        Made for it, with the picks it expects.
    """
    lying: dict[str, list[list[float]]] = {recipe.variety: [] for recipe in problem.recipes}
    keeps = {recipe.variety: recipe.picked_keeps_days for recipe in problem.recipes}
    for each in problem.store:
        if each.variety in lying:
            lying[each.variety].append([IN_STORE, each.last_day, each.grams])
    for pick in plan.picks:
        day = (pick.day - problem.start).days
        if pick.variety in lying and day >= 0:
            lying[pick.variety].append([day, day + keeps[pick.variety], pick.grams])
    for crops in lying.values():
        crops.sort()
        crops.sort(key=lambda crop: crop[1])
    for order in sorted(problem.orders, key=lambda order: (order.day, order.due)):
        if order.step != PICKED:
            continue
        wanted = order.amount
        for crop in lying.get(order.variety, ()):
            if crop[0] <= order.day and order.due <= crop[1]:
                taken = min(wanted, crop[2])
                crop[2] -= taken
                wanted -= taken
    return tuple(
        Crop(recipe.variety, int(day), int(last), grams)
        for recipe in problem.recipes
        for day, last, grams in lying[recipe.variety]
        if grams >= LEAST_GRAMS and last < recipe.days
    )
