"""A farm so small that its steady week is reckoned by hand in the tests that use it."""

from __future__ import annotations

from dataclasses import replace

from pinset.chain.register import (
    Bench,
    CookKind,
    Culture,
    Farm,
    FarmBook,
    Flush,
    Parent,
    Preparation,
    Room,
    RoomKind,
    Route,
    Shelf,
    Spread,
    Step,
    StepKind,
    Steriliser,
    Variety,
    Vessel,
    Weekday,
    Worker,
)
from pinset.chain.stages import Stage


def just(value: float) -> Spread:
    return Spread(value, value, value)


SPAWN = Step(
    "spawn",
    StepKind.BUY,
    Stage.SAWDUST,
    just(0),
    just(0),
    4.0,
    keeps_days_warm=7,
    keeps_days_cold=28,
    room=RoomKind.COLD,
    supplier="an invented supplier",
    supplier_days=5,
    delivery_weekdays=(Weekday.WED,),
    price_cents=900,
)
BLOCK = Step(
    "block",
    StepKind.TRANSFER,
    Stage.BLOCK,
    just(14),
    just(0.1),
    22.0,
    parents=(Parent("spawn", 10),),
    vessel="bag",
    fill_g=2500,
    keeps_days_warm=7,
    bench_minutes=2.0,
    bench_setup_minutes=30.0,
    hands_minutes=0.5,
    cook="block",
    preparations=(
        Preparation("fill", 30.0, 0.6, 15.0, RoomKind.PREPARATION),
        Preparation("cook", 24.0, 0.0, 0.0, RoomKind.STERILISER),
    ),
    weekdays=(Weekday.THU,),
)
FRUITING = Step(
    "fruiting",
    StepKind.FRUIT,
    Stage.BLOCK,
    just(7),
    just(0),
    16.0,
    room=RoomKind.GROWING,
    hands_minutes=0.7,
    yield_g=500,
    flushes=(Flush(just(0), 1.0, 1, 0.0),),
    climate="cool",
    weekdays=(Weekday.MON,),
)
TUBE = Step(
    "tube",
    StepKind.TRANSFER,
    Stage.TUBE,
    just(7),
    just(0),
    4.0,
    keeps_days_warm=69,
    keeps_days_cold=69,
    room=RoomKind.COLD,
    weekdays=(Weekday.TUE,),
)
GRAIN = Step(
    "grain",
    StepKind.TRANSFER,
    Stage.GRAIN,
    just(12),
    just(0.2),
    23.0,
    parents=(Parent("tube", 8, part_use=True),),
    vessel="jar",
    fill_g=650,
    keeps_days_warm=14,
    keeps_days_cold=42,
    places=0.5,
    bench_minutes=3.0,
    bench_setup_minutes=12.0,
    cook="grain",
    preparations=(Preparation("cook", 24.0, 0.0, 0.0, RoomKind.STERILISER),),
    weekdays=(Weekday.TUE,),
)


def bought_route() -> Route:
    return Route("bought", (SPAWN, BLOCK, FRUITING))


def own_route() -> Route:
    return Route("own", (TUBE, GRAIN, replace(BLOCK, parents=(Parent("grain", 5),)), FRUITING))


def small_farm(*routes: Route) -> FarmBook:
    """Return the farm with a variety for each route, named after it."""
    return FarmBook(
        farm=Farm("Small farm (invented)", 0.0, "Europe/Vienna"),
        rooms=(
            Room("inc", "Incubation", RoomKind.INCUBATION, 22.0, (Shelf("i", 250),)),
            Room("cold", "Cold store", RoomKind.COLD, 4.0, (Shelf("c", 40),)),
            Room("grow", "Grow room", RoomKind.GROWING, 16.0, (Shelf("g", 200),), ("cool",)),
        ),
        sterilisers=(
            Steriliser(
                "steamer",
                "Steamer",
                "inc",
                (CookKind("block", 5.0, 40, 60, 100.0), CookKind("grain", 4.0, 30, 60, 50.0)),
                hours_per_day=12.0,
                cooks_per_day=2,
                opened_until="22:30",
            ),
        ),
        benches=(Bench("bench", "Clean bench", "inc", 240),),
        workers=(Worker("me", "Owner", (8, 8, 8, 8, 8, 0, 0), role="owner"),),
        vessels=(Vessel("bag", "Bag", 4.0), Vessel("jar", "Jar", 1.25, 80)),
        routes=routes,
        varieties=tuple(
            Variety(route.code, route.code.title(), "invented", route.code, trim_loss=0.0)
            for route in routes
        ),
        cultures=tuple(Culture(f"{route.code}-1", route.code, "invented") for route in routes),
    )
