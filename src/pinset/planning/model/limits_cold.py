"""Ready blocks that are carried into a cold store, where they keep longer: a choice of the plan."""

from __future__ import annotations

from collections.abc import Iterator

from pinset.chain.register import RoomKind
from pinset.planning.model.columns import Model, limit
from pinset.planning.model.programme import Term
from pinset.planning.problem import Stock
from pinset.planning.recipes import Making, Recipe

CARRY_COST = 0.05  # per unit carried there, assumed; only what the cold saves is worth it
PLACE_PRICE = 0.5  # per place, assumed; used to name what is lacking


def keep_cold(model: Model) -> None:
    """Decide how many units of each lot go into the cold, as far as a store has places (8).

    Whoever is carried there keeps the place to the last day that the cold gives, used or not.
    """
    problem = model.problem
    by_room: dict[str, list[tuple[int, Stock]]] = {}
    for number, lot in enumerate(problem.stock):
        if lot.cold is not None:
            column = model.programme.column(CARRY_COST, upper=lot.units)
            model.chill[number] = column
            by_room.setdefault(lot.cold.room, []).append((column, lot))
    free = {each.room: each for each in problem.resources.cold}
    for code, kept in by_room.items():
        store = free.get(code)
        limit(
            model,
            [(column, lot.cold.places) for column, lot in kept if lot.cold is not None],
            store.places if store is not None else 0.0,
            resource=f"places in {store.name if store and store.name else code}",
            day=min(max(0, lot.ready_day) for _, lot in kept),
            unit="places",
            price=PLACE_PRICE,
            varieties={lot.variety for _, lot in kept},
        )


def kept_cold_of(model: Model, recipe: Recipe, making: Making) -> Iterator[tuple[int, Stock]]:
    """Yield the columns of a making's lots that may go into the cold, with the lots."""
    for number, column in model.chill.items():
        lot = model.problem.stock[number]
        if (lot.variety, lot.step) == (recipe.variety, making.step):
            yield column, lot


def keeps_only_cold(lot: Stock, day: int) -> bool:
    """Say whether units of a lot are usable on a day only if they were carried into the cold."""
    return lot.cold is not None and lot.last_day < day <= lot.cold.last_day


def cold_places(model: Model, recipe: Recipe, making: Making, day: int) -> list[Term]:
    """Return the places that blocks of a making take in the cold stores on a day."""
    return [
        (column, lot.cold.places)
        for column, lot in kept_cold_of(model, recipe, making)
        if lot.cold is not None and max(0, lot.ready_day) <= day <= lot.cold.last_day
    ]


def days_in_the_cold(model: Model, room: RoomKind) -> set[int]:
    """Return the days on which blocks may come into the cold stores."""
    if room is not RoomKind.COLD:
        return set()
    return {max(0, model.problem.stock[number].ready_day) for number in model.chill}
