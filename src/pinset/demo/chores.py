"""The chores of the demo farm, and what it wrote down on how some are done. All of it invented.

How often is common practice without a source; the hours of the lamp are those of the proposals.
"""

from __future__ import annotations

from datetime import date, timedelta

from pinset.chain.upkeep import Chore, ChoreAt, ChoreKind, Instruction, Reads

PROBES = (("chamber", "Compare the chamber probe"), ("core", "Compare the core probe"))


def chores(start: date) -> tuple[Chore, ...]:
    """Return the chores, as they stood on the first day of the history."""
    week, month = start - timedelta(days=3), start - timedelta(days=12)
    dirt, cleaning = ("disinfectants",), ChoreKind.ROOM_CLEANING
    return (
        Chore(
            "bench-clean", "Clean the bench thoroughly", ChoreKind.BENCH_CLEANING, ChoreAt.BENCH,
            "bench-1", 7, since=week, by="jori", minutes=30,
            cautions=("disinfectants", "uv-c", "alcohol-flame"),
        ),
        Chore(
            "lab-floor", "Clean the room: floor and walls in reach", cleaning, ChoreAt.ROOM,
            "laboratory", 7, since=week, by="marta", minutes=45, cautions=dirt,
        ),
        Chore(
            "incubation-clean", "Clean the room: floor, racks in reach", cleaning, ChoreAt.ROOM,
            "incubation", 14, since=month, by="jori", minutes=60,
            cautions=("disinfectants", "mouldy-units"),
        ),
        Chore(
            "packing-clean", "Clean where mushrooms are packed", cleaning, ChoreAt.ROOM,
            "packing", 7, since=week, by="lene", minutes=45, cautions=("disinfectants", "food"),
        ),
        Chore(
            "preparation-clean", "Clean the room: floor, drain, mixer", cleaning, ChoreAt.ROOM,
            "preparation", 7, since=week, by="lene", minutes=45, cautions=("disinfectants", "dust"),
        ),
        Chore(
            "lamp", "UV-C lamp: read its hours off", ChoreKind.LAMP, ChoreAt.BENCH, "bench-1", 30,
            reads=Reads.HOURS, limit=2000.0, first_reading=0.0, since=month, by="jori", minutes=5,
            cautions=("uv-c",),
        ),
        Chore(
            "pre-filter", "Pre-filter: read its pressure drop off", ChoreKind.PRE_FILTER,
            ChoreAt.BENCH, "bench-1", 30, reads=Reads.PRESSURE_DROP, limit_times=2.0,
            first_reading=58.0, since=month, by="jori", minutes=10, cautions=("dust",),
        ),
        Chore(
            "hepa", "Main filter (HEPA): read its pressure drop off", ChoreKind.HEPA,
            ChoreAt.BENCH, "bench-1", 30, reads=Reads.PRESSURE_DROP, limit_times=2.0,
            first_reading=112.0, since=month, by="jori", minutes=10,
            note="The reading of the day it was built in counts as that of a new one.",
        ),
        Chore(
            "gasket", "Look at door seal and lugs, clean the seal", ChoreKind.GASKET,
            ChoreAt.STERILISER, "kettle", 7, 10, since=week, by="marta", minutes=10,
            cautions=("pressure", "relief-valve"),
        ),
        Chore(
            "valve", "Test the safety valve as its maker says", ChoreKind.VALVE,
            ChoreAt.STERILISER, "kettle", 182, since=start - timedelta(days=60), by="marta",
            minutes=20, cautions=("relief-valve", "pressure", "steam"),
        ),
        Chore(
            "gauge", "Compare the gauge with a reference", ChoreKind.GAUGE_CHECK,
            ChoreAt.INSTRUMENT, "gauge", reads=Reads.OFF_PRESSURE, limit=5.0, by="marta",
            minutes=30, cautions=("relief-valve", "pressure"),
        ),
        *(
            Chore(
                f"{code}-probe", name, ChoreKind.PROBE_CHECK, ChoreAt.INSTRUMENT, code,
                reads=Reads.OFF_DEGREES, limit=0.5, by="marta", minutes=30, cautions=("hot-glass",),
            )
            for code, name in PROBES
        ),
        Chore(
            "scale", "Check the scale with a known weight", ChoreKind.SCALE_CHECK, ChoreAt.FARM,
            every_days=30, reads=Reads.OFF_GRAMS, limit=5.0, since=month, by="lene", minutes=5,
        ),
        Chore(
            "water", "Have the water tested that is mixed, sprayed and drunk",
            ChoreKind.WATER_TEST, ChoreAt.FARM, every_days=365, since=start - timedelta(days=200),
            by="marta", minutes=20, cautions=("mist-water",),
        ),
        Chore(
            "laundry", "Wash the laboratory clothes", ChoreKind.LAUNDRY, ChoreAt.FARM,
            every_days=7, since=week, by="jori", minutes=20,
        ),
    )  # fmt: skip


FILTERS = Instruction(
    "hepa",
    "Invented.\nBench on for ten minutes, sash at its mark.\n"
    "Read the gauge at the back at eye height, to 2 Pa.\nNever touch the face of the filter.",
)
SEAL_BEFORE = Instruction("gasket", "Invented.\nWipe the seal and its groove, look at the lugs.")
SEAL_AFTER = Instruction(
    "gasket",
    "Invented.\nKettle cold, gauge at zero, vent open.\nWipe the seal and its groove.\n"
    "Press a thumb along the whole seal: where it does not give, it is hard and is changed.\n"
    "Look at lugs and hinge. In the next cook look for steam along the door.",
)
"""Written after the seal had leaked for two weeks."""
