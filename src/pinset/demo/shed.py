"""The demo farm as its people would describe it: rooms, machines, people, buyers, promises.

Everything here is invented: a former railway goods shed at 1,240 m with three people. Sizes and
working hours are plausible (common practice, no source) and were chosen so that the promises can
just be met; see :mod:`pinset.demo.rhythm` for the arithmetic.
"""

from __future__ import annotations

from datetime import date, timedelta

from pinset.chain.register import (
    Bench,
    Buyer,
    CookKind,
    Culture,
    Farm,
    FarmBook,
    Instrument,
    InstrumentKind,
    Outlet,
    OutletKind,
    Promise,
    Room,
    RoomKind,
    Shelf,
    Steriliser,
    Variety,
    Vessel,
    Weekday,
    Worker,
)
from pinset.demo.chores import FILTERS, SEAL_BEFORE, chores
from pinset.demo.place import TIME_ZONE
from pinset.demo.routes import ROUTES
from pinset.demo.standing import standing_lots

FARM = Farm(
    name="The Goods Shed (invented farm)",
    altitude_m=1240.0,
    time_zone=TIME_ZONE,
    working_days=(
        Weekday.MON,
        Weekday.TUE,
        Weekday.WED,
        Weekday.THU,
        Weekday.FRI,
        Weekday.SAT,
    ),
    code="goods-shed",
)


def shelves(prefix: str, count: int, holds: int) -> tuple[Shelf, ...]:
    """Return like shelves, numbered from 1."""
    return tuple(Shelf(f"{prefix}-{number}", holds) for number in range(1, count + 1))


ROOMS = (
    Room("laboratory", "Laboratory", RoomKind.LABORATORY, 22.0, shelves("lab", 1, 120)),
    Room("incubation", "Incubation room", RoomKind.INCUBATION, 23.0, shelves("inc", 2, 900)),
    Room("ripening", "Ripening hall", RoomKind.INCUBATION, 20.0, shelves("ripe", 2, 840)),
    Room("cold-store", "Cold store", RoomKind.COLD, 4.0, shelves("cold", 2, 60)),
    Room("steriliser-bay", "Steriliser bay", RoomKind.STERILISER, 20.0, shelves("bay", 1, 240)),
    Room("preparation", "Preparation", RoomKind.PREPARATION, 16.0, shelves("prep", 1, 60)),
    Room("packing", "Packing and cold room", RoomKind.PACKING, 3.0, shelves("pack", 1, 200)),
    Room("west", "West room", RoomKind.GROWING, 15.0, shelves("west", 2, 560), ("cool",)),
    Room("middle", "Middle room", RoomKind.GROWING, 16.5, shelves("mid", 2, 585), ("mild",)),
    Room("east", "East room", RoomKind.GROWING, 21.0, shelves("east", 2, 95), ("warm",)),
)

STERILISERS = (
    Steriliser(
        code="kettle",
        name="Pressure steriliser",
        room="steriliser-bay",
        cooks=(
            CookKind("agar", 2.5, 20, 30, 60.0, "f0=15"),
            CookKind("grain", 5.0, 40, 90, 300.0, "f0=15"),
            CookKind("block", 6.5, 60, 150, 440.0, "f0=15"),
        ),
        hours_per_day=9.5,
        cooks_per_day=2,
        rating_bar_gauge=1.5,
        load_at="10:30",
        opened_until="20:00",  # Marta lives above the shed
    ),
    Steriliser(
        code="straw-tank",
        name="Straw pasteuriser",
        room="preparation",
        cooks=(CookKind("straw", 7.0, 50, 120, 840.0, "hold=60C/60"),),
        hours_per_day=8.0,
        cooks_per_day=1,
        load_at="09:30",
        opened_until="17:30",
    ),
)

BENCHES = (Bench("bench-1", "Clean bench", "laboratory", 240),)

