"""Which columns the tables of what was changed by hand have."""

from __future__ import annotations

from pinset.chain.outages import OutageOf
from pinset.files.description.cells import Code, Text, choice
from pinset.files.description.columns import Column, Table
from pinset.files.description.day_cells import Day
from pinset.files.description.number_cells import Number

OUTAGES = Table(
    "outages",
    "What is out of use from a day to a day: a steriliser down, a person away, a bench or a room"
    " being cleaned.",
    (
        Column("code", Code(), "short name", required=True),
        Column("what", choice(OutageOf), "what is out of use", required=True),
        Column(
            "which",
            Code(),
            "its code; of a person the code in people",
            required=True,
            refers="what is out of use",
        ),
        Column("from_date", Day(), "first day", required=True),
        Column("until", Day(), "last day, included", required=True),
        Column("note", Text(), "what should be remembered"),
    ),
    key=("code",),
)

PINS = Table(
    "pins",
    "Starts, moves into a grow room and cooks that are fixed by hand: so many on a day, or none.",
    (
        Column("code", Code(), "short name", required=True),
        Column("variety", Code(), "variety", refers="varieties", empty="a cook of `steriliser`"),
        Column(
            "step",
            Code(),
            "the step that is started, ordered or, for fruiting, moved in; of a cook its kind",
            required=True,
            refers="steps of the variety",
        ),
        Column("day", Day(), "on which day", required=True),
        Column(
            "count",
            Number(0, 1_000_000, whole=True),
            "units or cooks; 0: none that day",
            required=True,
        ),
        Column("note", Text(), "what should be remembered"),
        Column("steriliser", Code(), "the steriliser of a cook", refers="sterilisers"),
    ),
    key=("code",),
)
