"""The tiny invented farm in the templates: enough to see every table filled, made up throughout."""

from __future__ import annotations

from datetime import date, timedelta

from pinset.chain.register import (
    Bench,
    Buyer,
    CookKind,
    Culture,
    Farm,
    FarmBook,
    Flush,
    Parent,
    Preparation,
    Promise,
    Room,
    RoomKind,
    Route,
    Shelf,
    Spread,
    StandingLot,
    Step,
    StepKind,
    Steriliser,
    Variety,
    Vessel,
    Weekday,
    Worker,
)
from pinset.chain.stages import Stage


def example_book(today: date) -> FarmBook:
    """Return the invented farm as it would stand on a day."""
    return FarmBook(
        farm=Farm(
            name="Example farm (invented, replace me)",
            altitude_m=240,
            time_zone="Europe/Vienna",
            country="Austria",
        ),
        rooms=(
            Room("lab", "Laboratory", RoomKind.LABORATORY, 21, (Shelf("lab-1", 60),)),
            Room("fridge", "Fridge", RoomKind.COLD, 4, (Shelf("fridge-1", 80),)),
            Room("cooking", "Steamer corner", RoomKind.STERILISER, 22),
            Room("mixing", "Mixing bay", RoomKind.PREPARATION, 18),
            Room(
                "warm",
                "Incubation",
                RoomKind.INCUBATION,
                23,
                (Shelf("warm-1", 80), Shelf("warm-2", 80)),
            ),
            Room("grow", "Grow room", RoomKind.GROWING, 16, (Shelf("grow-1", 120),), ("cool",)),
            Room("packing", "Packing", RoomKind.PACKING, 6),
        ),
        sterilisers=(
            Steriliser(
                "steamer",
                "Steamer",
                "cooking",
                (CookKind("grain", 9, 60, 180, 60), CookKind("block", 20, 90, 840, 240)),
                hours_per_day=22,
                cooks_per_day=1,
            ),
        ),
        benches=(Bench("bench", "Clean bench", "lab", 240),),
        workers=(Worker("me", "Owner", (6, 6, 6, 6, 6, 0, 0), role="owner"),),
        vessels=(
            Vessel("jar", "1 L jar with filter lid", 1.3, 60),
            Vessel("bag", "Bag with filter patch", 3.5),
        ),
        routes=(_route(),),
        varieties=(
            Variety(
                "oyster",
                "Grey oyster",
                "Pleurotus ostreatus",
                "oyster-blocks",
                price_cents_per_kg=1200,
            ),
        ),
        cultures=(
            Culture("oyster-a", "oyster", "invented source", mother_on=today - timedelta(days=200)),
        ),
        buyers=(Buyer("kitchen", "A kitchen (invented)"), Buyer("market", "Market (invented)")),
        promises=(
            Promise(
                "kitchen-friday", "kitchen", "oyster", 4000, weekday=Weekday.FRI, price_cents=1400
            ),
            Promise("market-saturday", "market", "oyster", 6500, weekday=Weekday.SAT),
        ),
        lots=(
            _lot("tube", 6, today - timedelta(days=60), "fridge-1"),
            _lot("plate", 12, today - timedelta(days=10), "fridge-1", transfers=1),
            _lot("grain", 10, today - timedelta(days=9), "warm-1", made_count=12, generation=1),
            _lot("block", 40, today - timedelta(days=12), "warm-2", made_count=42, generation=1),
            _lot(
                "fruiting",
                30,
                today - timedelta(days=26),
                "grow-1",
                made_count=32,
                generation=1,
                in_room_since=today - timedelta(days=6),
            ),
        ),
    )


def _lot(
    step: str,
    count: int,
    made_on: date,
    place: str,
    *,
    made_count: int | None = None,
    generation: int = 0,
    transfers: int = 0,
    in_room_since: date | None = None,
) -> StandingLot:
    return StandingLot(
        "oyster",
        step,
        count,
        made_on,
        place,
        culture="oyster-a",
        made_count=made_count,
        generation=generation,
        transfers=transfers,
        in_room_since=in_room_since,
    )


def _route() -> Route:
    return Route(
        "oyster-blocks",
        (
            Step(
                "tube",
                StepKind.TRANSFER,
                Stage.TUBE,
                Spread(7, 10, 14),
                Spread(0.005, 0.02, 0.05),
                23,
                keeps_days_warm=45,
                keeps_days_cold=135,
                cold_min_c=2,
                room=RoomKind.LABORATORY,
                bench_minutes=3,
                bench_setup_minutes=15,
            ),
            Step(
                "plate",
                StepKind.TRANSFER,
                Stage.PLATE,
                Spread(6, 8, 11),
                Spread(0.01, 0.03, 0.1),
                23,
                parents=(Parent("tube", 8),),
                keeps_days_warm=14,
                keeps_days_cold=60,
                cold_min_c=2,
                room=RoomKind.LABORATORY,
                bench_minutes=1.5,
                bench_setup_minutes=20,
                look_days=(3,),
            ),
            Step(
                "grain",
                StepKind.TRANSFER,
                Stage.GRAIN,
                Spread(10, 13, 17),
                Spread(0.01, 0.04, 0.12),
                23,
                parents=(Parent("plate", 5),),
                vessel="jar",
                mix="rye",
                fill_g=650,
                fill_moisture=0.48,
                keeps_days_warm=10,
                keeps_days_cold=45,
                cold_min_c=2,
                bench_minutes=2,
                bench_setup_minutes=20,
                shake_days=(5,),
                look_days=(4, 9),
                cook="grain",
                preparations=(
                    Preparation("soak", 40, 0.2, 10, RoomKind.PREPARATION),
                    Preparation("boil", 28, 0.5, 30, RoomKind.PREPARATION),
                    Preparation("fill", 26, 2, 10, RoomKind.PREPARATION),
                    Preparation("cook", 25, 0, 40, RoomKind.STERILISER),
                    Preparation("cool", 16, 0, 10, RoomKind.STERILISER),
                ),
                minimum_batch=6,
            ),
            Step(
                "block",
                StepKind.TRANSFER,
                Stage.BLOCK,
                Spread(14, 18, 24),
                Spread(0.02, 0.05, 0.15),
                22,
                parents=(Parent("grain", 6),),
                vessel="bag",
                mix="beech sawdust with bran",
                fill_g=2500,
                fill_moisture=0.62,
                keeps_days_warm=8,
                hands_minutes=1,
                bench_minutes=1.5,
                bench_setup_minutes=20,
                look_days=(7,),
                cook="block",
                preparations=(
                    Preparation("mix", 46, 1, 20, RoomKind.PREPARATION),
                    Preparation("fill", 44, 2, 15, RoomKind.PREPARATION),
                    Preparation("cook", 42, 0, 60, RoomKind.STERILISER),
                    Preparation("cool", 22, 0, 10, RoomKind.STERILISER),
                ),
                minimum_batch=10,
            ),
            Step(
                "fruiting",
                StepKind.FRUIT,
                Stage.BLOCK,
                Spread(6, 8, 11),
                Spread(0.0, 0.02, 0.06),
                16,
                keeps_days_warm=2,
                room=RoomKind.GROWING,
                hands_minutes=1,
                yield_g=700,
                yield_spread=0.2,
                flushes=(
                    Flush(Spread(0, 0, 0), 0.65, 3, 0.02),
                    Flush(Spread(10, 13, 17), 0.35, 3, 0.1),
                ),
                climate="cool",
            ),
        ),
    )
