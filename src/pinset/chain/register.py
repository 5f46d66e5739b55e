"""What a farm says of itself: the records behind `farm.toml`, the tables and the settings pages.

All are frozen and hold plain values (str, int, float, bool, date, enum, tuples of records), so that
they can be written as JSON, as TOML and as table rows and read back unchanged. Each carries a
``code``: short, lower case, unique within its kind. The database keeps every version with the date
it holds from; a lot keeps the version of the route it was made under.

Units stand at the end of the names: ``_g`` gram, ``_ml`` millilitre, ``_c`` degree Celsius,
``_days``, ``_minutes``, ``_hours``, ``_cents`` (hundredth of the farm's currency). Fractions are
0 to 1, moisture is of wet mass.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date
from enum import StrEnum

from pinset.chain.day_hours import DayHours
from pinset.chain.label_layouts import LabelLayout
from pinset.chain.outages import Outage
from pinset.chain.pins import Pin
from pinset.chain.stages import Stage
from pinset.chain.upkeep import Chore, Instruction


class Weekday(StrEnum):
    """A day of the week, in the form used in files."""

    MON = "mon"
    TUE = "tue"
    WED = "wed"
    THU = "thu"
    FRI = "fri"
    SAT = "sat"
    SUN = "sun"

    @property
    def number(self) -> int:
        """Monday is 0, as in :meth:`datetime.date.weekday`."""
        return list(Weekday).index(self)

    @classmethod
    def of(cls, day: date) -> Weekday:
        """Return the weekday of a date."""
        return list(cls)[day.weekday()]


WORKING_WEEK = (Weekday.MON, Weekday.TUE, Weekday.WED, Weekday.THU, Weekday.FRI)


@dataclass(frozen=True, slots=True)
class Spread:
    """A triangular distribution: least, most likely, most."""

    low: float
    mode: float
    high: float

    @property
    def mean(self) -> float:
        """Mean of the triangular distribution."""
        return (self.low + self.mode + self.high) / 3.0


class RoomKind(StrEnum):
    """What a room is for; the order is the order of cleanliness, cleanest first."""

    LABORATORY = "laboratory"
    INCUBATION = "incubation"
    COLD = "cold"  # cold store of cultures and spawn
    STERILISER = "steriliser"  # where vessels are loaded, cooked, unloaded
    PREPARATION = "preparation"  # soak, boil, mix, fill
    PACKING = "packing"  # packing and the cold store of picked mushrooms
    GROWING = "growing"  # grow room: last, not back to the laboratory after this


CLEANLINESS = {kind: rank for rank, kind in enumerate(RoomKind, start=1)}
"""1 is the cleanest; work is done in this order."""


@dataclass(frozen=True, slots=True)
class Farm:
    """The farm as a whole."""

    name: str
    altitude_m: float
    time_zone: str  # IANA name
    country: str = ""
    latitude: float | None = None
    longitude: float | None = None
    units: str = "metric"  # or "us": what results are shown in
    currency: str = "EUR"  # ISO 4217
    working_days: tuple[Weekday, ...] = WORKING_WEEK
    days_off: tuple[date, ...] = ()
    day_starts: str = "07:30"  # local clock time
    van_at: str = "14:00"
    morning_round_minutes: int = 15  # per grow room
    code: str = "farm"


@dataclass(frozen=True, slots=True)
class Shelf:
    """A place where units stand: a rack, a shelf, a fridge box, a bay of a grow room."""

    code: str  # unique on the farm
    holds: int  # places; a unit takes the number its route says


@dataclass(frozen=True, slots=True)
class Room:
    """A room with its shelves."""

    code: str
    name: str
    kind: RoomKind
    temperature_c: float
    shelves: tuple[Shelf, ...] = ()
    climates: tuple[
        str, ...
    ] = ()  # grow rooms: climates it can give; a variety names the one it needs

    @property
    def holds(self) -> int:
        """All places of the room."""
        return sum(shelf.holds for shelf in self.shelves)


@dataclass(frozen=True, slots=True)
class CookKind:
    """What one kind of cook does to a steriliser's day. Kinds do not mix in one cook."""

    code: str  # "agar", "grain", "block", "straw"
    hours: float  # from loading to empty and ready for the next load
    hands_minutes: int  # a person's minutes to load, watch and unload
    hold_minutes: int  # holding time the farm uses today; the grower's figure until it is judged
    litres: float  # what fits of this kind
    rule: str = ""  # what a core is to reach: "f0=15", "hold=70C/120"; empty: nothing is asked
    keeps_days: int | None = None  # closed, from its day on, until inoculated; None: as is usual


