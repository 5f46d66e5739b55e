"""What builders share: the answer, the job, and how lots and places are chosen."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date
from math import ceil

from pinset.chain.in_use import is_room_open
from pinset.chain.register import RoomKind, Step
from pinset.errors import InputError, RefusedError
from pinset.farm import whereabouts
from pinset.farm.entries import NewEntry
from pinset.farm.glance import Glance, glance
from pinset.farm.trade import Taken, Tap
from pinset.farm.whereabouts import Standing
from pinset.services.book_reader import Reader
from pinset.services.building.parents_opened import NOTHING, Before, parents_opened
from pinset.services.jobs.records import (
    ON_ITS_LOTS,
    JobKind,
    LotAmount,
    PlannedJob,
    units_by_lot,
)
from pinset.services.loads.despite import Despite
from pinset.services.words import joined


@dataclass(frozen=True, slots=True)
class AtBench:
    """What a bench session stamps on a transfer that is made in it."""

    session: str  # code
    turn: int  # 1 for the first transfer of the session
    minutes_open: int
    plates: tuple[tuple[str, int], ...] = ()  # settle plates standing open: where, how many

    def details(self) -> dict[str, object]:
        """Return the stamp as the details of the entry keep it."""
        said: dict[str, object] = {
            "session": self.session,
            "turn": self.turn,
            "open_min": self.minutes_open,
        }
        return said | ({"plates": dict(self.plates)} if self.plates else {})


@dataclass(frozen=True, slots=True)
class Answer:
    """What a person said of a job; nothing given means as planned."""

    count: int | None = None
    grams: int | None = None
    lots: tuple[tuple[str, int], ...] = ()
    flush: int | None = None
    reason: str = ""
    shown: str | None = None  # doubts that were shown: a reason overrules no others
    held: tuple[str, ...] | None = None  # lots held back that are named; None: a reason does
    verdict: str = ""  # of a cook: pass or fail; of lots: hold or keep
    mixes: tuple[tuple[str, int], ...] = ()  # units of each mix that went into a load
    opened: tuple[str, ...] = ()  # of a transfer: parent lots of which an open unit was used
    amounts: tuple[tuple[str, int], ...] = ()  # of a transfer: taken of units that stay alive
    vessels: tuple[str, ...] = ()  # of a transfer: prepared lots that were filled first
    bench: AtBench | None = None  # of a transfer: the session it was made in
    despite: tuple[Despite, ...] = ()  # of a transfer: why vessels of cooks not passed are used
    shelves: tuple[tuple[str, str, int], ...] = ()  # units of lots taken from a shelf that was said


@dataclass(frozen=True, slots=True)
class Task:
    """All that a builder needs."""

    tap: Tap
    job: PlannedJob
    answer: Answer
    count: int  # units done
    reader: Reader
    details: dict[str, object]
    day: date  # on which it happened, by the farm's own clock
    before: Before = NOTHING  # of a transfer: what earlier parts made, and of which parents
    done_of: Mapping[str, int] = field(default_factory=dict)  # units by lot, by earlier parts
    seen: dict[str, tuple[Standing, ...]] = field(default_factory=dict)  # what was read already

    def standing(self, codes: Collection[str]) -> dict[str, tuple[Standing, ...]]:
        """Return where the units of lots stand, most first; each lot is read once for a task."""
        new = [code for code in codes if code not in self.seen]
        if new:
            self.seen.update(dict.fromkeys(new, ()) | whereabouts.units_of(new))
        return {code: self.seen[code] for code in codes if self.seen[code]}

    def store_place(self) -> str:
        """Return where picked mushrooms go: the first shelf of packing, else of the cold store."""
        return self.first_shelf(RoomKind.PACKING) or self.first_shelf(RoomKind.COLD)

    def first_shelf(self, kind: RoomKind) -> str:
        """Return the first shelf of the first room of a kind."""
        for room in self.reader.book.rooms:
            if room.kind is kind and room.shelves:
                return room.shelves[0].code
        return ""


def need_units(task: Task) -> int:
    """Return the units done, which are at least one."""
    if task.count < 1:
        raise InputError(
            "count", task.count, "at least 1", "If nothing was done: not today, or not at all."
        )
    return task.count


def looked_up(task: Task, lots: Sequence[LotAmount]) -> dict[str, Glance]:
    """Return a look at each lot, refusing unknown ones and other varieties."""
    seen = glance({lot.lot for lot in lots})
    task.seen.update({code: each.standing for code, each in seen.items()})
    unknown = [lot.lot for lot in lots if lot.lot not in seen]
    if unknown:
        raise RefusedError(f"There is no lot {joined(unknown)}.", "Check the code on the label.")
    wrong = [
        lot.lot
        for lot in lots
        if task.job.variety and seen[lot.lot].variety not in {"", task.job.variety}
    ]
    if wrong:
        is_name = task.reader.name(seen[wrong[0]].variety)
        raise RefusedError(
            f"Lot {joined(wrong)} is {is_name}, and this job is for {task.job.variety_name}.",
            "Take a lot of the right variety.",
        )
    return seen


def chosen(task: Task) -> tuple[LotAmount, ...]:
    """Return the lots that were worked on: those answered, else those planned, cut to size."""
    if task.answer.lots or task.answer.opened:
        return _named(task)
    if task.job.kind in ON_ITS_LOTS:
        left = without(task.job.lots, task.done_of)
        planned = sum(lot.units for lot in left)
        return scaled(left, task.count, planned) if task.count <= planned else _more(task, left)
    if task.job.kind is JobKind.TRANSFER:
        return parents_opened(task.job, task.count, task.before)
    return scaled(task.job.lots, task.count, task.job.count)


def from_shelves(task: Task, code: str, units: int, step: str = "") -> tuple[LotAmount, ...]:
    """Return units of a lot by the shelf that was said; what was said of none names no shelf.

    Raises
    ------
    InputError
        If the lot does not stand there, or with fewer units.
    """
    found: list[LotAmount] = []
    for lot, shelf, number in task.answer.shelves:
        if lot != code:
            continue
        there = {each.place: each.quantity for each in task.standing([code]).get(code, ())}
        if number > there.get(shelf, 0):
            stands = joined([f"{count} on {place}" for place, count in there.items()])
            raise InputError(
                f"shelf of {code}",
                f"{number} from {shelf}",
                f"what stands there: {stands or 'nothing'}",
                "If the books are wrong, count the lot again on its page.",
            )
        found.append(LotAmount(code, number, step, place=shelf))
    rest = units - sum(each.units for each in found)
    return (*found, LotAmount(code, rest, step)) if rest > 0 or not found else tuple(found)


def _named(task: Task) -> tuple[LotAmount, ...]:
    """Return the lots answered; of those of which as much as planned was taken, the same units.

    Where a shelf was said of a lot, they are the units that stand there.
    """
    at_shelf = {code for code, _, _ in task.answer.shelves}
    planned = units_by_lot(task.job.lots)
    steps = {lot.lot: lot.step for lot in task.job.lots}
    whole = {code for code, _ in task.answer.lots}
    opened = [(code, 0) for code in task.answer.opened if code not in whole]
    found: list[LotAmount] = []
    for code, units in (*task.answer.lots, *opened):
        if units and units == planned.get(code) and code not in at_shelf:
            found += [lot for lot in task.job.lots if lot.lot == code]
        else:
            found += from_shelves(task, code, units, steps.get(code, ""))
    return tuple(found)


def _more(task: Task, left: Sequence[LotAmount]) -> tuple[LotAmount, ...]:
    """Return more units than were planned: all of them of the lot that the work is on.

    Raises
    ------
    RefusedError
        If it is on several lots, so that nobody knows of which the others were.
    """
    if len({lot.lot for lot in left}) == 1:
        more = task.count - sum(lot.units for lot in left)
        return (*left, replace(left[0], units=more, place=""))
    if not left:
        return ()
    planned = joined([f"{lot.units} of {lot.lot}" for lot in left])
    raise RefusedError(
        f"{task.count} were said, and {sum(lot.units for lot in left)} are left of the job: "
        f"{planned}.",
        "Say how many of each lot it was.",
    )


def without(lots: Sequence[LotAmount], done: Mapping[str, int]) -> tuple[LotAmount, ...]:
    """Return what is left of each lot; all of them if nothing would be."""
    done, left = dict(done), []
    for lot in lots:
        units = min(lot.units, done.get(lot.lot, 0))
        done[lot.lot] = done.get(lot.lot, 0) - units
        if lot.units > units:
            left.append(replace(lot, units=lot.units - units))
    return tuple(left or lots)


def scaled(lots: Sequence[LotAmount], count: int, planned: int) -> tuple[LotAmount, ...]:
    """Return lots for a part of a job: whole units, oldest first, one at least."""
    total = sum(lot.units for lot in lots)
    if not planned or count == planned:
        return tuple(lots)
    left = max(1, ceil(total * count / planned) if count < planned else total)
    taken = []
    for lot in lots:
        units = min(lot.units, left)
        if units > 0:
            taken.append(replace(lot, units=units))
            left -= units
    return tuple(taken)


def room_for(task: Task, step: Step, count: int) -> str:
    """Return the shelf of the right kind of room with most room left."""
    used, book = whereabouts.units_at_places(), task.reader.book
    free = [
        (shelf.holds - used.get(shelf.code, 0) * step.places, shelf.code)
        for room in book.rooms
        if room.kind is step.room and is_room_open(book, room, task.reader.today)
        for shelf in room.shelves
    ]
    fitting = [code for places, code in free if places >= count * step.places]
    return fitting[0] if fitting else max(free, default=(0, ""))[1]


def together(entries: Sequence[NewEntry], task: Task) -> NewEntry:
    """Return one entry that says what several of the same tap say."""
    if not entries:
        raise RefusedError("No lot is known for this job.", "Say which lots were worked on.")
    return replace(
        entries[0],
        postings=tuple(posting for entry in entries for posting in entry.postings),
        mentions=tuple(mention for entry in entries for mention in entry.mentions),
        details={**entries[0].details, **task.details},
    )


def oldest_first(wanted: int, standing: Sequence[Standing]) -> list[Taken]:
    """Return what is taken of lots that stand, oldest first."""
    taken: list[Taken] = []
    left = wanted
    for each in standing:
        quantity = min(left, each.quantity)
        if quantity > 0:
            taken.append(Taken(each.lot, quantity, each.place))
            left -= quantity
    if left > 0:  # more than the books know of: the ledger asks about it
        last = taken[-1]
        taken[-1] = Taken(last.lot, last.quantity + left, last.place)
    return taken