WORKERS = (
    Worker("marta", "Marta", (8.0, 8.0, 8.0, 8.0, 8.0, 5.0, 0.0), True, "owner"),
    Worker("jori", "Jori", (8.0, 8.0, 8.0, 8.0, 8.0, 0.0, 0.0)),
    Worker("lene", "Lene", (6.0, 6.0, 6.0, 6.0, 6.0, 5.0, 0.0), laboratory=False),
)
"""First names only, invented; no real person."""

VESSELS = (
    Vessel("tube", "culture tube", 0.05),
    Vessel("plate", "agar plate", 0.04),
    Vessel("jar", "1 L jar", 1.6, in_circulation=340),
    Vessel("spawn-bag", "spawn bag, 2.5 kg", 4.5),
    Vessel("block-bag", "block bag, 2.5 kg", 4.5),
    Vessel("straw-bag", "straw bag, 5 kg", 11.0),
    Vessel("bought-bag", "bought spawn bag, 3 kg", 0.0),
)

VARIETIES = (
    Variety(
        "grey-oyster", "Grey oyster", "Pleurotus ostreatus", "grey-oyster-straw",
        picked_keeps_days=6.0, price_cents_per_kg=1250, colour="#6b7280",
    ),
    Variety(
        "golden-oyster", "Golden oyster", "Pleurotus citrinopileatus", "golden-oyster-straw",
        picked_keeps_days=4.0, price_cents_per_kg=1700, colour="#c79a1b",
    ),
    Variety(
        "king-oyster", "King oyster", "Pleurotus eryngii", "king-oyster-beech",
        picked_keeps_days=14.0, price_cents_per_kg=1850, colour="#a68a64",
    ),
    Variety(
        "shiitake", "Shiitake", "Lentinula edodes", "shiitake-beech",
        picked_keeps_days=11.0, price_cents_per_kg=1900, colour="#7a4b2a",
    ),
    Variety(
        "lions-mane", "Lion's mane", "Hericium erinaceus", "lions-mane-beech",
        picked_keeps_days=12.0, price_cents_per_kg=2300, colour="#8b8f6a",
    ),
    Variety(
        "pioppino", "Pioppino", "Agrocybe aegerita", "pioppino-beech",
        picked_keeps_days=12.0, price_cents_per_kg=2100, colour="#5d4037",
    ),
)  # fmt: skip

BUYERS = (
    Buyer("market", "Market stall, Saturday", "06:30"),
    Buyer("weir", "Kitchen at the weir"),
    Buyer("halt", "Kitchen at the old halt"),
    Buyer("terrace", "Terrace kitchen"),
    Buyer("school", "School kitchen"),
    Buyer("summit", "Kitchen below the pass"),
    Buyer("hobby-club", "Hobby growers' club"),
)

WEEKLY_KG: tuple[tuple[str, Weekday, str, int], ...] = (
    ("market", Weekday.SAT, "grey-oyster", 34),
    ("market", Weekday.SAT, "golden-oyster", 9),
    ("market", Weekday.SAT, "king-oyster", 8),
    ("market", Weekday.SAT, "shiitake", 13),
    ("market", Weekday.SAT, "lions-mane", 8),
    ("market", Weekday.SAT, "pioppino", 5),
    ("weir", Weekday.TUE, "grey-oyster", 14),
    ("weir", Weekday.TUE, "king-oyster", 7),
    ("weir", Weekday.TUE, "shiitake", 6),
    ("halt", Weekday.WED, "lions-mane", 5),
    ("halt", Weekday.WED, "pioppino", 3),
    ("terrace", Weekday.THU, "golden-oyster", 7),
    ("terrace", Weekday.THU, "shiitake", 9),
    ("terrace", Weekday.THU, "lions-mane", 6),
    ("school", Weekday.THU, "grey-oyster", 24),
    ("summit", Weekday.FRI, "grey-oyster", 12),
    ("summit", Weekday.FRI, "king-oyster", 7),
    ("summit", Weekday.FRI, "shiitake", 5),
    ("summit", Weekday.FRI, "pioppino", 4),
    ("summit", Weekday.FRI, "lions-mane", 4),
)
"""Kilograms promised every week: 190 in all."""

SPAWN_BAGS_SOLD = 2

