"""Which columns each table has: the one place that reader, writer, templates and guide share.

The names are the grower's; ``field`` is the name in the record of `pinset.chain.register` where it
differs. A column that is not required may be left out of the file or empty in a row; then the
record's own default holds, or, for a route that starts from published values, the published one.
"""

from __future__ import annotations

from typing import Any

from pinset.chain.rules_sales import MONTHS, MOST_SEASON, MOST_TRIMMED
from pinset.files.description.cells import Code, LotCode, Several, Text, YesNo
from pinset.files.description.change_tables import OUTAGES, PINS
from pinset.files.description.columns import Column, Table
from pinset.files.description.common_kinds import PRICE, WEEKDAY, days
from pinset.files.description.day_cells import Clock, Day
from pinset.files.description.number_cells import Fraction, Number
from pinset.files.description.outlet_table import OUTLETS
from pinset.files.description.route_tables import FLUSHES, PREPARATIONS, ROUTES
from pinset.files.description.upkeep_table import INSTRUCTIONS, UPKEEP

VARIETIES = Table(
    "varieties",
    "What is sold: a species under its trade name, with its route.",
    (
        Column("code", Code(), "short name used in the other tables", required=True),
        Column("name", Text(200), "name the buyers know", required=True),
        Column("species", Text(200), "Latin name, such as Pleurotus ostreatus", required=True),
        Column("route", Code(), "route it is grown by", required=True, refers="routes"),
        Column(
            "sold_as",
            Code(),
            "picked, or the step whose units are sold (spawn, blocks)",
            refers="steps of the variety",
            empty="picked",
        ),
        Column("picked_keeps_days", days(60), "how long picked mushrooms keep cold", empty="6"),
        Column(
            "trim_loss",
            Fraction(high=MOST_TRIMMED),
            "share of the picked weight trimmed off",
            empty="0.05",
        ),
        Column(
            "price_per_kg",
            PRICE,
            "usual price of a kilogram, in the farm's currency",
            field="price_cents_per_kg",
            empty="0",
        ),
        Column("colour", Text(40), "colour word or #rrggbb for charts"),
        Column(
            "season",
            Several(Number(0, MOST_SEASON), exactly=MONTHS),
            "share of the route's yield that is picked in each month, January to December",
            empty="the same all year",
        ),
    ),
    key=("code",),
    required=True,
)

VESSELS = Table(
    "vessels",
    "Kinds of vessel. Those that come back are in circulation and can run out.",
    (
        Column("code", Code(), "short name", required=True),
        Column("name", Text(200), "what it is", required=True),
        Column(
            "litres",
            Number(0, 10_000, "L", "volume"),
            "steriliser room one filled vessel takes",
            required=True,
        ),
        Column(
            "in_circulation",
            Number(0, 10_000_000, whole=True, none=None),
            "how many the farm has",
            empty="thrown away after use, never runs out",
        ),
    ),
    key=("code",),
)

CULTURES = Table(
    "cultures",
    "Isolates kept alive.",
    (
        Column("code", Code(), "short name", required=True),
        Column("variety", Code(), "variety it is", required=True, refers="varieties"),
        Column("source", Text(200), "where it came from", required=True),
        Column("mother_on", Day(1950), "date of the mother culture", empty="not known"),
        Column("cleared", YesNo(), "no: a clone not yet tested", empty="yes"),
        Column("note", Text(), "what should be remembered"),
    ),
    key=("code",),
)

BUYERS = Table(
    "buyers",
    "Who buys.",
    (
        Column("code", Code(), "short name", required=True),
        Column("name", Text(200), "name", required=True),
        Column("deliver_at", Clock(), "clock time of delivery", empty="with the van"),
    ),
    key=("code",),
)

