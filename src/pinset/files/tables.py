"""Which columns each table has: the one place that reader, writer, templates and guide share.

The names are the grower's; ``field`` is the name in the record of `pinset.chain.register` where it
differs. A column that is not required may be left out of the file or empty in a row; then the
record's own default holds, or, for a route that starts from published values, the published one.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from pinset.chain.register import RateBasis, RoomKind, StepKind, Weekday
from pinset.chain.route_builder import ENDS, STARTS, SUBSTRATES
from pinset.chain.stages import Stage
from pinset.files.cells import (
    Choice,
    Clock,
    Code,
    Day,
    Fraction,
    Kind,
    LotCode,
    Number,
    Several,
    Text,
    WeekdayKind,
    YesNo,
    choice,
)


@dataclass(frozen=True, slots=True)
class Column:
    """One column of a table."""

    name: str
    kind: Kind
    meaning: str
    required: bool = False
    field: str = ""  # name in the record, where it differs
    refers: str = ""  # what its codes name: "routes", "shelves" ...
    empty: str = ""  # what an empty cell means, in words

    @property
    def record_field(self) -> str:
        """Name in the record."""
        return self.field or self.name


@dataclass(frozen=True, slots=True)
class Table:
    """One table of the farm's description."""

    name: str
    title: str
    columns: tuple[Column, ...]
    key: tuple[str, ...]  # columns that together are unique; none: no two rows are the same
    required: bool = False  # the file must be there

    def column(self, name: str) -> Column:
        """Return the column of that name."""
        return next(column for column in self.columns if column.name == name)

    @property
    def names(self) -> tuple[str, ...]:
        """The names of all columns, in order."""
        return tuple(column.name for column in self.columns)


def _days(high: float = 1000) -> Number:
    return Number(0, high, "days", "time")


def _minutes(high: float = 10_000) -> Number:
    return Number(0, high, "minutes", "time")


_TEMPERATURE = Number(-30, 60, "°C", "temperature")
_PRICE = Number(0, 1_000_000, scale=100, whole=True)
_WEEKDAY = WeekdayKind(Weekday)
_WEEKDAYS = Several(_WEEKDAY)
_DAY_NUMBERS = Several(Number(0, 1000, whole=True))

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
        Column("picked_keeps_days", _days(60), "how long picked mushrooms keep cold", empty="6"),
        Column("trim_loss", Fraction(), "share of the picked weight trimmed off", empty="0.05"),
        Column(
            "price_per_kg",
            _PRICE,
            "usual price of a kilogram, in the farm's currency",
            field="price_cents_per_kg",
            empty="0",
        ),
        Column("colour", Text(40), "colour word or #rrggbb for charts"),
    ),
    key=("code",),
    required=True,
)

