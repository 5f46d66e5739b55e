"""The tables that describe how things are grown: routes, preparations, flushes."""

from __future__ import annotations

from pinset.chain.register import RateBasis, RoomKind, StepKind
from pinset.chain.route_builder import ENDS, STARTS, SUBSTRATES
from pinset.chain.rules_route import WETTEST, caution_keys
from pinset.chain.season_days import LEAST_SHARE, MONTHS, MOST_SHARE
from pinset.chain.stages import Stage
from pinset.files.description.cells import Choice, Code, Several, Text, YesNo, choice
from pinset.files.description.columns import Column, Table
from pinset.files.description.common_kinds import (
    DAY_NUMBERS,
    PRICE,
    TEMPERATURE,
    WEEKDAYS,
    days,
    minutes,
)
from pinset.files.description.number_cells import Fraction, Number

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
        Column("days_low", days(), "days until ready, at least", empty="as days_likely"),
        Column("days_likely", days(), "days until ready, most likely (needed in full steps)"),
        Column("days_high", days(), "days until ready, at most", empty="as days_likely"),
        Column("loss_low", Fraction(), "share of units lost, at least", empty="as loss_likely"),
        Column(
            "loss_likely",
            Fraction(),
            "share of units lost, most likely (fruit: lost_before of its flushes counts instead)",
            empty="0",
        ),
        Column("loss_high", Fraction(), "share of units lost, at most", empty="as loss_likely"),
        Column("temperature_c", TEMPERATURE, "temperature of its room (needed in full steps)"),
        Column("vessel", Code(), "vessel its units are made in", refers="vessels"),
        Column("mix", Text(200), "what is in the vessel"),
        Column(
            "fill_kg",
            Number(0, 2000, "kg", "mass", scale=1000, whole=True),
            "wet mass in one vessel",
            field="fill_g",
            empty="0",
        ),
        Column(
            "fill_moisture",
            Fraction(high=WETTEST),
            "water, as a fraction of the wet mass",
            empty="0",
        ),
        Column(
            "keeps_days_warm", days(4000), "days it stays usable at room temperature", empty="0"
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
        Column("bench_minutes", minutes(), "bench time of one unit", empty="0"),
        Column("bench_setup_minutes", minutes(), "bench time of a batch", empty="0"),
        Column("hands_minutes", minutes(), "other work on one unit", empty="0"),
        Column("shake_days", DAY_NUMBERS, "days after making on which it is shaken"),
        Column("look_days", DAY_NUMBERS, "days after making on which it is looked over"),
        Column("cook", Code(), "kind of cook its vessels need", refers="kinds of cook"),
        Column(
            "weekdays",
            WEEKDAYS,
            "weekdays it is started on",
            empty="any working day soon, a rhythm of the plan's own later",
        ),
        Column(
            "minimum_batch", Number(1, 100_000, whole=True), "smallest batch worth it", empty="1"
        ),
        Column(
            "days_by_month",
            Several(Number(LEAST_SHARE, MOST_SHARE), exactly=MONTHS),
            "in a room without climate control: share of the step's days that it takes in each"
            " month, January to December",
            empty="the same all year",
        ),
        Column(
            "yield_kg",
            Number(0, 10_000, "kg", "mass", scale=1000),
            "whole yield of one unit over all flushes, the most likely one (fruit)",
            field="yield_g",
            empty="0",
        ),
        Column(
            "yield_spread",
            Number(0, 5),
            "standard deviation of the logarithm of a lot's yield (fruit)",
            empty="0",
        ),
        Column("pick_minutes_per_kg", minutes(), "picking time of a kilogram", empty="3"),
        Column("climate", Text(100), "climate of the grow room it needs"),
        Column("supplier", Text(200), "who it is bought from (buy)"),
        Column(
            "supplier_days",
            Number(0, 1000, "days", "time", whole=True),
            "days from order to delivery",
            empty="0",
        ),
        Column("delivery_weekdays", WEEKDAYS, "weekdays the supplier delivers", empty="any"),
        Column(
            "price",
            PRICE,
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
        Column("minutes_per_unit", minutes(), "work on one unit", empty="0"),
        Column("minutes_fixed", minutes(), "work on a batch of any size", empty="0"),
        Column("room", choice(RoomKind), "kind of room it is done in", empty="preparation"),
        Column("caution", Choice(caution_keys()), "key of the caution shown with it"),
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
        Column("gap_days_low", days(), "days since the flush before, at least", empty="as likely"),
        Column(
            "gap_days_likely",
            days(),
            "days since the last pick of the flush before; 0 for the first",
            empty="0",
        ),
        Column("gap_days_high", days(), "days since the flush before, at most", empty="as likely"),
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