PROMISES = Table(
    "promises",
    "What is promised: so many kilograms (or units) every week on a weekday, or once on a date.",
    (
        Column("code", Code(), "short name", empty="made from buyer, variety and day"),
        Column("buyer", Code(), "who gets it", required=True, refers="buyers"),
        Column("variety", Code(), "what", required=True, refers="varieties"),
        Column(
            "amount_kg",
            Number(0, 10_000, "kg", "mass", scale=1000, whole=True, above_low=True),
            "how much, picked mushrooms",
            empty="then amount_units",
        ),
        Column(
            "amount_units",
            Number(1, 1_000_000, whole=True),
            "how many, spawn or blocks sold",
            empty="then amount_kg",
        ),
        Column(
            "step",
            Code(),
            "picked, or the step whose units are sold",
            refers="steps of the variety",
            empty="picked",
        ),
        Column("weekday", WEEKDAY, "every week on this day", empty="then on_date"),
        Column("from_date", Day(), "first day of a weekly promise", empty="at once"),
        Column("until", Day(), "last day of a weekly promise", empty="until further notice"),
        Column("on_date", Day(), "once, on this day", empty="then weekday"),
        Column(
            "price",
            PRICE,
            "price of a kilogram or a unit, in the farm's currency",
            field="price_cents",
            empty="0",
        ),
    ),
    key=("code",),
)

LOTS = Table(
    "lots",
    "Every lot alive today: like units made together on one day. A lot that stands in two places"
    " or came into a grow room on two days has two rows with its code; made_count, picked_kg and"
    " note then stand in the first.",
    (
        Column("code", LotCode(), "code printed on its labels", empty="pinset gives one"),
        Column("variety", Code(), "variety", required=True, refers="varieties"),
        Column(
            "step",
            Code(),
            "step of its route it is in",
            required=True,
            refers="steps of the variety",
        ),
        Column(
            "count",
            Number(1, 1_000_000, whole=True),
            "units alive now",
            required=True,
        ),
        Column(
            "made_on",
            Day(),
            "day its units were made (blocks that ripen or fruit: inoculated), or came if bought",
            required=True,
        ),
        Column("place", Code(), "shelf it stands on", required=True, refers="shelves"),
        Column("culture", Code(), "culture it comes from", refers="cultures"),
        Column(
            "made_count",
            Number(1, 1_000_000, whole=True),
            "units made; the difference was lost or used before",
            empty="as count",
        ),
        Column("generation", Number(0, 100, whole=True), "grain generation", empty="0"),
        Column("transfers", Number(0, 1000, whole=True), "plate transfers", empty="0"),
        Column("opened_on", Day(), "day a part was first taken, of one unit", empty="not opened"),
        Column("bought_from", Text(120), "supplier", empty="made here"),
        Column(
            "in_room_since",
            Day(),
            "day the units of a step that goes on with the same ones began it: ripening, or the"
            " grow room",
            empty="made_on and the days of the steps before, today at the latest",
        ),
        Column(
            "keeps_until",
            Day(),
            "last day it keeps where it stands, if its days there do not say so: it stood warmer"
            " before, for example",
            empty="by the days of its step and the room",
        ),
        Column(
            "picked_kg",
            Number(0, 100_000, "kg", "mass", scale=1000, whole=True),
            "already picked from it",
            field="picked_g",
            empty="0",
        ),
        Column("note", Text(), "what should be remembered"),
    ),
    key=("code", "place", "step", "in_room_since", "keeps_until"),
)

TABLES = (
    VARIETIES,
    ROUTES,
    PREPARATIONS,
    FLUSHES,
    VESSELS,
    CULTURES,
    BUYERS,
    PROMISES,
    OUTLETS,
    OUTAGES,
    PINS,
    UPKEEP,
    INSTRUCTIONS,
    LOTS,
)
"""All tables, in the order in which they are read and explained."""


def table(name: str) -> Table:
    """Return the table of that name."""
    return next(each for each in TABLES if each.name == name)


def value_or(values: dict[str, Any], name: str, default: Any) -> Any:
    """Return a row's value, or the default where the cell is empty."""
    value = values.get(name)
    return default if value is None else value
