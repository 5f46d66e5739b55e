"""Views of an invented farm, in the situations a page has to show. All figures are invented."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta

from pinset.services.views import (
    BuyerLine,
    Change,
    DayView,
    FixedHour,
    JobState,
    JobView,
    Kin,
    LifeEvent,
    LotLine,
    LotsView,
    LotUse,
    LotView,
    PromisesView,
    PromiseWeek,
    RoomLine,
    Section,
)

TODAY = date(2026, 3, 12)
PRESSURE = (
    "Never above the pressure on the vessel's plate; open at zero on the gauge only. "
    "The maker and the local boiler rules decide."
)
SPORES = "Wear a mask while picking: spores harm lungs over the years. Your doctor decides."
AIR_FIRST = "Air the room first if the door meter shows 5,000 ppm or more; local limits decide."


def job(code: str, kind: str, count: int, what: str, detail: str, **more: object) -> JobView:
    """Return one open job; anything may be set by name."""
    base = JobView(
        job=code,
        kind=kind,
        task=kind,
        day=TODAY,
        count=count,
        unit="units",
        what=what,
        detail=detail,
        stage="plate",
        step="plate",
        variety="Grey oyster",
        variety_code="grey-oyster",
        place="",
        room_kind="laboratory",
        from_lots=(),
        minutes=25,
        due="",
        at="",
        fixed=False,
        why="",
        serves=(),
        spoils="",
        late_days=0,
        late_cost="",
        state=JobState.OPEN,
        done_count=0,
        claimed_by="",
        cautions=(),
        act="Done",
    )
    return replace(base, **more)  # type: ignore[arg-type]


PLATES = job(
    "J4KQ7",
    "transfer",
    16,
    "plates from tube T7WP3",
    "Lion's mane, 2nd transfer of at most 4.",
    variety="Lion's mane",
    at="07:45",
    minutes=25,
    place="bench 1",
    from_lots=(LotUse("T7WP3", 1, 3, "tube, lion's mane, 11 weeks old", "culture fridge"),),
    why="Grain jars for lion's mane are wanted on 26 March, and plates take 12 to 15 days.",
    serves=("6 kg lion's mane for the Saturday market",),
    spoils="Nothing soon: the tube keeps until June.",
)
JARS = job(
    "J5MN2",
    "transfer",
    24,
    "rye jars from plates 4CWF9, 3 of 8",
    "Jars cooled since 06:20. These plates keep until Saturday.",
    stage="grain",
    step="grain",
    at="08:20",
    minutes=70,
    due="11:00",
    place="bench 1",
    from_lots=(LotUse("4CWF9", 3, 8, "plates, grey oyster, day 13", "incubation, shelf A2"),),
    why="Week 18 needs 96 blocks; these 24 jars make them with about one jar to spare.",
    serves=("35 kg grey oyster for the Saturday market", "4 kg grey oyster for kitchen two"),
    spoils="The plates are past their best after Saturday 14 March.",
    claimed_by="Jo",
)
BLOCKS = job(
    "J8RT4",
    "transfer",
    60,
    "blocks from sawdust spawn 9H3RA",
    "Blocks cool since 07:40.",
    stage="block",
    step="block",
    variety="Shiitake",
    at="09:40",
    minutes=105,
    place="bench 2",
    late_days=1,
    late_cost="1 day late: costs nothing yet, 4 kg of week 29 from Saturday",
    from_lots=(LotUse("9H3RA", 5, 12, "sawdust spawn bags, shiitake, day 31", "cold store, C1"),),
    why="Shiitake ripens about 100 days; week 29 is served by blocks made this week.",
    serves=("9 kg shiitake for kitchen four",),
    spoils="Cooled blocks should be inoculated within a day.",
)
LOAD = job(
    "J2WX6",
    "cook",
    72,
    "block bags of 2.4 kg into the steriliser",
    "Hold 2 h 35 min at 1.18 bar on the gauge (121 °C at 1,240 m).",
    stage="prepared",
    step="block",
    room_kind="steriliser",
    at="10:30",
    due="10:30",
    fixed=True,
    minutes=40,
    place="steam room",
    cautions=(PRESSURE,),
    act="Load",
)
SHAKE = job(
    "J7HD3",
    "shake",
    46,
    "rye jars to shake, 4TQD5 and 4TR73",
    "About a third grown.",
    stage="grain",
    room_kind="incubation",
    minutes=15,
    at="12:10",
    place="incubation, rack B",
    from_lots=(
        LotUse("4TQD5", 22, 22, "rye jars, grey oyster, day 6"),
        LotUse("4TR73", 24, 24, "rye jars, king oyster, day 6"),
    ),
    state=JobState.DONE,
    done_count=46,
    last_entry="b" * 32,
    act="Shaken",
)
LOOK = job(
    "J9QK8",
    "look",
    140,
    "bags to look over, 4 lots on rack C, day 9",
    "Most of what will go wrong has shown by now.",
    stage="block",
    room_kind="incubation",
    minutes=20,
    at="12:30",
    place="incubation, rack C",
    act="Looked",
)
ROUND = job(
    "J3VB5",
    "round",
    2,
    "rooms, morning round: temperature, humidity, traps",
    "",
    unit="rooms",
    stage="",
    room_kind="growing",
    minutes=30,
    at="13:00",
    cautions=(AIR_FIRST,),
    state=JobState.NOT_TODAY,
    last_entry="c" * 32,
    act="Round",
)
PICK = job(
    "J6ZP9",
    "pick",
    38,
    "kg or so to pick in grow room 2, 3MXAV and 3MXNT",
    "34 to 43 kg likely; 35 promised for the van.",
    unit="kg",
    stage="block",
    room_kind="growing",
    minutes=120,
    due="13:40",
    place="grow room 2",
    from_lots=(
        LotUse("3MXAV", 96, 96, "blocks, grey oyster, day 5 in the room", "grow room 2"),
        LotUse("3MXNT", 90, 92, "blocks, grey oyster, day 5 in the room", "grow room 2"),
    ),
    cautions=(SPORES,),
    serves=("35 kg grey oyster for the Saturday market",),
    why="The first flush opens today; left until tomorrow it throws spores and loses weight.",
    state=JobState.PART,
    done_count=12,
    last_entry="d" * 32,
    act="Pick",
)
DELIVER = job(
    "J5LV7",
    "deliver",
    41,
    "kg for the Saturday market: 35 kg grey oyster, 6 kg lion's mane",
    "Packed by 13:40.",
    unit="kg",
    stage="",
    room_kind="packing",
    minutes=20,
    due="14:00",
    at="14:00",
    fixed=True,
    act="Handed over",
)
SOAK = job(
    "J7SK2",
    "prepare",
    30,
    "kg rye into the soak",
    "For tomorrow's 96 jars.",
    task="soak",
    unit="kg",
    stage="prepared",
    room_kind="preparation",
    minutes=15,
    at="17:00",
    place="preparation",
)


def a_day() -> DayView:
    """Return a full working day: fixed hours, late work, work done and put off, warnings."""
    return DayView(
        day=TODAY,
        title="Thursday 12 March",
        summary="10 jobs, about 7 hours for two.",
        fixed=(
            FixedHour("10:30", "load the steriliser, 72 bags", LOAD.job),
            FixedHour("14:00", "van: 35 kg grey oyster, 6 kg lion's mane", DELIVER.job),
            FixedHour("16:10", "earliest to open the steriliser", ""),
        ),
        sections=(
            Section("Laboratory", "first, before any other room", (PLATES, JARS, BLOCKS)),
            Section("Steriliser", "not the person in the laboratory", (LOAD,)),
            Section("Shelves", "", (SHAKE, LOOK)),
            Section("Packing", "", (DELIVER,)),
            Section("Grow rooms", "last; not back to the laboratory after this", (ROUND, PICK)),
        ),
        later=(SOAK,),
        changes=(
            Change("24 more rye jars today.", "Lot 7K4MV lost 5 of 24 jars."),
            Change(
                "Picking in grow room 2 a day earlier.", "The round of yesterday found it open."
            ),
        ),
        notes=("Rye lot 7K4MV shows 5 of 24 jars lost; about 1 was expected.",),
        warnings=(
            "Picking for the van has to start before the laboratory is done: let another pick.",
        ),
        grow_room_warning=(
            "You recorded work in grow room 2 at 08:10. Shower and change before the laboratory, "
            "or leave it to somebody else today."
        ),
        plan_age="Planned today at 05:10; proven to within 0.4 %.",
    )


def _week(
    code: str, buyer: str, variety: str, day: date, promised: int, **more: object
) -> PromiseWeek:
    base = PromiseWeek(
        promise=code,
        buyer=buyer,
        variety=variety,
        day=day,
        promised=promised,
        measure="gram",
        expected=promised,
        delivered=None,
        state="on course",
        reason="",
    )
    return replace(base, **more)  # type: ignore[arg-type]


def promises() -> PromisesView:
    """Return three weeks: one behind us, one with a shortage, one on course."""
    monday = date(2026, 3, 2)
    saturday = monday + timedelta(days=5)
    rows = (
        (
            _week(
                "market-grey",
                "Saturday market",
                "Grey oyster",
                saturday,
                35_000,
                delivered=35_400,
                state="kept",
            ),
            _week(
                "kitchen-lion",
                "Kitchen one",
                "Lion's mane",
                saturday - timedelta(days=2),
                6_000,
                delivered=4_200,
                state="part kept",
                reason="Lot 5PLM2 gave 1.8 kg less than expected.",
            ),
            _week(
                "kitchen-king",
                "Kitchen four",
                "King oyster",
                saturday - timedelta(days=3),
                4_000,
                delivered=0,
                state="missed",
                reason="Nothing was ripe that week.",
            ),
        ),
        (
            _week(
                "market-grey",
                "Saturday market",
                "Grey oyster",
                saturday + timedelta(days=7),
                35_000,
                expected=38_000,
            ),
            _week(
                "kitchen-lion",
                "Kitchen one",
                "Lion's mane",
                saturday + timedelta(days=5),
                6_000,
                expected=2_500,
                state="unavoidable",
                reason="3.5 kg cannot be met from what is alive now, whatever one does.",
            ),
        ),
        (
            _week(
                "market-grey",
                "Saturday market",
                "Grey oyster",
                saturday + timedelta(days=14),
                35_000,
                expected=35_000,
            ),
            _week(
                "spawn",
                "Neighbour farm",
                "Grey oyster",
                saturday + timedelta(days=12),
                20,
                measure="unit",
                expected=12,
                state="short",
                reason="The steriliser is full on 5 and 6 March.",
            ),
        ),
    )
    return PromisesView(
        day=TODAY,
        sentence="Next 3 weeks: 4 of 5 promises on course; 3.5 kg of lion's mane will be missing.",
        weeks=tuple((monday + timedelta(weeks=i), row) for i, row in enumerate(rows)),
        remarks=("King oyster of week 16 waits for a culture that is not cleared yet.",),
        planned_at=datetime(2026, 3, 12, 4, 10, tzinfo=UTC),
        gap=0.004,
    )


JAR_LINE = LotLine(
    lot="4TQD5",
    words="Rye jars, grey oyster",
    variety="Grey oyster",
    stage="grain",
    step="grain",
    made_on=date(2026, 3, 6),
    age_days=6,
    made=24,
    alive=22,
    lost=2,
    place="incubation, shelf B3",
    ready="ready 18 to 21 March",
    held="",
)


def lots() -> LotsView:
    """Return the first of three pages of lots."""
    lines = (
        JAR_LINE,
        replace(
            JAR_LINE,
            lot="4CWF9",
            words="Plates, grey oyster",
            stage="plate",
            step="plate",
            made=8,
            alive=8,
            lost=0,
            age_days=13,
            place="incubation, shelf A2",
            ready="ready; keeps until 14 March",
        ),
        replace(
            JAR_LINE,
            lot="9H3RA",
            words="Sawdust spawn bags, shiitake",
            variety="Shiitake",
            stage="sawdust",
            step="sawdust",
            made=14,
            alive=12,
            lost=1,
            age_days=31,
            place="cold store, shelf C1",
            ready="ready; keeps until 4 April",
        ),
        replace(
            JAR_LINE,
            lot="3MXAV",
            words="Blocks, grey oyster",
            stage="block",
            step="fruiting",
            made=98,
            alive=96,
            lost=2,
            age_days=26,
            place="grow room 2",
            ready="first flush open",
        ),
        replace(
            JAR_LINE,
            lot="7K4MV",
            words="Rye jars, king oyster",
            variety="King oyster",
            made=24,
            alive=19,
            lost=5,
            age_days=11,
            place="incubation, shelf B1",
            ready="ready 16 to 19 March",
            held="held back: more lost than expected",
        ),
        replace(
            JAR_LINE,
            lot="T7WP3",
            words="Tubes, lion's mane",
            variety="Lion's mane",
            stage="tube",
            step="tube",
            made=4,
            alive=3,
            lost=0,
            age_days=79,
            place="culture fridge",
            ready="keeps until June",
        ),
    )
    return LotsView(total=131, page=1, pages=3, lots=lines, filters=())


def a_lot() -> LotView:
    """Return one lot in the middle of its life."""
    made = datetime(2026, 3, 6, 9, 5, tzinfo=UTC)
    return LotView(
        line=JAR_LINE,
        title="Rye jars 4TQD5",
        sentence="Grey oyster, 22 alive of 24, day 6.",
        culture="GO-2",
        generation=1,
        transfers=2,
        cook="86",
        counts=(
            ("made", 24),
            ("alive", 22),
            ("used", 0),
            ("lost", 2),
            ("culled", 0),
            ("spent", 0),
            ("sold", 0),
            ("unexplained", 0),
        ),
        picked_g=0,
        parents=(Kin("4CWF9", "Plates, grey oyster", "3 of 8 plates used"),),
        children=(Kin("5BBK7", "Blocks, grey oyster", "2 jars into 12 blocks"),),
        life=(
            LifeEvent(
                "a" * 32,
                made + timedelta(days=5, hours=3),
                made + timedelta(days=5, hours=3),
                "Jo",
                "2 jars taken out: green mould.",
                "both near the lid",
                False,
                True,
            ),
            LifeEvent(
                "e" * 32,
                made + timedelta(days=4),
                made + timedelta(days=4, hours=8),
                "Sam",
                "Shaken, 24 jars.",
                "",
                True,
                False,
            ),
            LifeEvent(
                "f" * 32,
                made,
                made + timedelta(minutes=10),
                "Jo",
                "24 jars inoculated from plates 4CWF9.",
                "",
                False,
                True,
            ),
        ),
        findings=("2 of 24 jars were lost by day 5; about 1 was expected.",),
        next_step="Shake again on 15 March; ready 18 to 21 March.",
    )


def rooms() -> tuple[RoomLine, ...]:
    """Return four rooms, one nearly full."""
    return (
        RoomLine("lab", "Laboratory", "laboratory", 21.0, (), 0),
        RoomLine(
            "inc",
            "Incubation",
            "incubation",
            23.0,
            (("A1", 40, 60), ("A2", 8, 60), ("B1", 57, 60), ("C", 118, 120)),
            223,
        ),
        RoomLine("cold", "Cold store", "cold", 3.0, (("C1", 12, 80),), 12),
        RoomLine("grow-2", "Grow room 2", "growing", 15.0, (("G2", 188, 200),), 188),
    )


def buyers() -> tuple[BuyerLine, ...]:
    """Return two buyers, one of whom got less than promised."""
    return (
        BuyerLine(
            "market",
            "Saturday market",
            ("35 kg grey oyster, every Saturday",),
            (("Grey oyster", 139_000, 140_000, "gram"),),
            "Nearly all kept in the last four weeks.",
        ),
        BuyerLine(
            "kitchen-1",
            "Kitchen one",
            ("6 kg lion's mane, every Thursday",),
            (("Lion's mane", 17_000, 24_000, "gram"), ("Grain jars", 2, 3, "unit")),
            "7 kg short in the last four weeks.",
        ),
    )
