"""The six routes of the demo farm.

Days, losses and keeping times are the published defaults of the package's tables (quality of each
stands there). Minutes, vessels, lead hours and weekdays are the invented farm's own: common
practice, no source. One unit of the sawdust blocks weighs 2.5 kg, a straw bag 5 kg.
"""

from __future__ import annotations

from pinset.chain.register import (
    Flush,
    Parent,
    Preparation,
    RateBasis,
    RoomKind,
    Route,
    Spread,
    Step,
    StepKind,
    Weekday,
)
from pinset.chain.stages import Stage

JAR_G = 650
SPAWN_BAG_G = 2500
BLOCK_G = 2500
STRAW_BAG_G = 5000
BOUGHT_BAG_G = 3000

MON, TUE, WED, THU, FRI, SAT = list(Weekday)[:6]

CLEAN_STEP = Spread(0.005, 0.02, 0.05)
STERILE_BLOCK = Spread(0.01, 0.03, 0.08)
STRAW_BAG = Spread(0.02, 0.05, 0.15)
RIPENING_LOSS = Spread(0.005, 0.01, 0.03)
FRUITING_LOSS = Spread(0.005, 0.03, 0.08)  # pins and first flush together

POURED = (
    Preparation("cook", 94.0, 0.5, 20.0, RoomKind.STERILISER, "pressure"),
    Preparation("pour", 90.0, 0.5, 10.0, RoomKind.LABORATORY, "hot-agar"),
)
GRAIN_READY = (
    Preparation("soak", 46.0, 0.3, 10.0, RoomKind.PREPARATION),
    Preparation("boil", 25.0, 1.0, 40.0, RoomKind.PREPARATION, "scald"),
    Preparation("fill", 23.5, 1.2, 5.0, RoomKind.PREPARATION),
    Preparation("cook", 22.0, 0.0, 0.0, RoomKind.STERILISER, "pressure"),
    Preparation("cool", 16.0, 0.2, 5.0, RoomKind.LABORATORY),
)
BLOCKS_READY = (
    Preparation("mix", 25.4, 0.6, 15.0, RoomKind.PREPARATION, "dust"),
    Preparation("fill", 24.8, 1.5, 5.0, RoomKind.PREPARATION, "lifting"),
    Preparation("cook", 22.0, 0.0, 0.0, RoomKind.STERILISER, "pressure"),
    Preparation("cool", 15.0, 0.2, 5.0, RoomKind.LABORATORY),
)
STRAW_READY = (
    Preparation("chop", 25.4, 0.5, 10.0, RoomKind.PREPARATION, "dust"),
    Preparation("soak", 24.6, 0.2, 10.0, RoomKind.PREPARATION),
    Preparation("cook", 23.5, 0.0, 0.0, RoomKind.STERILISER, "steam"),
    Preparation("cool", 14.0, 0.2, 10.0, RoomKind.PREPARATION),
)


def tube(days: Spread, cold_min_c: float) -> Step:
    """Return the stored culture: slants in the cold store, the head of the chain."""
    return Step(
        code="tube",
        kind=StepKind.TRANSFER,
        stage=Stage.TUBE,
        days=days,
        loss=CLEAN_STEP,
        temperature_c=24.0,
        vessel="tube",
        mix="malt agar",
        fill_g=8,
        fill_moisture=0.95,
        keeps_days_warm=45.0,
        keeps_days_cold=135.0,
        cold_min_c=cold_min_c,
        places=0.02,
        bench_minutes=1.5,
        bench_setup_minutes=8.0,
        look_days=(4, 10),
        cook="agar",
        preparations=POURED,
        weekdays=(TUE,),
        minimum_batch=6,
    )


def plate(days: Spread, cold_min_c: float) -> Step:
    """Return the agar plate, started from a piece of a slant."""
    return Step(
        code="plate",
        kind=StepKind.TRANSFER,
        stage=Stage.PLATE,
        days=days,
        loss=CLEAN_STEP,
        temperature_c=24.0,
        parents=(Parent("tube", 8.0, part_use=True),),
        vessel="plate",
        mix="malt agar",
        fill_g=20,
        fill_moisture=0.95,
        keeps_days_warm=14.0,
        keeps_days_cold=90.0,
        cold_min_c=cold_min_c,
        places=0.03,
        bench_minutes=2.0,
        bench_setup_minutes=5.0,
        look_days=(3, 6),
        cook="agar",
        preparations=POURED,
        weekdays=(TUE,),
    )