ROUTES = Table(
    "routes",
    "How each variety is grown: one row per step, in the order of the work. The shortest form is"
    " one row with route and from_species; further rows then give only what is different here. A"
    " row that repeats route and step and fills only the parent columns is another way to start"
    " it.",
    (
        Column("route", Code(), "short name of the route", required=True),
        Column(
            "from_species",
            Text(200),
            "start from the published values of this species; the row's other cells overrule them",
            empty="every step is described in full",
        ),
        Column(
            "substrate",
            Choice(SUBSTRATES),
            "with from_species: what it grows on",
            empty="the usual one",
        ),
        Column(
            "starts_at",
            Choice(STARTS),
            "with from_species: tube for a laboratory of one's own, spawn for bought spawn",
            empty="tube",
        ),
        Column(
            "ends_at",
            Choice(ENDS),
            "with from_species: picked, or the step whose units are sold",
            empty="picked",
        ),
        Column(
            "step",
            Code(),
            "short name of the step: plate, grain, grain-2, block, ripening, fruiting",
            empty="only in a row that speaks of the whole route",
        ),
        Column(
            "kind",
            choice(StepKind),
            "transfer: new units from parents; stand: the same units go on; fruit: they are"
            " picked; buy: they come from a supplier",
            empty="transfer",
        ),
        Column("stage", choice(Stage), "what the unit is (needed in full steps)"),
        Column("parent", Code(), "step it is started from", refers="steps of the route"),
        Column(
            "units_per_parent",
            Number(0, 100_000, above_low=True),
            "units made from one parent unit",
            empty="1",
        ),
        Column(
            "spawn_rate",
            Fraction(none=None),
            "spawn used, as a fraction of what it goes into",
            empty="not said",
        ),
        Column(
            "spawn_rate_basis",
            choice(RateBasis),
            "what the spawn rate is reckoned on",
            empty="not said",
        ),
        Column(
            "part_use",
            YesNo(),
            "yes if only a part of the parent is taken and it stays alive",
            empty="no",
        ),
        Column("days_low", _days(), "days until ready, at least", empty="as days_likely"),
        Column("days_likely", _days(), "days until ready, most likely (needed in full steps)"),
        Column("days_high", _days(), "days until ready, at most", empty="as days_likely"),
        Column("loss_low", Fraction(), "share of units lost, at least", empty="as loss_likely"),
        Column("loss_likely", Fraction(), "share of units lost, most likely", empty="0"),
        Column("loss_high", Fraction(), "share of units lost, at most", empty="as loss_likely"),
        Column("temperature_c", _TEMPERATURE, "temperature of its room (needed in full steps)"),
        Column("vessel", Code(), "vessel its units are made in", refers="vessels"),
        Column("mix", Text(200), "what is in the vessel"),
        Column(
            "fill_kg",
            Number(0, 2000, "kg", "mass", scale=1000, whole=True),
            "wet mass in one vessel",
            field="fill_g",
            empty="0",
        ),
        Column("fill_moisture", Fraction(), "water, as a fraction of the wet mass", empty="0"),
        Column(
            "keeps_days_warm", _days(4000), "days it stays usable at room temperature", empty="0"
        ),
        Column(
            "keeps_days_cold",
            Number(0, 4000, "days", "time", none=None),
            "days it stays usable in the cold store",
            empty="must not be chilled",
        ),
        Column(
            "cold_min_c",
            Number(-200, 60, "°C", "temperature", none=None),
            "below this it dies",
            empty="not said",
        ),
        Column(
            "opened_keeps_days",
            Number(0, 4000, "days", "time", none=None),
            "days it stays usable once a part was taken",
            empty="not said",
        ),
        Column("places", Number(0, 1000), "shelf places one unit takes", empty="1"),
        Column("room", choice(RoomKind), "kind of room it stands in", empty="incubation"),
        Column("bench_minutes", _minutes(), "bench time of one unit", empty="0"),
        Column("bench_setup_minutes", _minutes(), "bench time of a batch", empty="0"),
        Column("hands_minutes", _minutes(), "other work on one unit", empty="0"),
        Column("shake_days", _DAY_NUMBERS, "days after making on which it is shaken"),
        Column("look_days", _DAY_NUMBERS, "days after making on which it is looked over"),
        Column("cook", Code(), "kind of cook its vessels need", refers="kinds of cook"),
        Column("weekdays", _WEEKDAYS, "weekdays it is started on", empty="any working day"),
        Column(
            "minimum_batch", Number(1, 100_000, whole=True), "smallest batch worth it", empty="1"
        ),
        Column(
            "yield_kg",
            Number(0, 10_000, "kg", "mass", scale=1000),
            "whole yield of one unit over all flushes (fruit)",
            field="yield_g",
            empty="0",
        ),
        Column(
            "yield_spread",
            Number(0, 5),
            "standard deviation of the logarithm of a lot's yield (fruit)",
            empty="0",
        ),
        Column("pick_minutes_per_kg", _minutes(), "picking time of a kilogram", empty="3"),
        Column("climate", Text(100), "climate of the grow room it needs"),
        Column("supplier", Text(200), "who it is bought from (buy)"),
        Column(
            "supplier_days",
            Number(0, 1000, "days", "time", whole=True),
            "days from order to delivery",
            empty="0",
        ),
        Column("delivery_weekdays", _WEEKDAYS, "weekdays the supplier delivers", empty="any"),
        Column(
            "price",
            _PRICE,
            "price of one bought unit, in the farm's currency",
            field="price_cents",
            empty="0",
        ),
        Column(
            "generation_limit",
            Number(0, 100, whole=True),
            "grain generations at most (whole route; once is enough)",
            empty="3",
        ),
        Column(
            "transfer_limit",
            Number(0, 1000, whole=True),
            "plate transfers since the mother at most (whole route; once is enough)",
            empty="5",
        ),
        Column("note", Text(), "what should be remembered (whole route; once is enough)"),
    ),
    key=("route",),
    required=True,
)

