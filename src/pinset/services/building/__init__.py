"""From a job and what a person answered to the entry that says what happened."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from datetime import date

from pinset.chain.register import FarmBook
from pinset.errors import InputError, RefusedError
from pinset.farm.entries import NewEntry
from pinset.farm.trade import Tap
from pinset.services.book_reader import Reader
from pinset.services.bounds import MOST_FLUSHES, MOST_GRAMS, MOST_UNITS, within
from pinset.services.building import (
    for_outlet,
    heat,
    laboratory,
    of_upkeep,
    opened,
    preparing,
    rooms,
    selling,
)
from pinset.services.building.parents_opened import Before, parents_opened
from pinset.services.building.suitable import note_against
from pinset.services.building.task import Answer, AtBench, Task, chosen
from pinset.services.clock import farm_day
from pinset.services.jobs.records import ON_ITS_LOTS, JobKind, PlannedJob, units_by_lot
from pinset.services.plans.spawn_on_order import drawn_on_delivery, missing_part
from pinset.services.words import GRAMS, kilograms, near_day

__all__ = ["Answer", "AtBench", "build_entry"]

FAR_ABOVE = 3.0
SOME, SOME_GRAMS = 10, 3000
"""A number above three times the planned one and some more is asked about."""

BUILDERS: dict[JobKind, Callable[[Task], NewEntry]] = {
    JobKind.TRANSFER: laboratory.transfer,
    JobKind.PREPARE: preparing.prepare,
    JobKind.COOK: laboratory.cook,
    JobKind.OPEN: opened.opened,
    JobKind.JUDGE: heat.judged_by_hand,
    JobKind.DECIDE: heat.decided,
    JobKind.ORDER: laboratory.order,
    JobKind.RECEIVE: laboratory.receive,
    JobKind.MOVE: rooms.move,
    JobKind.SHAKE: rooms.shake,
    JobKind.LOOK: rooms.look,
    JobKind.ROUND: rooms.walk,
    JobKind.PICK: selling.pick,
    JobKind.PACK: selling.pack,
    JobKind.DELIVER: selling.deliver,
    JobKind.GIVE: for_outlet.to_outlet,
    JobKind.DRY: for_outlet.to_outlet,
    JobKind.WASTE: selling.throw_out,
    JobKind.CLEAR: rooms.clear,
    JobKind.DISCARD: rooms.discard,
    JobKind.CHORE: of_upkeep.chore,
    JobKind.CULTURE: of_upkeep.tube,
}
"""How each kind of job is written down."""


def _absurd(job: PlannedJob, answer: Answer, count: int, today: date, system: str) -> list[str]:
    """Return what a number far from what was planned, or a day that has not come, speaks against.

    Raises
    ------
    RefusedError
        If something does and no reason is given.
    """
    against, hints = list[str](), list[str]()
    if job.day > today:
        against.append(f"This job is planned for {near_day(job.day, today)}.")
        hints.append("If it was done already, say so with a reason.")
    if job.unit == "units" and count > FAR_ABOVE * job.count + SOME:
        against.append(f"{count} is far above the {job.count} planned.")
        hints.append("If it is right, give a reason.")
    grams = answer.grams or (
        sum(n for _, n in answer.lots) if job.kind is JobKind.PICK and answer.lots else 0
    )
    if job.unit == "kg" and grams > FAR_ABOVE * max(job.grams, job.count * GRAMS) + SOME_GRAMS:
        against.append(
            f"{kilograms(grams, system)} is far above the "
            f"{kilograms(job.grams or job.count * GRAMS, system)} expected."
        )
        hints.append("Look at the scale and its unit; if it is right, give a reason.")
    if against and not answer.reason:
        raise RefusedError(against[0], hints[0])
    return against


def _consistent(job: PlannedJob, answer: Answer, left: int, before: Before) -> Answer:
    """Return the answer with its count and its lots saying the same.

    Lots repeated as they were planned, or as they are shown for the rest of a transfer, say nothing
    of their own. Where the lots are what the work was done on, their units are the count.

    Raises
    ------
    InputError
        If count and lots contradict each other.
    """
    gathered: dict[str, int] = {}
    for code, number in answer.lots:
        if number < 1:
            raise InputError("lots", f"{code} {number}", "lots with 1 unit or more each")
        gathered[code] = gathered.get(code, 0) + number
    if answer.opened:  # beside them an open unit was used: said as it was
        return replace(answer, lots=tuple(gathered.items()))
    if answer.shelves and job.unit != "units":
        raise InputError("shelf", answer.shelves[0][1], "no shelf: the weight is all that is said")
    if not answer.shelves and _are_planned(job, gathered, left, before):
        return replace(answer, lots=())
    answer = replace(answer, lots=tuple(gathered.items()))
    total = sum(gathered.values())
    if gathered and (job.kind in ON_ITS_LOTS or job.kind is JobKind.OPEN or job.follows_a_cook):
        if answer.count not in {None, total}:
            raise InputError("count", answer.count, f"{total}, the sum of the lots given")
        return replace(answer, count=total)
    if gathered and job.unit == "kg" and answer.grams not in {None, total}:
        raise InputError("grams", answer.grams, f"{total}, the sum of the lots given")
    return answer


def _are_planned(job: PlannedJob, gathered: Mapping[str, int], left: int, before: Before) -> bool:
    """Say whether lots are those of the job, or those that are shown for the rest of a transfer."""
    if gathered == units_by_lot(job.lots):
        return True
    if job.kind is not JobKind.TRANSFER or not before.made:
        return False
    rest = parents_opened(job, left, before)
    return gathered == units_by_lot(lot for lot in rest if lot.units)


def _of_mixes(job: PlannedJob, answer: Answer) -> int:
    """Return the units of all mixes together.

    Raises
    ------
    InputError
        If nothing is loaded by the job, a number cannot be, or the count says something else.
    """
    if job.kind is not JobKind.COOK:
        raise InputError("mixes", answer.mixes[0][0], "mixes for the load of a steriliser only")
    for name, units in answer.mixes:
        if units < 0:
            raise InputError("mixes", f"{name} {units}", "0 or more of each mix")
    total = sum(units for _, units in answer.mixes)
    if answer.count not in {None, total}:
        raise InputError("count", answer.count, f"{total}, the sum of the mixes given")
    return total


def _count(job: PlannedJob, answer: Answer, left: int) -> int:
    """Return the units (or kilograms) done: as said, by the weight, or all that is left."""
    if answer.mixes:
        return _of_mixes(job, answer)
    if answer.count is not None:
        return answer.count
    if job.unit == "kg" and answer.grams:
        return max(1, round(answer.grams / GRAMS))
    return left


def build_entry(
    tap: Tap,
    job: PlannedJob,
    answer: Answer,
    *,
    left: int,
    before: Before,
    done_of: Mapping[str, int],
    book: FarmBook,
    today: date,
) -> NewEntry:
    """Return the entry for a job that was done, wholly or in part.

    Parameters
    ----------
    tap : Tap
        Who, when, which job.
    job, answer : PlannedJob, Answer
        What was planned and what was said of it.
    left : int
        Units (or kilograms) of the job that were not done before.
    before : Before
        Of a transfer, what was made before, and of which parents.
    done_of : mapping of str to int
        Units by lot that were done before, where the work is done on its lots.
    book, today : FarmBook, date
        The farm as it stands.

    Raises
    ------
    InputError, RefusedError
        If a number cannot be, a lot is unknown or of another variety, or there is nothing to take.
    """
    named = [code for code, _ in answer.lots]
    waiting = missing_part(job, named)
    job = drawn_on_delivery(job, named, is_reasoned=bool(answer.reason))
    answer = _consistent(job, answer, left, before)
    count = _count(job, answer, left)
    within("count", count, 0, MOST_UNITS)
    if answer.grams is not None:
        within("grams", answer.grams, 1, MOST_GRAMS)
    if answer.flush is not None:
        within("flush", answer.flush, 1, MOST_FLUSHES)
    absurd = _absurd(job, answer, count, today, book.farm.units)
    details: dict[str, object] = {"count": count, "room_kind": job.room_kind}
    if answer.reason:
        details["reason"] = answer.reason
    note_against(details, [*waiting, *absurd])
    day = farm_day(tap.at, book.farm.time_zone)
    task = Task(tap, job, answer, count, Reader(book, today), details, day, before, done_of)
    entry = BUILDERS[job.kind](task)
    if job.kind in ON_ITS_LOTS:
        entry.details["of_lots"] = units_by_lot(chosen(task))
    return entry
