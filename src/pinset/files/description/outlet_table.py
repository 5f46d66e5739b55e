"""Which columns the table of outlets has: places for what fits no promise."""

from __future__ import annotations

from pinset.chain.outlets import NO_SOURCE
from pinset.chain.register import OutletKind
from pinset.files.description.cells import Code, Several, Text, choice
from pinset.files.description.columns import Column, Table
from pinset.files.description.common_kinds import PRICE, WEEKDAYS
from pinset.files.description.day_cells import Clock, Day
from pinset.files.description.number_cells import Number

_WEIGHT = Number(0, 10_000, "kg", "mass", scale=1000, whole=True)

OUTLETS = Table(
    "outlets",
    "Places for picked mushrooms that fit no promise: a market day, a kitchen that takes extra,"
    " drying. Nothing is owed to them; the plan allots what is left over by price.",
    (
        Column("code", Code(), "short name", required=True),
        Column("name", Text(200), "name", required=True),
        Column("kind", choice(OutletKind), "what it is", required=True),
        Column("weekdays", WEEKDAYS, "days on which it takes something", empty="any working day"),
        Column(
            "varieties",
            Several(Code()),
            "what it takes",
            refers="varieties",
            empty="all that are picked",
        ),
        Column(
            "price_per_kg",
            PRICE,
            "price of a kilogram, in the farm's currency; of drying, of a kilogram dry",
            field="price_cents_per_kg",
            empty="the variety's own; drying needs it",
        ),
        Column(
            "least_kg",
            _WEIGHT,
            "least it is worth on one day, fresh; for less nobody goes",
            field="least_g",
            empty="0",
        ),
        Column(
            "most_kg",
            _WEIGHT,
            "most it takes on one day, fresh",
            field="most_g",
            empty="as much as there is",
        ),
        Column("deliver_at", Clock(), "clock time", empty="the buyer's, or with the van"),
        Column("buyer", Code(), "the buyer it is", refers="buyers", empty="none of them"),
        Column("from_date", Day(), "first day", empty="at once"),
        Column("until", Day(), "last day", empty="until further notice"),
        Column(
            "fresh_per_dry",
            Number(1, 50, none=None),
            "drying: kilograms fresh for one kilogram dry",
            empty="drying needs it",
        ),
        Column(
            "ratio_source",
            Text(200),
            "where that number is from: weighed here, or a publication",
            empty=NO_SOURCE,
        ),
        Column("note", Text(), "what should be remembered"),
    ),
    key=("code",),
)