@dataclass(frozen=True, slots=True)
class Steriliser:
    """An autoclave or a steamer."""

    code: str
    name: str
    room: str
    cooks: tuple[CookKind, ...]
    hours_per_day: float
    cooks_per_day: int
    rating_bar_gauge: float = 0.0  # the maker's plate; 0 for an open steamer
    load_at: str = "10:30"
    opened_until: str = ""  # somebody comes after work until then to open it; empty: nobody does


@dataclass(frozen=True, slots=True)
class Bench:
    """A clean bench: where transfers are made."""

    code: str
    name: str
    room: str
    minutes_per_day: int


class InstrumentKind(StrEnum):
    """What an instrument reads."""

    PROBE = "probe"  # temperature
    GAUGE = "gauge"  # pressure


@dataclass(frozen=True, slots=True)
class Instrument:
    """A probe or a gauge by which cooks are judged, with its calibration."""

    code: str
    name: str
    kind: InstrumentKind
    reads: str = ""  # name of its column in the logger's file; empty: its own name
    error: float | None = None  # largest error either way [K] or [kPa]; None: not known
    calibrated_on: date | None = None
    reference: str = ""  # what it was compared with
    every_days: int = 365  # a calibration holds so long; gauges yearly is the usual advice (memory)


@dataclass(frozen=True, slots=True)
class Worker:
    """A person who works here; signing in and roles are kept apart from this."""

    code: str
    name: str
    hours: tuple[DayHours, ...]  # seven, Monday first
    laboratory: bool = True  # may work in the laboratory
    role: str = "worker"  # or "owner"


@dataclass(frozen=True, slots=True)
class Vessel:
    """A kind of vessel; reusable ones are in circulation and can run out."""

    code: str
    name: str
    litres: float  # steriliser room one filled vessel takes
    in_circulation: int | None = None  # None: thrown away after use, never runs out


class RateBasis(StrEnum):
    """On what a spawn rate is reckoned; they differ by factors of two to three."""

    WET_ON_WET = "wet on wet"
    WET_ON_DRY = "wet on dry"
    DRY_ON_DRY = "dry on dry"


@dataclass(frozen=True, slots=True)
class Preparation:
    """Something that must be done to new vessels before they are inoculated."""

    task: str  # soak, boil, mix, fill, pour, cook, cool ...
    lead_hours: float  # begun this long before inoculation
    minutes_per_unit: float
    minutes_fixed: float
    room: RoomKind
    caution: str = ""  # key of the sentence shown with it


class StepKind(StrEnum):
    """What happens at a step of a route."""

    TRANSFER = "transfer"  # new units are made from parents
    STAND = "stand"  # the same units go on (ripening)
    FRUIT = "fruit"  # the same units go to a grow room and are picked
    BUY = "buy"  # units come from a supplier


@dataclass(frozen=True, slots=True)
class Parent:
    """One way to start a step: from which earlier step, and how far a parent unit goes."""

    step: str
    units_per_parent: float  # planned; from the spawn rate where one is given
    spawn_rate: float | None = None  # fraction, on spawn_rate_basis
    spawn_rate_basis: RateBasis | None = None
    part_use: bool = False  # the parent stays alive, opened (a slant, half a bag, some millilitres)


