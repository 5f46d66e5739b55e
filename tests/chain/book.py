"""A small farm that passes every rule, for the tests of the rules."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

from pinset.chain.lotcode import encode
from pinset.chain.register import (
    Bench,
    Buyer,
    Culture,
    Farm,
    FarmBook,
    Promise,
    Room,
    RoomKind,
    Route,
    Shelf,
    StandingLot,
    Step,
    Steriliser,
    Weekday,
    Worker,
)
from pinset.chain.route_builder import default_route
from pinset.chain.start_values import default_cook, default_variety, default_vessels

TODAY = date(2026, 3, 12)
CODE = encode(0)

BOOK = FarmBook(
    farm=Farm("Try", 1240.0, "Europe/Zurich", "CH"),
    rooms=(
        Room("lab", "Laboratory", RoomKind.LABORATORY, 21.0),
        Room("inc", "Incubation", RoomKind.INCUBATION, 23.0, (Shelf("A1", 200), Shelf("A2", 40))),
        Room("cold", "Cold store", RoomKind.COLD, 4.0, (Shelf("C1", 50),)),
        Room("ster", "Steriliser room", RoomKind.STERILISER, 20.0),
        Room("grow", "North", RoomKind.GROWING, 15.0, (Shelf("N1", 300),), ("cool", "warm")),
    ),
    sterilisers=(
        Steriliser(
            "big",
            "Big one",
            "ster",
            tuple(default_cook(kind, 400) for kind in ("agar", "grain", "block", "straw")),
            hours_per_day=18.0,
            cooks_per_day=2,
            rating_bar_gauge=1.5,
        ),
    ),
    benches=(Bench("hood", "Hood", "lab", 360),),
    workers=(Worker("ada", "A", (8.0,) * 5 + (0.0, 0.0), role="owner"),),
    vessels=default_vessels(),
    routes=(default_route("shiitake"), default_route("pink oyster", starts_at="spawn")),
    varieties=(default_variety("shiitake"), default_variety("pink oyster")),
    cultures=(Culture("s1", "shiitake", "bought", date(2025, 1, 5)),),
    buyers=(Buyer("market", "Market", "07:00"),),
    promises=(
        Promise("p1", "market", "shiitake", 12_000, weekday=Weekday.FRI),
        Promise(
            "p2", "market", "shiitake", 20, measure="unit", step="block", on_date=date(2026, 6, 1)
        ),
    ),
    lots=(
        StandingLot("shiitake", "grain", 20, date(2026, 3, 1), "A2", "s1", CODE, 22, generation=1),
        StandingLot("shiitake", "tube", 8, date(2026, 1, 9), "C1", "s1"),
        StandingLot(
            "shiitake", "ripening", 60, date(2026, 1, 2), "A1", in_room_since=date(2026, 1, 20)
        ),
        StandingLot(
            "pink-oyster",
            "fruiting",
            40,
            date(2026, 2, 1),
            "N1",
            generation=1,
            in_room_since=date(2026, 2, 12),
            picked_g=9_000,
        ),
    ),
)


def with_route(book: FarmBook, route: Route) -> FarmBook:
    """Return the book with its first route replaced."""
    return replace(book, routes=(route, *book.routes[1:]))


def with_step(book: FarmBook, of: str, /, **changes: object) -> FarmBook:
    """Return the book with one step of its first route changed."""
    route = book.routes[0]
    steps = tuple(_changed(step, changes) if step.code == of else step for step in route.steps)
    return with_route(book, replace(route, steps=steps))


def with_first(book: FarmBook, field: str, /, **changes: object) -> FarmBook:
    """Return the book with the first record of a kind changed."""
    records = getattr(book, field)
    changed = replace(records[0], **changes)
    return replace(book, **{field: (changed, *records[1:])})


def _changed(step: Step, changes: dict[str, object]) -> Step:
    return replace(step, **changes)  # type: ignore[arg-type]
