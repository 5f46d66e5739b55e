"""What was missed on an earlier day and is to be handed over today, before all else."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from datetime import date

from pinset.chain.register import FarmBook, Promise
from pinset.planning.problem import Order
from pinset.planning.recipes import Recipe


@dataclass(frozen=True, slots=True)
class Owed:
    """What is still open of a promise of an earlier day (grams or units)."""

    promise: Promise
    day: date  # it was due
    amount: float


def orders_owed(
    book: FarmBook,
    recipes: Mapping[str, Recipe],
    owed: Iterable[Owed],
    step_of: Callable[[Recipe, FarmBook, str], str],
) -> Iterable[Order]:
    """Yield the orders of today that were due before, as ``step_of`` names what is sold.

    Their codes tell them from the promise's own order of today, should there be one.
    """
    buyers = {buyer.code: buyer.name for buyer in book.buyers}
    for each in owed:
        promise, recipe = each.promise, recipes.get(each.promise.variety)
        if each.amount <= 0 or recipe is None:
            continue
        is_unit = promise.measure == "unit"
        step = step_of(recipe, book, promise.step) if is_unit else "picked"
        if is_unit and recipe.making(step) is None:
            continue
        yield Order(
            promise=f"{promise.code}@{each.day.isoformat()}",
            words=buyers.get(promise.buyer, promise.buyer),
            variety=promise.variety,
            day=0,
            amount=float(each.amount),
            measure=promise.measure,
            step=step,
            promised=float(promise.amount),
            is_owed=True,
        )