OUTLETS = (
    Outlet(
        "market-extra", "Market stall, beyond what is promised", OutletKind.MARKET,
        (Weekday.SAT,), most_g=18_000, buyer="market", note="Invented.",
    ),
    Outlet(
        "halt-soup", "Kitchen at the old halt, soup day", OutletKind.KITCHEN,
        (Weekday.MON, Weekday.WED), ("grey-oyster", "shiitake", "pioppino"),
        price_cents_per_kg=900, least_g=2000, most_g=10_000, buyer="halt", note="Invented.",
    ),
    Outlet(
        "drier", "Drying cupboard", OutletKind.DRYING,
        varieties=("shiitake", "grey-oyster", "lions-mane"),
        price_cents_per_kg=7000, least_g=1500, most_g=8000,
        fresh_per_dry=10.0, note="Invented; 8 kg are what its trays hold.",
    ),
)  # fmt: skip
"""Places for what fits no promise. Ten kilograms fresh for one dry: common practice, no source."""


def promises(since: date) -> tuple[Promise, ...]:
    """Return the standing promises, in force from a day on."""
    price = {variety.code: variety.price_cents_per_kg for variety in VARIETIES}
    weights = tuple(
        Promise(
            code=f"{buyer}-{variety}",
            buyer=buyer,
            variety=variety,
            amount=kilograms * 1000,
            weekday=weekday,
            from_date=since,
            price_cents=price[variety],
        )
        for buyer, weekday, variety, kilograms in WEEKLY_KG
    )
    spawn = Promise(
        code="hobby-club-spawn",
        buyer="hobby-club",
        variety="shiitake",
        amount=SPAWN_BAGS_SOLD,
        measure="unit",
        step="sawdust",
        weekday=Weekday.SAT,
        from_date=since,
        price_cents=1900,
    )
    return (*weights, spawn)


def cultures(start: date) -> tuple[Culture, ...]:
    """Return the isolates kept in tubes at the start of the history; golden oyster has none."""
    bought = "bought as a culture; invented"
    return (
        Culture("grey-a", "grey-oyster", bought, start - timedelta(days=420)),
        Culture("king-a", "king-oyster", bought, start - timedelta(days=300)),
        Culture("shii-a", "shiitake", bought, start - timedelta(days=365)),
        Culture("lion-a", "lions-mane", bought, start - timedelta(days=500)),
        Culture("piop-a", "pioppino", "tissue from an own fruit; invented", start - timedelta(200)),
    )


def instruments(start: date) -> tuple[Instrument, ...]:
    """Return probes and gauge, compared before the books began; the gauge is overdue since."""
    compared = start - timedelta(days=21)
    ice = "melting ice, and boiling water at this altitude"
    lent = "a gauge lent for a day"
    probe, gauge = InstrumentKind.PROBE, InstrumentKind.GAUGE
    return (
        Instrument("chamber", "Chamber probe", probe, "chamber [°C]", 0.5, compared, ice, 730),
        Instrument("core", "Core probe", probe, "core [°C]", 0.3, compared, ice, 730),
        Instrument("gauge", "Kettle gauge", gauge, "pressure [bar gauge]", 2.0, compared, lent),
    )


def opening_book(start: date) -> FarmBook:
    """Return the farm as it was described on the first day of its history."""
    plain = FarmBook(
        farm=FARM,
        rooms=ROOMS,
        sterilisers=STERILISERS,
        benches=BENCHES,
        instruments=instruments(start),
        workers=WORKERS,
        vessels=VESSELS,
        routes=ROUTES,
        varieties=VARIETIES,
        cultures=cultures(start),
        buyers=BUYERS,
        promises=promises(start),
        outlets=OUTLETS,
        upkeep=chores(start),
        instructions=(FILTERS, SEAL_BEFORE),
    )
    return standing_lots(plain, start)


def book(today: date) -> FarmBook:
    """Return the farm on a day, with a steady pipeline of lots alive at every age.

    The lots are those a farm would have that worked by its rhythm and lost what it expects to
    lose; no history is simulated. It serves the planner's benchmark.
    """
    return opening_book(today)
