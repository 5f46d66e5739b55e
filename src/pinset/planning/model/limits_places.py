"""Where units can stand on shelves."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterable

from pinset.chain.register import RoomKind
from pinset.planning.model.columns import Model, limit, stock_of
from pinset.planning.model.limits_cold import cold_places, days_in_the_cold
from pinset.planning.model.programme import Term
from pinset.planning.recipes import Recipe
from pinset.planning.resources import GrowRoom, RoomPlaces

PLACE_PRICE = 0.5  # of one more, per day, assumed; used to name what is lacking


def days_with_less(room: GrowRoom | RoomPlaces, days: int) -> list[int]:
    """Return the days on which a room holds less than it does otherwise."""
    return [day for day in range(min(days, len(room.by_day))) if room.on(day) < room.places]


def check_days(model: Model, days: Iterable[int], less: Iterable[int] = ()) -> list[int]:
    """Return the days a slow-moving limit is written for: near ones, the last of each far week.

    All days with ``less`` room than on others are among them.
    """
    chosen: dict[int, int] = {}
    near = []
    for day in sorted(set(days)):
        if day < model.problem.whole_days:
            near.append(day)
        else:
            chosen[model.week_of(day, model.problem.whole_days)] = day
    return sorted({*near, *chosen.values(), *less})


def standing(model: Model, r: int, k: int, day: int) -> tuple[list[Term], float, float]:
    """Return units of a making that are usable and wait on a day: kept, and arrived since.

    Beside the terms: living lots that arrived since, and how much of what is kept stands in any
    case, used or not, because it is there today.
    """
    recipe = model.problem.recipes[r]
    making = recipe.makings[k]
    events = model.events[r, k]
    place = bisect_right(events, day)
    since = events[place - 1] if place else -1
    terms: list[Term] = [(model.kept[r, k, since], 1.0)] if place else []
    terms += [
        (model.x[r, k, t], making.usable)
        for t in making.start_days
        if (r, k, t) in model.x and since < making.ready(t) <= day
    ]
    known = sum(
        lot.units
        for lot in stock_of(model.problem, recipe, making)
        if since < max(0, lot.ready_day) <= day <= lot.last_day
    )
    return terms, known, model.stays.get((r, k, since), 0.0)


def limit_places(model: Model) -> None:
    """Shelf places (8) by kind of room: under way, and waiting to be used."""
    problem = model.problem
    for kind in problem.resources.places:
        days = {
            t
            for (r, k, t) in model.x
            if any(stay.room is kind.room for stay in problem.recipes[r].makings[k].stays)
            or problem.recipes[r].makings[k].waits_in is kind.room
        }
        days |= days_in_the_cold(model, kind.room)
        for day in check_days(model, days, days_with_less(kind, problem.days)):
            terms: list[Term] = []
            known = least = 0.0
            users: set[str] = set()
            for r, recipe in enumerate(problem.recipes):
                more, fixed, stays = _places_of_recipe(model, r, recipe, kind.room, day)
                if more:
                    users.add(recipe.variety)
                terms += more
                known += fixed
                least += stays
            if terms:
                limit(
                    model,
                    terms,
                    kind.on(day),
                    taken=known,
                    least=least,
                    resource=f"places in {kind.room.value}",
                    day=day,
                    unit="places",
                    price=PLACE_PRICE,
                    varieties=users,
                )


def _places_of_recipe(
    model: Model, r: int, recipe: Recipe, room: RoomKind, day: int
) -> tuple[list[Term], float, float]:
    terms: list[Term] = []
    known = least = 0.0
    for k, making in enumerate(recipe.makings):
        for t in making.start_days:
            if t > day or (r, k, t) not in model.x:
                continue
            terms += [
                (model.x[r, k, t], stay.places)
                for stay in making.stays_on(t)
                if stay.room is room and t + stay.from_day <= day < t + stay.until_day
            ]
        for lot in stock_of(model.problem, recipe, making):
            known += sum(
                lot.units * stay.places
                for stay in lot.stays
                if stay.room is room and stay.from_day <= day < stay.until_day
            )
        if making.waits_in is room and making.waits_places > 0:
            waiting, arrived, stays = standing(model, r, k, day)
            terms += [(column, value * making.waits_places) for column, value in waiting]
            known += arrived * making.waits_places
            least += stays * making.waits_places
        if room is RoomKind.COLD:
            terms += cold_places(model, recipe, making, day)
    return terms, known, least
