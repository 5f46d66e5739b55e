"""What planning gives back: starts, moves, cooks and picks by day, what is short, and how sure.

Quantities of units are whole in the near days and may be fractions in the provisional far days.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from pinset.chain.stages import Stage
from pinset.planning.reading.short_reason import ShortReason


@dataclass(frozen=True, slots=True)
class LotShare:
    """Units taken from one lot, at one place where it stands today."""

    lot: str
    units: float
    place: str = ""  # shelf; empty: on order, or not known as yet


@dataclass(frozen=True, slots=True)
class ParentUse:
    """Parent units opened for a start: how many, of which step, from which lots alive today."""

    step: str
    units: float
    lots: tuple[LotShare, ...] = ()  # oldest first; lots still to be started are not listed


@dataclass(frozen=True, slots=True)
class Start:
    """A batch to start: units to inoculate (or to order) on one day."""

    day: date
    variety: str
    step: str
    stage: Stage
    count: float
    parents: tuple[ParentUse, ...]
    expected_usable: float
    ready_on: date
    serves: tuple[str, ...]  # codes of the promises it feeds, soonest first
    why: str  # one sentence a grower would say
    spoils: str = ""  # what is lost if it is left undone; empty: nothing soon
    provisional: bool = False  # beyond the whole-number days
    is_purchase: bool = False
    first_use_on: date | None = None  # when the plan first uses what becomes ready
    slack_days: int = 0  # days it may slip before the first thing it serves is touched
    at_stake: float = 0.0  # grams (or units sold) of that first promise that hang on this start
    at_stake_measure: str = "gram"
    assumes_prepared: bool = False  # no cook serves it: its vessels are taken as standing ready


@dataclass(frozen=True, slots=True)
class Move:
    """Units to move into a ripening place or a grow room."""

    day: date
    variety: str
    step: str  # the step they move into
    count: float
    room: str
    lots: tuple[LotShare, ...] = ()
    serves: tuple[str, ...] = ()
    why: str = ""
    provisional: bool = False
    slack_days: int = 0  # as in Start
    at_stake: float = 0.0
    at_stake_measure: str = "gram"


@dataclass(frozen=True, slots=True)
class Filled:
    """How much of a planned cook is filled with one reusable kind of vessel."""

    vessel: str
    litres: float


@dataclass(frozen=True, slots=True)
class PlannedCook:
    """Cooks of one kind in one steriliser on one day."""

    day: date
    steriliser: str
    kind: str
    cooks: float
    litres: float
    hours: float
    provisional: bool = False
    filled: tuple[Filled, ...] = ()  # with each kind of vessel that is counted


@dataclass(frozen=True, slots=True)
class ExpectedPick:
    """Saleable grams expected on a day, in expectation."""

    day: date
    variety: str
    grams: float
    lots: tuple[LotShare, ...] = ()  # lots already in a grow room, units standing
    flush: int = 1
    ripe_on: date | None = None  # of what hangs longest, if it ripened before today
    hung: float = 0.0  # grams that ripened then


@dataclass(frozen=True, slots=True)
class Short:
    """An amount of a promise the plan does not meet."""

    promise: str
    day: date
    variety: str
    amount: float  # grams or units
    measure: str
    promised: float
    reason: str  # one sentence
    is_unavoidable: bool  # cannot be met from what is alive now whatever one does
    reason_code: ShortReason | None = None  # None: in a plan stored before there were any
    about: tuple[str, ...] = ()  # the step that is short, or the resources that are full


@dataclass(frozen=True, slots=True)
class Lapse:
    """Ready units alive today that the plan does not use before their time is over."""

    variety: str
    step: str
    lots: tuple[str, ...]
    units: float
    last_day: date  # on which they could still be used
    cause: ShortReason
    words: str  # what lapses, why, and what would help


@dataclass(frozen=True, slots=True)
class KeptCold:
    """Ready blocks alive today that are carried into a cold store, since they are used late."""

    lot: str
    variety: str
    step: str
    units: float
    room: str
    since: date  # when they are ready
    here: date  # the last day they could be used where they stand
    until: date  # and in the store
    place: str = ""  # the shelf they stand on today


@dataclass(frozen=True, slots=True)
class KeptClimate:
    """Days on which a grow room that can give several climates is kept in one of them."""

    room: str
    climate: str
    since: date
    until: date  # the last day on which something stands there that needs it
    words: str  # the climate with its temperature
    varieties: tuple[str, ...]  # names
    is_set: bool = True  # on the first day; False: something of it stands there today already
    provisional: bool = False


@dataclass(frozen=True, slots=True)
class AtLimit:
    """A resource that is full, and what a little more of it would be worth."""

    resource: str  # "steriliser shed-1", "bench lab-1", "hands", "grow room north" ...
    day: date
    used: float
    capacity: float
    unit: str  # "h", "min", "places", "cooks", "jars"


@dataclass(frozen=True, slots=True)
class WeekTotal:
    """Far weeks: provisional totals by variety and step."""

    week_of: date  # Monday
    variety: str
    step: str
    count: float


@dataclass(frozen=True, slots=True)
class PinKept:
    """What the plan has of a start, a move or a cook that was fixed by hand."""

    code: str
    variety: str  # of a cook its steriliser
    step: str
    day: date
    count: float  # as pinned; 0: none on that day
    planned: float
    words: str = ""  # what breaks it, in a sentence; empty: it is kept


@dataclass(frozen=True, slots=True)
class Plan:
    """One plan for the whole farm."""

    start: date
    days: int
    whole_days: int  # days with whole numbers
    starts: tuple[Start, ...]
    moves: tuple[Move, ...]
    cooks: tuple[PlannedCook, ...]
    picks: tuple[ExpectedPick, ...]
    short: tuple[Short, ...]
    at_limit: tuple[AtLimit, ...]
    weeks: tuple[WeekTotal, ...]
    gap: float  # proven, as a fraction: 0.005 is 0.5 %
    seconds: float
    objective: float
    bound: float
    status: str  # "proven", "time limit", "nothing to plan"
    remarks: tuple[str, ...] = ()  # what could not be planned, in words
    pins: tuple[PinKept, ...] = ()
    climates: tuple[KeptClimate, ...] = ()  # of rooms that can give several, by room and day
    lapses: tuple[Lapse, ...] = ()  # soonest first
    kept_cold: tuple[KeptCold, ...] = ()  # blocks