@dataclass(frozen=True, slots=True)
class Flush:
    """One flush of a fruiting unit."""

    gap_days: Spread  # since the last pick of the flush before; zero for the first
    share: float  # of the whole yield
    pick_days: int  # days over which it is picked
    lost_before: (
        float  # fraction of units lost by the time this flush comes, counted from room entry
    )


@dataclass(frozen=True, slots=True)
class Step:
    """One step of a route."""

    code: str  # unique in the route: "plate", "grain", "grain-2", "block", "ripening", "fruiting"
    kind: StepKind
    stage: Stage
    days: Spread  # from made (or from the end of the step before) to ready
    loss: Spread  # fraction of units lost in this step
    temperature_c: float  # of the room
    parents: tuple[Parent, ...] = ()  # TRANSFER only; the first is the usual one
    vessel: str = ""  # TRANSFER, BUY
    mix: str = ""
    fill_g: int = 0  # wet mass in one vessel
    fill_moisture: float = 0.0
    keeps_days_warm: float = 0.0  # usable after ready, at room temperature
    keeps_days_cold: float | None = None  # in the cold store; None: must not be chilled
    cold_min_c: float | None = None  # below this it dies
    opened_keeps_days: float | None = None  # shorter life once a part was taken
    places: float = 1.0  # shelf or room places one unit takes
    room: RoomKind = RoomKind.INCUBATION
    bench_minutes: float = 0.0  # per unit made
    bench_setup_minutes: float = 0.0  # per batch
    hands_minutes: float = 0.0  # per unit, outside the bench (moving, shaking, unwrapping)
    shake_days: tuple[int, ...] = ()
    look_days: tuple[int, ...] = ()
    cook: str = ""  # kind of cook its vessels need
    preparations: tuple[Preparation, ...] = ()
    weekdays: tuple[
        Weekday, ...
    ] = ()  # the farm's rhythm for starting this step; empty: any working day
    minimum_batch: int = 1
    days_by_month: tuple[float, ...] = ()  # share of its days and gaps by month; none: all year 1
    # FRUIT
    yield_g: float = 0.0  # whole yield of one unit over all flushes, at the mode
    yield_spread: float = 0.0  # standard deviation of the logarithm of one lot's yield
    flushes: tuple[Flush, ...] = ()
    pick_minutes_per_kg: float = 3.0
    climate: str = ""
    # BUY
    supplier: str = ""
    supplier_days: int = 0  # from order to delivery
    delivery_weekdays: tuple[Weekday, ...] = ()
    price_cents: int = 0


@dataclass(frozen=True, slots=True)
class Route:
    """The chain that turns a culture into what is sold, first step first."""

    code: str
    steps: tuple[Step, ...]
    generation_limit: int = 3  # grain generations; master grain is 1
    transfer_limit: int = 5  # plate transfers since the mother
    note: str = ""

    def step(self, code: str) -> Step:
        """Return the step of that code.

        Raises
        ------
        KeyError
            If the route has no such step.
        """
        for step in self.steps:
            if step.code == code:
                return step
        raise KeyError(code)


@dataclass(frozen=True, slots=True)
class Variety:
    """What is sold: a species under its trade name, with its route."""

    code: str
    name: str
    species: str
    route: str
    sold_as: str = "picked"  # or a step code for spawn and blocks sold
    picked_keeps_days: float = 6.0
    trim_loss: float = 0.05
    price_cents_per_kg: int = 0
    colour: str = ""
    season: tuple[float, ...] = ()  # share of the route's yield, January first; none: all year 1

    def season_on(self, day: date) -> float:
        """Return the share of the usual yield that is picked on a day; 1 where nothing is said."""
        return self.season[day.month - 1] if self.season else 1.0