def grain(days: Spread, keeps_warm: float, cold_min_c: float) -> Step:
    """Return master grain: a 1 L jar of rye started from a plate."""
    return _jar("grain", days, keeps_warm, cold_min_c, Parent("plate", 8.0))


def second_grain(days: Spread, keeps_warm: float, cold_min_c: float) -> Step:
    """Return grain of the second generation, poured from a master jar."""
    return _jar("grain-2", days, keeps_warm, cold_min_c, Parent("grain", 10.0))


def _jar(code: str, days: Spread, keeps_warm: float, cold_min_c: float, parent: Parent) -> Step:
    return Step(
        code=code,
        kind=StepKind.TRANSFER,
        stage=Stage.GRAIN,
        days=days,
        loss=CLEAN_STEP,
        temperature_c=24.0,
        parents=(parent,),
        vessel="jar",
        mix="rye",
        fill_g=JAR_G,
        fill_moisture=0.50,
        keeps_days_warm=keeps_warm,
        keeps_days_cold=90.0,
        cold_min_c=cold_min_c,
        places=0.3,
        bench_minutes=1.2 if code == "grain" else 0.9,
        bench_setup_minutes=8.0,
        hands_minutes=0.5,
        shake_days=(5,),
        look_days=(4, 8),
        cook="grain",
        preparations=GRAIN_READY,
        weekdays=(WED,),
    )


def sawdust(days: Spread, cold_min_c: float) -> Step:
    """Return sawdust spawn: a 2.5 kg bag started from a quarter of a litre jar's worth of rye."""
    return Step(
        code="sawdust",
        kind=StepKind.TRANSFER,
        stage=Stage.SAWDUST,
        days=days,
        loss=CLEAN_STEP,
        temperature_c=24.0,
        parents=(_by_rate("grain", JAR_G, SPAWN_BAG_G, 0.10),),
        vessel="spawn-bag",
        mix="beech",
        fill_g=SPAWN_BAG_G,
        fill_moisture=0.60,
        keeps_days_warm=30.0,
        keeps_days_cold=90.0,
        cold_min_c=cold_min_c,
        bench_minutes=2.0,
        bench_setup_minutes=8.0,
        hands_minutes=0.5,
        shake_days=(7,),
        look_days=(5, 10),
        cook="block",
        preparations=BLOCKS_READY,
        weekdays=(TUE,),
    )


def sterile_block(
    days: Spread,
    keeps_warm: float,
    parent: tuple[str, int],
    weekdays: tuple[Weekday, ...],
    mix: str = "beech and bran",
) -> Step:
    """Return a sterilised sawdust block spawned at 5 % wet on wet."""
    step, spawn_g = parent
    return Step(
        code="block",
        kind=StepKind.TRANSFER,
        stage=Stage.BLOCK,
        days=days,
        loss=STERILE_BLOCK,
        temperature_c=22.0,
        parents=(_by_rate(step, spawn_g, BLOCK_G, 0.05),),
        vessel="block-bag",
        mix=mix,
        fill_g=BLOCK_G,
        fill_moisture=0.62,
        keeps_days_warm=keeps_warm,
        keeps_days_cold=30.0,
        cold_min_c=2.0,
        bench_minutes=1.2,
        bench_setup_minutes=10.0,
        hands_minutes=0.6,
        look_days=(7, 14),
        cook="block",
        preparations=BLOCKS_READY,
        weekdays=weekdays,
    )


def straw_bag(
    days: Spread,
    cold_min_c: float,
    parent: tuple[str, int],
    rate: float,
    weekdays: tuple[Weekday, ...],
) -> Step:
    """Return a bag of pasteurised oat straw, spawned by hand in the preparation room."""
    step, spawn_g = parent
    return Step(
        code="block",
        kind=StepKind.TRANSFER,
        stage=Stage.BLOCK,
        days=days,
        loss=STRAW_BAG,
        temperature_c=22.0,
        parents=(_by_rate(step, spawn_g, STRAW_BAG_G, rate),),
        vessel="straw-bag",
        mix="oat straw",
        fill_g=STRAW_BAG_G,
        fill_moisture=0.70,
        keeps_days_warm=5.0,
        keeps_days_cold=30.0,
        cold_min_c=cold_min_c,
        places=2.0,
        hands_minutes=3.5,
        look_days=(6, 12),
        cook="straw",
        preparations=STRAW_READY,
        weekdays=weekdays,
    )


