"""An invented farm of six varieties and about 190 kg a week. Nothing here describes a real one.

Days, keeping times, units per parent and losses are of the size growers reckon with; the yields,
rooms, people, buyers and prices are made up.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date, timedelta
from math import ceil

from pinset.chain.living import LivingLot
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
    Step,
    StepKind,
    Steriliser,
    Variety,
    Vessel,
    Weekday,
    Worker,
)
from pinset.chain.stages import Stage

TODAY = date(2026, 3, 12)


def near(mode: float, share: float = 0.15) -> Spread:
    return Spread(mode * (1 - share), mode, mode * (1 + share))


def loss(mean: float) -> Spread:
    return Spread(mean / 2, mean, mean * 1.5)


FILL = Preparation("fill", 30.0, 0.6, 15.0, RoomKind.PREPARATION)
POUR = Preparation("pour", 20.0, 0.5, 20.0, RoomKind.LABORATORY)
COOK = Preparation("cook", 24.0, 0.0, 0.0, RoomKind.STERILISER)


def plate(days: float) -> Step:
    return Step(
        code="plate",
        kind=StepKind.TRANSFER,
        stage=Stage.PLATE,
        days=near(days),
        loss=loss(0.02),
        temperature_c=23.0,
        parents=(Parent("tube", 10.0, part_use=True),),
        vessel="dish",
        fill_g=20,
        keeps_days_warm=14.0,
        keeps_days_cold=60.0,
        places=0.1,
        bench_minutes=1.5,
        bench_setup_minutes=10.0,
        cook="agar",
        preparations=(POUR, COOK),
        weekdays=(Weekday.MON,),
    )


def tube() -> Step:
    return Step(
        code="tube",
        kind=StepKind.TRANSFER,
        stage=Stage.TUBE,
        days=near(10),
        loss=loss(0.02),
        temperature_c=4.0,
        vessel="tube",
        fill_g=10,
        keeps_days_warm=45.0,
        keeps_days_cold=135.0,
        places=0.05,
        room=RoomKind.COLD,
        bench_minutes=3.0,
        bench_setup_minutes=10.0,
        cook="agar",
        preparations=(COOK,),
        weekdays=(Weekday.MON,),
    )


def grain(days: float, code: str = "grain", parent: str = "plate", goes: float = 8.0) -> Step:
    return Step(
        code=code,
        kind=StepKind.TRANSFER,
        stage=Stage.GRAIN,
        days=near(days),
        loss=loss(0.04),
        temperature_c=23.0,
        parents=(Parent(parent, goes),),
        vessel="jar",
        fill_g=650,
        keeps_days_warm=14.0,
        keeps_days_cold=42.0,
        places=0.3,
        bench_minutes=2.5,
        bench_setup_minutes=15.0,
        cook="grain",
        preparations=(FILL, COOK),
        weekdays=(Weekday.TUE,),
    )


def sawdust(days: float, parent: str = "grain", goes: float = 2.6) -> Step:
    return Step(
        code="sawdust",
        kind=StepKind.TRANSFER,
        stage=Stage.SAWDUST,
        days=near(days),
        loss=loss(0.04),
        temperature_c=23.0,
        parents=(Parent(parent, goes),),
        vessel="spawn-bag",
        fill_g=2500,
        keeps_days_warm=14.0,
        keeps_days_cold=30.0,
        places=1.0,
        bench_minutes=2.0,
        bench_setup_minutes=15.0,
        cook="block",
        preparations=(FILL, COOK),
        weekdays=(Weekday.WED,),
    )


def block(
    days: float, weekdays: tuple[Weekday, ...], keeps: float, parent: str = "sawdust"
) -> Step:
    return Step(
        code="block",
        kind=StepKind.TRANSFER,
        stage=Stage.BLOCK,
        days=near(days),
        loss=loss(0.05),
        temperature_c=22.0,
        parents=(Parent(parent, 12.0),),
        vessel="block-bag",
        fill_g=2500,
        keeps_days_warm=keeps,
        places=1.0,
        bench_minutes=1.0,
        bench_setup_minutes=15.0,
        hands_minutes=0.5,
        cook="block",
        preparations=(FILL, COOK),
        weekdays=weekdays,
    )


def ripening(days: float, keeps: float) -> Step:
    return Step(
        code="ripening",
        kind=StepKind.STAND,
        stage=Stage.BLOCK,
        days=near(days),
        loss=loss(0.01),
        temperature_c=20.0,
        keeps_days_warm=keeps,
        places=1.0,
    )


def fruiting(
    first: float, grams: float, climate: str, weekdays: tuple[Weekday, ...], gap: float = 12.0
) -> Step:
    return Step(
        code="fruiting",
        kind=StepKind.FRUIT,
        stage=Stage.BLOCK,
        days=near(first),
        loss=loss(0.02),
        temperature_c=16.0,
        room=RoomKind.GROWING,
        hands_minutes=0.7,
        yield_g=grams,
        flushes=(
            Flush(Spread(0, 0, 0), 0.65, 3, 0.02),
            Flush(near(gap), 0.35, 3, 0.06),
        ),
        pick_minutes_per_kg=3.0,
        climate=climate,
        weekdays=weekdays,
    )


@dataclass(frozen=True, slots=True)
class Kind:
    code: str
    name: str
    species: str
    kg: float
    route: Route
    orders: tuple[tuple[str, Weekday, float], ...]


M, TU, W, TH, F = list(Weekday)[:5]


def kinds() -> tuple[Kind, ...]:
    bought = Step(
        code="spawn",
        kind=StepKind.BUY,
        stage=Stage.SAWDUST,
        days=Spread(0, 0, 0),
        loss=loss(0.01),
        temperature_c=4.0,
        keeps_days_warm=7.0,
        keeps_days_cold=28.0,
        room=RoomKind.COLD,
        supplier="an invented supplier",
        supplier_days=5,
        delivery_weekdays=(W,),
        price_cents=900,
    )
    return (
        Kind(
            "grey-oyster",
            "Grey oyster",
            "Pleurotus ostreatus",
            60,
            Route(
                "grey-oyster",
                (
                    tube(),
                    plate(8),
                    grain(11),
                    sawdust(16),
                    block(17, (M, TH), 7),
                    fruiting(7, 650, "cool", (M, TH)),
                ),
            ),
            (("market", F, 0.6), ("kitchen-a", TU, 0.4)),
        ),
        Kind(
            "shiitake",
            "Shiitake",
            "Lentinula edodes",
            30,
            Route(
                "shiitake",
                (
                    tube(),
                    plate(13),
                    grain(19),
                    sawdust(35),
                    block(18, (TU,), 10),
                    ripening(85, 30),
                    fruiting(6, 700, "cool", (TU, F), 18),
                ),
            ),
            (("market", F, 0.5), ("kitchen-b", W, 0.5)),
        ),
        Kind(
            "lions-mane",
            "Lion's mane",
            "Hericium erinaceus",
            25,
            Route(
                "lions-mane",
                (
                    tube(),
                    plate(12),
                    grain(15),
                    sawdust(21),
                    block(20, (TU, F), 7),
                    fruiting(10, 600, "cool", (M, TH)),
                ),
            ),
            (("market", F, 0.4), ("kitchen-c", TH, 0.6)),
        ),
        Kind(
            "king-oyster",
            "King oyster",
            "Pleurotus eryngii",
            30,
            Route(
                "king-oyster",
                (
                    tube(),
                    plate(10),
                    grain(15),
                    grain(11, "grain-2", "grain", 6.0),
                    sawdust(21, "grain-2"),
                    block(14, (W,), 10),
                    ripening(30, 10),
                    fruiting(9, 550, "cool", (TU, F), 16),
                ),
            ),
            (("kitchen-a", TU, 0.5), ("kitchen-d", TH, 0.5)),
        ),
        Kind(
            "pink-oyster",
            "Pink oyster",
            "Pleurotus djamor",
            20,
            Route(
                "pink-oyster",
                (
                    tube(),
                    plate(7),
                    replace(grain(11), cold_min_c=10.0, keeps_days_cold=None),
                    block(12, (TU, F), 5, "grain"),
                    fruiting(6, 500, "warm", (M, TH), 9),
                ),
            ),
            (("market", F, 0.7), ("kitchen-e", W, 0.3)),
        ),
        Kind(
            "golden-oyster",
            "Golden oyster",
            "Pleurotus citrinopileatus",
            25,
            Route(
                "golden-oyster",
                (
                    bought,
                    block(13, (TH,), 7, "spawn"),
                    fruiting(7, 550, "warm", (TU, F), 10),
                ),
            ),
            (("market", F, 0.5), ("kitchen-e", W, 0.5)),
        ),
    )


def shelves(code: str, count: int, holds: int) -> tuple[Shelf, ...]:
    return tuple(Shelf(f"{code}{number}", holds) for number in range(1, count + 1))


def six_variety_book() -> FarmBook:
    varieties = []
    promises = []
    for kind in kinds():
        varieties.append(
            Variety(
                code=kind.code,
                name=kind.name,
                species=kind.species,
                route=kind.route.code,
                picked_keeps_days=2.0 if kind.code == "pink-oyster" else 6.0,
                trim_loss=0.05,
            )
        )
        promises += [
            Promise(
                code=f"{kind.code}-{buyer}",
                buyer=buyer,
                variety=kind.code,
                amount=round(1000 * kind.kg * share),
                weekday=day,
            )
            for buyer, day, share in kind.orders
        ]
    cultures = tuple(
        Culture(f"{kind.code}-1", kind.code, "invented")
        for kind in kinds()
        if kind.code != "golden-oyster"
    )
    return FarmBook(
        farm=Farm("Invented shed", 1240.0, "Europe/Vienna"),
        rooms=(
            Room("lab", "Laboratory", RoomKind.LABORATORY, 21.0),
            Room("inc", "Incubation", RoomKind.INCUBATION, 22.0, shelves("i", 30, 60)),
            Room("cold", "Cold store", RoomKind.COLD, 4.0, shelves("c", 4, 60)),
            Room("g1", "Grow room 1", RoomKind.GROWING, 15.0, shelves("g1-", 8, 60), ("cool",)),
            Room("g2", "Grow room 2", RoomKind.GROWING, 15.0, shelves("g2-", 13, 60), ("cool",)),
            Room(
                "g3", "Grow room 3", RoomKind.GROWING, 22.0, shelves("g3-", 7, 60), ("cool", "warm")
            ),
        ),
        sterilisers=(
            Steriliser(
                "autoclave",
                "Autoclave",
                "lab",
                (
                    CookKind("agar", 2.5, 30, 30, 60.0),
                    CookKind("grain", 5.0, 40, 120, 160.0),
                    CookKind("block", 6.0, 45, 155, 340.0),
                ),
                hours_per_day=18.0,
                cooks_per_day=3,
                rating_bar_gauge=1.5,
                opened_until="23:59",
            ),
        ),
        benches=(Bench("bench", "Clean bench", "lab", 360),),
        workers=(
            Worker("a", "First", (8, 8, 8, 8, 8, 0, 0)),
            Worker("b", "Second", (8, 8, 8, 8, 8, 0, 0)),
            Worker("c", "Third", (6, 6, 6, 6, 6, 0, 0), laboratory=False),
        ),
        vessels=(
            Vessel("dish", "Dish", 0.15),
            Vessel("tube", "Tube", 0.05),
            Vessel("jar", "Jar", 1.2, in_circulation=160),
            Vessel("spawn-bag", "Spawn bag", 4.0),
            Vessel("block-bag", "Block bag", 4.0),
        ),
        routes=tuple(kind.route for kind in kinds()),
        varieties=tuple(varieties),
        cultures=cultures,
        buyers=tuple(
            Buyer(code, code.replace("-", " "))
            for code in ("market", "kitchen-a", "kitchen-b", "kitchen-c", "kitchen-d", "kitchen-e")
        ),
        promises=tuple(promises),
    )


def six_variety_stock(today: date = TODAY) -> tuple[LivingLot, ...]:
    """About one pipeline of weekly batches, as if the farm had been running for long."""
    lots: list[LivingLot] = []
    for kind in kinds():
        lots += _pipeline(kind, today)
    return tuple(lots)


def _pipeline(kind: Kind, today: date) -> list[LivingLot]:
    lots: list[LivingLot] = []
    steps = kind.route.steps
    fruit = steps[-1]
    usable = kind.kg * 1000 / (fruit.yield_g * 0.95 * (0.65 * 0.98 + 0.35 * 0.94))
    number = 0

    def add(step: Step, made: int, since: int, alive: int, room: str, degrees: float) -> None:
        nonlocal number
        number += 1
        picked, last, flush = 0, None, 0
        if step.kind is StepKind.FRUIT and since > round(step.days.mode) + 2:
            flush = 1
            last = today - timedelta(days=since - round(step.days.mode) - 2)
            picked = round(alive * step.yield_g * 0.95 * 0.65)
        lots.append(
            LivingLot(
                code=f"{kind.code[:2].upper()}{number:03}",
                variety=kind.code,
                step=step.code,
                stage=step.stage,
                alive=alive,
                made_on=today - timedelta(days=made),
                step_since=today - timedelta(days=since),
                place="",
                room=room,
                temperature_c=degrees,
                route=kind.route,
                made=alive,
                picked_g=picked,
                last_picked_on=last,
                flush=flush,
                generation=1 if step.stage is Stage.GRAIN else 0,
            )
        )

    entered = today.weekday()
    stay = round(fruit.days.mode + 4 + fruit.flushes[1].gap_days.mode)
    room = "g3" if fruit.climate == "warm" else ("g1" if kind.code == "grey-oyster" else "g2")
    for age in range(entered, stay, 7):
        add(fruit, age + 40, age, max(1, round(usable)), room, 15.0)
    need = usable
    for place in range(len(steps) - 2, -1, -1):
        step = steps[place]
        if step.kind is StepKind.BUY:
            add(step, 3, 3, ceil(need), "cold", 4.0)
            continue
        if step.stage is Stage.TUBE:
            add(step, 30, 20, 3, "cold", 4.0)
            continue
        need_started = need / 0.95
        weekday = step.weekdays[0].number if step.weekdays else 0
        since = (today.weekday() - weekday - 1) % 7 + 1
        wait = 7 if step.stage is Stage.BLOCK else 8
        for age in range(since, ceil(step.days.mean) + wait, 7):
            is_ready = age > step.days.mean
            is_block = step.kind is StepKind.TRANSFER and step.stage is Stage.BLOCK
            if is_block and is_ready and steps[place + 1].kind is StepKind.STAND:
                continue
            spawn = step.stage in {Stage.PLATE, Stage.GRAIN, Stage.SAWDUST}
            cold = is_ready and spawn and step.keeps_days_cold is not None
            made = age + (20 if step.kind is StepKind.STAND else 0)
            count = max(2 if step.stage is Stage.PLATE else 1, ceil(need_started))
            add(step, made, age, count, "cold" if cold else "inc", 4.0 if cold else 22.0)
        if step.parents:
            need = need_started / step.parents[0].units_per_parent
    return lots
