"""A job as it is stored: what is to be done, with what, where, how long, by when and why."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import date, datetime
from enum import StrEnum


class JobKind(StrEnum):
    """Kinds of work; the word is what programs see."""

    TRANSFER = "transfer"
    PREPARE = "prepare"
    COOK = "cook"
    OPEN = "open"
    JUDGE = "judge"  # a cook: by its log, or by hand
    DECIDE = "decide"  # lots of a cook that was too short: hold back or keep
    ORDER = "order"
    RECEIVE = "receive"
    MOVE = "move"
    SHAKE = "shake"
    LOOK = "look"
    ROUND = "round"
    PICK = "pick"
    PACK = "pack"
    DELIVER = "deliver"
    GIVE = "give"  # what fits no promise, to an outlet
    DRY = "dry"  # the same, into the drier
    WASTE = "waste"  # picked weight past its keeping days
    CLEAR = "clear"  # spent units out of a grow room
    DISCARD = "discard"  # past their time
    CHORE = "chore"  # upkeep: cleaned, read off, checked, changed
    CULTURE = "culture"  # a lot of tubes: woken, moved into new tubes, left for its mother


ON_ITS_LOTS = frozenset({
    JobKind.MOVE,
    JobKind.CLEAR,
    JobKind.DISCARD,
    JobKind.SHAKE,
    JobKind.LOOK,
    JobKind.DECIDE,
})  # fmt: skip
"""Kinds of work whose count is the units of the lots it was done on."""


BY_KEY = frozenset({JobKind.CHORE, JobKind.CULTURE})
"""Kinds of work that are told apart by their key alone, and whose due day is worked out anew."""

INTO_STORE = "store"
"""The task of carrying what is ready into the cold store: a move that begins no step."""

ACTS = {
    JobKind.TRANSFER: "Done",
    JobKind.PREPARE: "Done",
    JobKind.COOK: "Load",
    JobKind.OPEN: "Opened",
    JobKind.JUDGE: "Judge",
    JobKind.DECIDE: "Decide",
    JobKind.ORDER: "Ordered",
    JobKind.RECEIVE: "Arrived",
    JobKind.MOVE: "Moved",
    JobKind.SHAKE: "Shaken",
    JobKind.LOOK: "Looked",
    JobKind.ROUND: "Round",
    JobKind.PICK: "Pick",
    JobKind.PACK: "Packed",
    JobKind.DELIVER: "Handed over",
    JobKind.GIVE: "Handed over",
    JobKind.DRY: "In the drier",
    JobKind.WASTE: "Thrown out",
    JobKind.CLEAR: "Cleared",
    JobKind.DISCARD: "Thrown out",
    JobKind.CHORE: "Done",
    JobKind.CULTURE: "Open",
}
"""The word on the main button."""


@dataclass(frozen=True, slots=True)
class LotAmount:
    """Units (or grams) of one lot."""

    lot: str
    units: int
    step: str = ""
    route: str = ""  # of prepared vessels
    place: str = ""  # the shelf whose units are meant; empty: wherever the lot stands


def units_by_lot(lots: Iterable[LotAmount]) -> dict[str, int]:
    """Return the units of each lot, from wherever they are taken, in order.

    Examples
    --------
    >>> units_by_lot([LotAmount("7K4MV", 2, place="run-1"), LotAmount("7K4MV", 3, place="cold-1")])
    {'7K4MV': 5}
    """
    found: dict[str, int] = {}
    for each in lots:
        found[each.lot] = found.get(each.lot, 0) + each.units
    return found


@dataclass(frozen=True, slots=True)
class VarietyGrams:
    """Picked weight of one variety."""

    variety: str  # code
    grams: int


@dataclass(frozen=True, slots=True)
class PlannedJob:
    """One job before it has a code. ``key`` finds it again after the next plan."""

    key: str
    kind: JobKind
    task: str
    day: date
    count: int
    unit: str  # units, kg, rooms, g
    what: str
    room_kind: str
    detail: str = ""
    stage: str = ""
    step: str = ""
    variety: str = ""  # code
    variety_name: str = ""
    place: str = ""
    lots: tuple[LotAmount, ...] = ()
    minutes: int = 0
    fixed_at: str = ""  # clock time that does not move
    due: str = ""
    why: str = ""
    serves: tuple[str, ...] = ()
    spoils: str = ""
    cautions: tuple[str, ...] = ()
    mix: str = ""
    moisture: float = 0.0
    room: str = ""  # code of the room the lots stand in
    lead_hours: float = 0.0  # preparation: begun this long before; what comes first has more
    for_day: date | None = None  # preparation: the day it prepares for
    begin_from: str = ""  # preparation: clock time on its day; begun sooner it would be too old
    promise: str = ""
    grams: int = 0  # pick, pack, deliver, throw out: the weight before it was rounded to kg
    weights: tuple[VarietyGrams, ...] = ()  # pack: that weight by variety
    borne: tuple[LotAmount, ...] = ()  # pick: the grams expected of each of its lots
    steriliser: str = ""
    cook_kind: str = ""
    may_open: datetime | None = None  # open: from then, by the farm's clock; nobody is there then
    cool_hours: float = 0.0  # open: what comes out stands so long before it can be inoculated
    feeds: tuple[LotAmount, ...] = ()  # vessels by the step they are for
    vessels: tuple[str, ...] = ()  # transfer: prepared lots it was laid out to fill
    cook: str = ""  # judge, decide: code of the cook
    order: str = ""  # receive: client id of the order
    outlet: str = ""  # give, dry, pack: code of the outlet it is for
    chore: str = ""  # chore: its code
    reads: str = ""  # chore: unit of what is read off
    mends: bool = False  # chore: something is to be changed or mended
    to_step: str = ""
    to_room: str = ""
    free_places: float = 0.0  # of the cold store, when it was asked to carry something there
    first_day: date | None = None  # due then: before its day, or judging after it
    laid_after: int = 0  # transfer: units done before its lots were laid; they are for the rest
    slack_days: int = 0  # days it may slip before anything is lost
    stake: str = ""  # what is lost after that, in words
    missed_at: str = ""  # the fixed hour it was for, if that has passed
    undoes: tuple[str, ...] = ()  # throw out: all that was done to it; empty: every task there is
    is_daily: bool = False  # asked for anew each day: tomorrow's is another job, never a late one

    @property
    def follows_a_cook(self) -> bool:
        """Say whether it is preparation of vessels that were cooked already."""
        return self.kind is JobKind.PREPARE and bool(self.steriliser)

    @property
    def into_store(self) -> bool:
        """Say whether it carries what is ready into the cold store."""
        return self.task == INTO_STORE

    def moved_to(self, day: date) -> PlannedJob:
        """Return the same job on another day, remembering when it was first due."""
        return replace(self, day=day, first_day=self.first_day or self.day)