def ripening(
    days: Spread, keeps_warm: float, temperature_c: float, weekdays: tuple[Weekday, ...]
) -> Step:
    """Return the weeks a white block still needs before it will fruit."""
    return Step(
        code="ripening",
        kind=StepKind.STAND,
        stage=Stage.BLOCK,
        days=days,
        loss=RIPENING_LOSS,
        temperature_c=temperature_c,
        keeps_days_warm=keeps_warm,
        room=RoomKind.INCUBATION,
        hands_minutes=0.3,
        look_days=(14,),
        weekdays=weekdays,
    )


def fruiting(
    days: Spread,
    *,
    yield_g: float,
    flushes: tuple[Flush, ...],
    climate: str,
    temperature_c: float,
    weekdays: tuple[Weekday, ...],
    places: float = 1.0,
    hands_minutes: float = 1.0,
    pick_minutes_per_kg: float = 3.0,
) -> Step:
    """Return the grow room: pins, first flush and the flushes after it."""
    return Step(
        code="fruiting",
        kind=StepKind.FRUIT,
        stage=Stage.BLOCK,
        days=days,
        loss=FRUITING_LOSS,
        temperature_c=temperature_c,
        places=places,
        room=RoomKind.GROWING,
        hands_minutes=hands_minutes,
        weekdays=weekdays,
        yield_g=yield_g,
        yield_spread=0.2,
        flushes=flushes,
        pick_minutes_per_kg=pick_minutes_per_kg,
        climate=climate,
    )


def _by_rate(step: str, spawn_g: int, fill_g: int, rate: float) -> Parent:
    units = round(spawn_g / (rate * fill_g), 2)
    return Parent(step, units, spawn_rate=rate, spawn_rate_basis=RateBasis.WET_ON_WET)


FIRST = Spread(0.0, 0.0, 0.0)


GREY_OYSTER = Route(
    code="grey-oyster-straw",
    steps=(
        tube(Spread(7, 10, 14), 4.0),
        plate(Spread(5, 7, 9), 4.0),
        grain(Spread(8, 11, 14), 14.0, 1.0),
        second_grain(Spread(5.5, 7.5, 10), 14.0, 1.0),
        straw_bag(Spread(12, 16, 22), 2.0, ("grain-2", JAR_G), 0.05, (TUE, FRI)),
        fruiting(
            Spread(6, 9, 14),
            yield_g=1125.0,
            flushes=(Flush(FIRST, 0.50, 3, 0.0), Flush(Spread(7, 10, 14), 0.32, 3, 0.04)),
            climate="mild",
            temperature_c=16.0,
            weekdays=(MON, FRI),
            places=2.0,
        ),
    ),
    note="Oat straw, pasteurised; two flushes are taken, the third is not worth the room here.",
)

GOLDEN_OYSTER = Route(
    code="golden-oyster-straw",
    steps=(
        Step(
            code="spawn",
            kind=StepKind.BUY,
            stage=Stage.GRAIN,
            days=FIRST,
            loss=CLEAN_STEP,
            temperature_c=4.0,
            vessel="bought-bag",
            mix="millet",
            fill_g=BOUGHT_BAG_G,
            fill_moisture=0.50,
            keeps_days_warm=14.0,
            keeps_days_cold=60.0,
            cold_min_c=4.0,
            opened_keeps_days=2.0,
            room=RoomKind.COLD,
            weekdays=(WED,),
            supplier="spawn laboratory down the valley",
            supplier_days=9,
            delivery_weekdays=(TUE,),
            price_cents=1450,
        ),
        straw_bag(Spread(10, 12.5, 14), 4.0, ("spawn", BOUGHT_BAG_G), 0.05, (TUE, THU)),
        fruiting(
            Spread(6, 8, 12),
            yield_g=855.0,
            flushes=(Flush(FIRST, 0.68, 2, 0.0), Flush(Spread(8, 10, 14), 0.32, 2, 0.08)),
            climate="warm",
            temperature_c=21.0,
            weekdays=(WED, SAT),
            places=2.0,
            pick_minutes_per_kg=4.0,
        ),
    ),
    note="Spawn is bought: this strain is not kept in the laboratory.",
)

