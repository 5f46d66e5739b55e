"""What builders share: the answer, the job, and how lots and places are chosen."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date
from math import ceil

from pinset.chain.in_use import is_room_open
from pinset.chain.register import RoomKind, Step
from pinset.errors import InputError, RefusedError
from pinset.farm import whereabouts
from pinset.farm.entries import NewEntry
from pinset.farm.glance import Glance, glance
from pinset.farm.queries.alive import living
from pinset.farm.trade import Taken, Tap
from pinset.farm.whereabouts import Standing
from pinset.services.book_reader import Reader
from pinset.services.building.parents_opened import NOTHING, Before, parents_opened
from pinset.services.jobs.records import ON_ITS_LOTS, JobKind, LotAmount, PlannedJob
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
    verdict: str = ""  # of a cook: pass or fail; of lots: hold or keep
    mixes: tuple[tuple[str, int], ...] = ()  # units of each mix that went into a load
    opened: tuple[str, ...] = ()  # of a transfer: parent lots of which an open unit was used
    amounts: tuple[tuple[str, int], ...] = ()  # of a transfer: taken of units that stay alive
    vessels: tuple[str, ...] = ()  # of a transfer: prepared lots that were filled first
    bench: AtBench | None = None  # of a transfer: the session it was made in


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
        steps = {lot.lot: lot.step for lot in task.job.lots}
        whole = {code for code, _ in task.answer.lots}
        opened = [(code, 0) for code in task.answer.opened if code not in whole]
        named = (*task.answer.lots, *opened)
        return tuple(LotAmount(code, n, steps.get(code, "")) for code, n in named)
    if task.job.kind in ON_ITS_LOTS:
        left = without(task.job.lots, task.done_of)
        planned = sum(lot.units for lot in left)
        return scaled(left, task.count, planned) if task.count <= planned else _more(task, left)
    if task.job.kind is JobKind.TRANSFER:
        return parents_opened(task.job, task.count, task.before)
    return scaled(task.job.lots, task.count, task.job.count)


def _more(task: Task, left: Sequence[LotAmount]) -> tuple[LotAmount, ...]:
    """Return more units than were planned: all of them of the lot that the work is on.

    Raises
    ------
    RefusedError
        If it is on several lots, so that nobody knows of which the others were.
    """
    if len({lot.lot for lot in left}) == 1:
        return (replace(left[0], units=task.count),)
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


def places(task: Task, lots: Sequence[LotAmount]) -> list[Taken]:
    """Return what is taken from where.

    Of a lot that stands at several places, first from those where its units are in the step the
    work is on (a part of it may fruit already) and that are not where they are to be carried, then
    from the job's room, then from the place with most, and the rest from the next.
    """
    standing = whereabouts.units_of({lot.lot for lot in lots})
    spread = [code for code, found in standing.items() if len(found) > 1]
    parts = living(task.day, lots=spread) if spread else ()
    where = {
        (part.code, part.place): (part.step, part.room)
        for part in sorted(parts, key=lambda part: part.step != task.job.to_step)
    }
    taken: list[Taken] = []
    for lot in lots:
        found = sorted(
            (_distance(task.job, lot, where.get((each.lot, each.place))), number, each)
            for number, each in enumerate(standing.get(lot.lot, ()))
        )
        taken += _spread(lot.lot, lot.units, [each for *_, each in found])
    return taken


def _distance(
    job: PlannedJob, lot: LotAmount, stands: tuple[str, str] | None
) -> tuple[bool, bool, bool]:
    """Say whether units stand in another step than the work is on, there already, elsewhere."""
    if stands is None:
        return False, False, False
    step, room = stands
    other_step = step == job.to_step if job.to_step else bool(lot.step) and step != lot.step
    is_there = bool(job.to_room) and not job.to_step and room == job.to_room
    return other_step, is_there, bool(job.room) and room != job.room


def _spread(lot: str, wanted: int, standing: Sequence[Standing]) -> list[Taken]:
    found: list[Taken] = []
    left = wanted
    for each in standing:
        units = min(left, each.quantity)
        if units > 0:
            found.append(Taken(lot, units, each.place))
            left -= units
    if left > 0:  # more than the books know of: said as it was said, the ledger asks about it
        place = standing[0].place if standing else ""
        if found:
            found[0] = Taken(lot, found[0].quantity + left, found[0].place)
        else:
            found.append(Taken(lot, left, place))
    return found


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
