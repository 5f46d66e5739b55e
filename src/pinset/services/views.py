"""What services hand to pages, commands and programs: frozen records with words already chosen.

`pinset.chain.plain.to_plain` turns any of them into the documented JSON.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date, datetime
from enum import StrEnum

from pinset.services.words import joined


class JobState(StrEnum):
    """Where a job stands; derived from the entries that refer to it."""

    OPEN = "open"
    PART = "part done"
    DONE = "done"
    PASSED = "not written down"  # what comes after it is done, so nobody is asked any more
    NOT_TODAY = "not today"
    NOT_AT_ALL = "not at all"


WEIGHTS = frozenset({"kg", "g", "lb", "oz"})

HOUR_WORDS = ("before ", "after ")
"""An hour a job is due by may begin with its own word."""


@dataclass(frozen=True, slots=True)
class LotUse:
    """A lot a job draws on or works on."""

    lot: str  # code
    units: int
    alive: int
    words: str  # "rye jars, grey oyster, day 12"
    place: str = ""  # the shelf it is taken from; where none is meant, all it stands on
    standing: tuple[tuple[str, int], ...] = ()  # shelves it stands on, with its units there


@dataclass(frozen=True, slots=True)
class MixUse:
    """A mix of which a load takes vessels."""

    name: str  # by which it is said what went in
    words: str  # "grain jars, rye"
    units: int  # still to be loaded
    filled: int | None  # of them written down as filled; None: nothing was written down


@dataclass(frozen=True, slots=True)
class JobView:
    """One job of the day as people and programs see it."""

    job: str  # lasting code
    kind: str  # transfer, prepare, cook, open, move, shake, look, round, pick, pack, deliver, order
    task: str  # soak, boil, fill ... for prepare; store: a move into the cold store; else as kind
    day: date
    count: int  # units; kilograms or pounds rounded where something is weighed
    unit: str  # "units", "rooms", "kg" or the farm's "lb", less than one "g", "oz"
    what: str  # the line beside the number: "rye jars from plates 2CWF9, 3 of 8"
    detail: str  # the soft line below
    stage: str
    step: str
    variety: str  # name
    variety_code: str
    place: str  # words
    room_kind: str
    from_lots: tuple[LotUse, ...]
    minutes: int
    due: str  # local time "10:30" or a date; empty: today
    at: str  # clock time it is fitted to; empty if it does not fit today
    fixed: bool  # the time is given, not fitted
    why: str
    serves: tuple[str, ...]  # promises in words
    spoils: str
    late_days: int
    late_cost: str  # what the lateness costs, in words
    state: JobState
    done_count: int
    claimed_by: str  # name
    cautions: tuple[str, ...]
    act: str  # word on the main button: Done, Load, Pick, Round, Look
    last_entry: str = ""  # client id of the last entry for this job, for undo
    suits: str = ""  # name of whoever it would suit at that time
    link: str = ""  # page on which it is done, if that is not its own form
    done_said: str = ""  # what was done, a weight with its unit: "6.61 lb"
    stop: str = ""  # why it is not to be done as it was laid out, in words
    mixes: tuple[MixUse, ...] = ()  # of a load that holds several
    chore: str = ""  # code of the chore it is
    instructed: str = ""  # kind of job its written instruction stands under

    @property
    def left(self) -> int:
        """Return how much of the count is still to be done."""
        return max(0, self.count - self.done_count)

    @property
    def is_weighed(self) -> bool:
        """Say whether the count is a weight."""
        return self.unit in WEIGHTS

    @property
    def whole_lots(self) -> tuple[LotUse, ...]:
        """Return each lot once, from whichever shelves it is taken."""
        found: dict[str, LotUse] = {}
        for use in self.from_lots:
            before = found.get(use.lot)
            found[use.lot] = (
                replace(
                    before,
                    units=before.units + use.units,
                    place=joined(list(dict.fromkeys((before.place, use.place)))),
                )
                if before
                else use
            )
        return tuple(found.values())

    @property
    def due_said(self) -> str:
        """Return when it is due in words: ``by 14:00``, ``before 10:30``; empty: today."""
        return self.due if not self.due or self.due.startswith(HOUR_WORDS) else f"by {self.due}"

    @property
    def minutes_left(self) -> int:
        """Return the minutes of what is still to be done."""
        return round(self.minutes * self.left / max(1, self.count))


@dataclass(frozen=True, slots=True)
class Section:
    """Jobs of one kind of room, in the order of cleanliness."""

    title: str
    note: str
    jobs: tuple[JobView, ...]
    cautions: tuple[str, ...] = ()  # of its jobs, each once


@dataclass(frozen=True, slots=True)
class FixedHour:
    """A time of the day that does not move."""

    at: str
    text: str
    job: str


@dataclass(frozen=True, slots=True)
class Change:
    """Something that is different from yesterday's plan, and why."""

    sentence: str
    reason: str


