"""Which columns the tables of upkeep and of written instructions have."""

from __future__ import annotations

from pinset.chain.upkeep import INSTRUCTED, ChoreAt, ChoreKind, Reads
from pinset.files.description.cells import Choice, Code, Several, Text, choice
from pinset.files.description.columns import Column, Table
from pinset.files.description.day_cells import Day
from pinset.files.description.number_cells import Number

_READING = Number(0, 200_000, none=None)
_OFF = Number(-5_000, 200_000, none=None)

UPKEEP = Table(
    "upkeep",
    "Chores: what is cleaned, read off, checked or changed, how often, and by whom. What is due is"
    " worked out from the last time it was done.",
    (
        Column("code", Code(), "short name", required=True),
        Column("name", Text(200), "what is done", required=True),
        Column("kind", choice(ChoreKind), "what kind of chore it is", required=True),
        Column("at", choice(ChoreAt), "what it is done at", required=True),
        Column(
            "which",
            Code(),
            "code of that room, bench, steriliser or instrument",
            refers="what it is done at",
            empty="only where it is done at the farm",
        ),
        Column(
            "every_days",
            Number(1, 3650, "days", "time", whole=True, none=None),
            "so many days after it was last done",
            empty="then every_uses; of an instrument as its calibration says",
        ),
        Column(
            "every_uses",
            Number(1, 10_000, whole=True, none=None),
            "after so many cooks of a steriliser or sessions at a bench",
            empty="not counted",
        ),
        Column(
            "reads",
            Choice(tuple(each.value for each in Reads if each), Reads, Reads.NOTHING),
            "what is read off: hours, pressure drop, or how far off it is",
            empty="nothing",
        ),
        Column("limit", _READING, "reading at which it is changed or mended", empty="none"),
        Column(
            "limit_times",
            Number(1.05, 10, none=None),
            "of a filter: the same, as times the pressure drop of a new one",
            empty="then limit",
        ),
        Column("first_reading", _READING, "what a new one read", empty="not known; of hours 0"),
        Column("since", Day(), "when it was last done, before pinset knew", empty="not known"),
        Column("last_reading", _OFF, "what was read off then", empty="not known"),
        Column("amiss", Text(), "what was found amiss then and is not mended yet", empty="nothing"),
        Column("by", Code(), "who usually does it", refers="people", empty="anybody"),
        Column("minutes", Number(0, 1440, "minutes", "time", whole=True), "minutes", empty="10"),
        Column("cautions", Several(Text(40)), "keys of the cautions shown with it"),
        Column("note", Text(), "what should be remembered"),
    ),
    key=("code",),
)

INSTRUCTIONS = Table(
    "instructions",
    "How the farm wants a kind of job done, in its own words. Each change is a new version, and"
    " everybody says of each that it was read and understood.",
    (
        Column("code", Choice(INSTRUCTED), "kind of job", required=True),
        Column("text", Text(20_000), "what is to be done", required=True),
    ),
    key=("code",),
)