PARENT_COLUMNS = ("parent", "units_per_parent", "spawn_rate", "spawn_rate_basis", "part_use")
ROUTE_COLUMNS = (
    "from_species",
    "substrate",
    "starts_at",
    "ends_at",
    "generation_limit",
    "transfer_limit",
    "note",
)

PREPARATIONS = Table(
    "preparations",
    "What must be done to new vessels before they are inoculated, in the order of the work.",
    (
        Column("route", Code(), "route", required=True, refers="routes"),
        Column("step", Code(), "step", required=True, refers="steps of the route"),
        Column("task", Text(60), "soak, boil, mix, fill, pour, cook, cool ...", required=True),
        Column(
            "lead_hours",
            Number(0, 2000, "hours", "time"),
            "begun this long before inoculation",
            required=True,
        ),
        Column("minutes_per_unit", _minutes(), "work on one unit", empty="0"),
        Column("minutes_fixed", _minutes(), "work on a batch of any size", empty="0"),
        Column("room", choice(RoomKind), "kind of room it is done in", empty="preparation"),
        Column("caution", Text(60), "key of the caution shown with it"),
    ),
    key=(),
)

FLUSHES = Table(
    "flushes",
    "How a fruiting unit is picked, flush by flush.",
    (
        Column("route", Code(), "route", required=True, refers="routes"),
        Column(
            "step", Code(), "its step of kind fruit", required=True, refers="steps of the route"
        ),
        Column("flush", Number(1, 20, whole=True), "1, 2, 3 ...", required=True),
        Column("gap_days_low", _days(), "days since the flush before, at least", empty="as likely"),
        Column(
            "gap_days_likely",
            _days(),
            "days since the last pick of the flush before; 0 for the first",
            empty="0",
        ),
        Column("gap_days_high", _days(), "days since the flush before, at most", empty="as likely"),
        Column("share", Fraction(), "share of the whole yield", required=True),
        Column(
            "pick_days",
            Number(1, 100, "days", "time", whole=True),
            "days over which it is picked",
            empty="1",
        ),
        Column(
            "lost_before",
            Fraction(),
            "share of units lost by then, counted from the grow room",
            empty="0",
        ),
    ),
    key=("route", "step", "flush"),
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
            Number(0, 100_000, "kg", "mass", scale=1000, whole=True, above_low=True),
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
        Column("weekday", _WEEKDAY, "every week on this day", empty="then on_date"),
        Column("from_date", Day(), "first day of a weekly promise", empty="at once"),
        Column("until", Day(), "last day of a weekly promise", empty="until further notice"),
        Column("on_date", Day(), "once, on this day", empty="then weekday"),
        Column(
            "price",
            _PRICE,
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
    " has two rows with its code; made_count, picked_kg and note then stand in the first.",
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
        Column("made_on", Day(), "day it was made", required=True),
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
        Column("opened_on", Day(), "day a part was first taken", empty="not opened"),
        Column("bought_from", Text(120), "supplier", empty="made here"),
        Column("in_room_since", Day(), "day fruiting units came into the grow room"),
        Column(
            "picked_kg",
            Number(0, 100_000, "kg", "mass", scale=1000, whole=True),
            "already picked from it",
            field="picked_g",
            empty="0",
        ),
        Column("note", Text(), "what should be remembered"),
    ),
    key=("code", "place"),
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