@dataclass(frozen=True, slots=True)
class Culture:
    """One isolate kept alive: its source and its transfers since the mother."""

    code: str
    variety: str
    source: str
    mother_on: date | None = None
    cleared: bool = True  # a clone is not cleared until its test plate and fruiting say so
    note: str = ""


@dataclass(frozen=True, slots=True)
class Buyer:
    """Somebody who buys."""

    code: str
    name: str
    deliver_at: str = ""  # clock time; empty: with the van


@dataclass(frozen=True, slots=True)
class Promise:
    """An amount promised to a buyer, once or every week."""

    code: str
    buyer: str
    variety: str
    amount: int  # grams of picked mushrooms, or units
    measure: str = "gram"  # or "unit"
    step: str = "picked"  # or the step code of spawn or blocks sold
    weekday: Weekday | None = None  # every week on this day ...
    from_date: date | None = None
    until: date | None = None
    on_date: date | None = None  # ... or once
    price_cents: int = 0  # per kilogram or per unit


class OutletKind(StrEnum):
    """What becomes of mushrooms that fit no promise."""

    MARKET = "market"  # sold to whoever comes
    KITCHEN = "kitchen"  # takes extra, on no promise
    DRYING = "drying"  # dried here, sold as dry weight


@dataclass(frozen=True, slots=True)
class Outlet:
    """A place for picked mushrooms that fit no promise; nothing is owed to it."""

    code: str
    name: str
    kind: OutletKind
    weekdays: tuple[Weekday, ...] = ()  # empty: any day on which somebody works
    varieties: tuple[str, ...] = ()  # empty: all that are picked
    price_cents_per_kg: int | None = None  # dried: of dry weight; None: the variety's usual price
    least_g: int = 0  # fresh, on one day; for less nobody goes
    most_g: int | None = None  # fresh, on one day; None: as much as there is
    deliver_at: str = ""  # clock time; empty: the buyer's, or with the van
    buyer: str = ""  # which of the buyers it is; empty: none of them
    from_date: date | None = None
    until: date | None = None
    fresh_per_dry: float | None = None  # drying: kilograms fresh for one dry
    ratio_source: str = ""  # where that is from; empty: common practice, no source
    note: str = ""


@dataclass(frozen=True, slots=True)
class StandingLot:
    """A lot alive on the day the farm is loaded."""

    variety: str
    step: str
    count: int  # alive now
    made_on: date
    place: str  # shelf code
    culture: str = ""
    code: str = ""  # printed code; given by pinset if empty
    made_count: int | None = None  # at the start; the difference was lost or used before pinset
    generation: int = 0  # grain generation
    transfers: int = 0  # plate transfers since the mother
    opened_on: date | None = None
    bought_from: str = ""
    in_room_since: date | None = None  # ripening or fruiting units; None: by the route's days
    picked_g: int = 0  # already picked from it
    note: str = ""
    keeps_until: date | None = None  # as it stands; None: by its days and its room


@dataclass(frozen=True, slots=True)
class FarmBook:
    """Everything a farm says of itself at one moment: what is loaded, exported and planned from."""

    farm: Farm
    rooms: tuple[Room, ...] = ()
    sterilisers: tuple[Steriliser, ...] = ()
    benches: tuple[Bench, ...] = ()
    instruments: tuple[Instrument, ...] = ()
    workers: tuple[Worker, ...] = ()
    vessels: tuple[Vessel, ...] = ()
    routes: tuple[Route, ...] = ()
    varieties: tuple[Variety, ...] = ()
    cultures: tuple[Culture, ...] = ()
    buyers: tuple[Buyer, ...] = ()
    promises: tuple[Promise, ...] = ()
    lots: tuple[StandingLot, ...] = field(default=())
    outages: tuple[Outage, ...] = ()
    pins: tuple[Pin, ...] = ()
    outlets: tuple[Outlet, ...] = ()
    labels: tuple[LabelLayout, ...] = ()
    upkeep: tuple[Chore, ...] = ()
    instructions: tuple[Instruction, ...] = ()
