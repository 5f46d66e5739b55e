"""Which cold store of a farm takes the cultures and spawn of its varieties, if any may."""

from __future__ import annotations

from collections.abc import Iterator

from pinset.chain.keeping import is_too_cold, keeping_days
from pinset.chain.register import FarmBook, Room, RoomKind, Step
from pinset.chain.rules_basis import warning
from pinset.chain.stages import FRUITING_STAGES
from pinset.errors import Finding
from pinset.units import Quantity, show


def cold_stores(book: FarmBook) -> tuple[Room, ...]:
    """Return the cold stores of cultures and spawn that have places, the warmest first."""
    found = [room for room in book.rooms if room.kind is RoomKind.COLD and room.holds > 0]
    return tuple(sorted(found, key=lambda room: -room.temperature_c))


def cold_store_of(book: FarmBook, step: Step) -> Room | None:
    """Return the cold store in which spawn of this step keeps longest, or None.

    Blocks and other fruiting units are not sent there for good: they would fill it. The plan sends
    those of them that only the cold saves (:func:`store_for`).
    """
    return None if step.stage in FRUITING_STAGES else store_for(book, step)


def store_for(book: FarmBook, step: Step) -> Room | None:
    """Return the cold store in which units of any step keep longest; None if none may take them."""
    if step.keeps_days_cold is None:
        return None
    rooms = [room for room in cold_stores(book) if not is_too_cold(step, room.temperature_c)]
    return max(rooms, key=lambda room: keeping_days(step, room.temperature_c), default=None)


def only_too_cold(book: FarmBook, step: Step) -> Room | None:
    """Return the warmest cold store where even that one is too cold for units of a step.

    None where one of them is warm enough, or the farm has no cold store.
    """
    stores = cold_stores(book)
    return stores[0] if stores and is_too_cold(step, stores[0].temperature_c) else None


def check_cold_stores(book: FarmBook) -> Iterator[Finding]:
    """Yield a warning for each variety whose cultures or spawn die in every cold store there is.

    Blocks and other fruiting units are left out: they are never sent where they die. So are steps
    of which the route does not say below which temperature they die.
    """
    routes = {route.code: route for route in book.routes}
    for variety in book.varieties:
        route = routes.get(variety.route)
        for floor, steps in _by_floor(book, route.steps if route else ()).items():
            store = only_too_cold(book, steps[0])
            if store is None:
                continue
            named = ", ".join(step.code for step in steps)
            which = "the cold store" if len(cold_stores(book)) == 1 else "the warmest cold store"
            least, here = (
                show(Quantity.TEMPERATURE, at_c, book.farm.units)
                for at_c in (floor, store.temperature_c)
            )
            yield warning(
                "room.store-too-cold",
                f"varieties {variety.code}",
                f"Its {named} {'dies' if len(steps) == 1 else 'die'} below {least}, and {which}, "
                f"{store.name}, stands at {here}.",
                f"Keep such units of {variety.name} elsewhere, at {least} or more, or keep a store "
                "that warm.",
            )


def _by_floor(book: FarmBook, steps: tuple[Step, ...]) -> dict[float, list[Step]]:
    """Return the steps whose units may not go into any cold store, by the least they bear in °C."""
    found: dict[float, list[Step]] = {}
    for step in steps:
        if step.cold_min_c is None or step.stage in FRUITING_STAGES:
            continue
        if only_too_cold(book, step) is not None:
            found.setdefault(step.cold_min_c, []).append(step)
    return found