@dataclass(frozen=True, slots=True)
class ShortNote:
    """That a variety will be short, and why."""

    head: str  # how much, on which days
    why: str

    def __str__(self) -> str:
        """Return both, as they are read on paper."""
        return f"{self.head} {self.why}"


@dataclass(frozen=True, slots=True)
class DayView:
    """Today: what to do now, in which order, with what."""

    day: date
    title: str  # "Thursday 12 March"
    summary: str  # "9 jobs, about 6 hours for two."
    fixed: tuple[FixedHour, ...]
    sections: tuple[Section, ...]
    later: tuple[JobView, ...]  # tomorrow starts today: preparation begun today for later days
    changes: tuple[Change, ...]
    notes: tuple[str, ...]  # what somebody should know first
    warnings: tuple[str, ...]  # clean-before-dirty against the clock; hours that do not fit
    grow_room_warning: str  # for the person looking, if they recorded grow-room work today
    plan_age: str  # "planned today at 05:10, gap 0.4 %"
    short: tuple[ShortNote, ...] = ()  # varieties of which too little is in sight


@dataclass(frozen=True, slots=True)
class PromiseWeek:
    """One promise in one week (or on its one day)."""

    promise: str
    buyer: str
    variety: str
    day: date
    promised: int  # g or units
    measure: str
    expected: int  # from the plan, what can be handed over
    delivered: int | None  # None while it lies ahead and nothing was handed over
    state: str  # kept, kept late, part kept, missed, on course, unsure, short, unavoidable
    reason: str
    late_days: int = 0  # kept late: days after its own on which all of it was handed over
    chance: float | None = None  # that it is met; None: behind us, or too far ahead
    low: int | None = None  # g or units: one season in ten brings less
    high: int | None = None  # one in ten brings all of it, or more


@dataclass(frozen=True, slots=True)
class PromisesView:
    """Promises: what was kept and what is coming."""

    day: date
    sentence: str
    weeks: tuple[tuple[date, tuple[PromiseWeek, ...]], ...]  # Monday, rows
    remarks: tuple[str, ...]
    planned_at: datetime | None
    gap: float | None
    week_chances: tuple[tuple[date, float], ...] = ()  # Monday, chance that all of it is met
    aims: tuple[str, ...] = ()  # how much more than promised the plan aims at, in sentences
    surplus: tuple[str, ...] = ()  # what is left over by week, in sentences


@dataclass(frozen=True, slots=True)
class LotLine:
    """One lot in a list."""

    lot: str
    words: str  # "Rye jars, grey oyster"
    variety: str
    stage: str
    step: str
    made_on: date
    age_days: int
    made: int
    alive: int
    lost: int
    place: str
    ready: str  # "ready", "ready 18 to 21 March", "keeps until 4 April", "past its time"
    held: str
    contaminated: str = ""  # how many were seen contaminated and stand there still
    fruits: bool = False  # it stands in a grow room and bears flush by flush


@dataclass(frozen=True, slots=True)
class LotsView:
    """Books, Lots: a page of lots."""

    total: int
    page: int
    pages: int
    lots: tuple[LotLine, ...]
    filters: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class LifeEvent:
    """One entry in the life of a lot."""

    entry: str  # client id
    at: datetime
    written_at: datetime
    who: str
    what: str  # sentence
    note: str
    corrected: bool
    can_undo: bool


@dataclass(frozen=True, slots=True)
class Kin:
    """A parent or a child of a lot."""

    lot: str
    words: str
    units: str  # "3 of 8 plates opened"


@dataclass(frozen=True, slots=True)
class LotView:
    """One lot's page: its life, parents, children, counts."""

    line: LotLine
    title: str
    sentence: str  # "Grey oyster, 22 alive of 24, day 6."
    culture: str
    generation: int
    transfers: int
    cook: str
    counts: tuple[tuple[str, int], ...]  # made, alive, used, lost, culled, spent, sold, unexplained
    picked_g: int
    parents: tuple[Kin, ...]
    children: tuple[Kin, ...]
    life: tuple[LifeEvent, ...]
    findings: tuple[str, ...]
    next_step: str
    short_cooks: tuple[str, ...] = ()  # cooks that were too short and that it hangs on
    session: str = ""  # code of the bench session it was made in


@dataclass(frozen=True, slots=True)
class RoomLine:
    """Books, Rooms: one room and how full it is."""

    code: str
    name: str
    kind: str
    temperature_c: float
    shelves: tuple[tuple[str, float, int], ...]  # code, places taken, places
    units: int


@dataclass(frozen=True, slots=True)
class BuyerLine:
    """Books, Buyers: one buyer, what is promised and what was kept."""

    code: str
    name: str
    promises: tuple[str, ...]  # in words
    delivered: tuple[tuple[str, int, int, str], ...]  # variety, in 28 days, promised, measure
    sentence: str


@dataclass(frozen=True, slots=True)
class Done:
    """What recording a job gave back."""

    entry: str  # client id
    already: bool  # the same tap had arrived before
    sentence: str
    findings: tuple[str, ...]
    new_lots: tuple[str, ...] = ()