KING_OYSTER = Route(
    code="king-oyster-beech",
    steps=(
        tube(Spread(10, 14, 21), 4.0),
        plate(Spread(7, 9.5, 12), 4.0),
        grain(Spread(12, 15, 18), 28.0, 1.0),
        sawdust(Spread(18, 21.5, 25), 1.0),
        sterile_block(Spread(10, 13, 18), 10.0, ("sawdust", SPAWN_BAG_G), (THU,)),
        ripening(Spread(14, 30, 40), 10.0, 20.0, (MON, THU)),
        fruiting(
            Spread(8, 13, 20),
            yield_g=414.0,
            flushes=(Flush(FIRST, 0.70, 3, 0.0), Flush(Spread(7, 12, 14), 0.30, 3, 0.08)),
            climate="cool",
            temperature_c=14.0,
            weekdays=(TUE, FRI),
            pick_minutes_per_kg=2.5,
        ),
    ),
)

SHIITAKE = Route(
    code="shiitake-beech",
    steps=(
        tube(Spread(10, 14, 21), 4.0),
        plate(Spread(10, 13, 16), 4.0),
        grain(Spread(14, 19, 24), 28.0, 1.0),
        sawdust(Spread(25, 35, 45), 1.0),
        sterile_block(Spread(12, 16, 28), 10.0, ("sawdust", SPAWN_BAG_G), (TUE,), "beech and oak"),
        ripening(Spread(35, 90, 130), 30.0, 20.0, (MON, THU)),
        fruiting(
            Spread(9, 13, 18),
            yield_g=627.0,
            flushes=(
                Flush(FIRST, 0.42, 4, 0.0),
                Flush(Spread(10, 14, 21), 0.28, 4, 0.0267),
                Flush(Spread(10, 14, 21), 0.18, 4, 0.0533),
            ),
            climate="cool",
            temperature_c=15.0,
            weekdays=(TUE, THU),
            hands_minutes=2.5,
            pick_minutes_per_kg=3.5,
        ),
    ),
    note="About a hundred days of ripening; blocks are unwrapped and soaked between flushes.",
)

LIONS_MANE = Route(
    code="lions-mane-beech",
    steps=(
        tube(Spread(10, 14, 21), 4.0),
        plate(Spread(10, 13, 16), 4.0),
        grain(Spread(14, 17.5, 21), 28.0, 1.0),
        second_grain(Spread(10, 12, 14.5), 28.0, 1.0),
        sterile_block(Spread(10, 14, 21), 10.0, ("grain-2", JAR_G), (FRI,)),
        fruiting(
            Spread(7, 11, 20),
            yield_g=522.0,
            flushes=(Flush(FIRST, 0.65, 3, 0.0), Flush(Spread(10, 14, 21), 0.35, 3, 0.08)),
            climate="mild",
            temperature_c=17.0,
            weekdays=(MON, THU),
            pick_minutes_per_kg=2.0,
        ),
    ),
)

PIOPPINO = Route(
    code="pioppino-beech",
    steps=(
        tube(Spread(10, 14, 21), 4.0),
        plate(Spread(8, 10, 12), 4.0),
        grain(Spread(12, 16, 20), 28.0, 1.0),
        sawdust(Spread(18, 23, 28), 1.0),
        sterile_block(Spread(15, 18, 28), 10.0, ("sawdust", SPAWN_BAG_G), (FRI,)),
        ripening(Spread(14, 32, 40), 10.0, 20.0, (MON, THU)),
        fruiting(
            Spread(11, 16, 23),
            yield_g=477.0,
            flushes=(Flush(FIRST, 0.68, 3, 0.0), Flush(Spread(10, 13, 14), 0.32, 3, 0.08)),
            climate="cool",
            temperature_c=15.0,
            weekdays=(MON, WED),
            pick_minutes_per_kg=4.0,
        ),
    ),
)

ROUTES = (GREY_OYSTER, GOLDEN_OYSTER, KING_OYSTER, SHIITAKE, LIONS_MANE, PIOPPINO)
