"""The last unit or two of a lot go along with the rest of it when it moves.

A plan reckons with losses that have not happened and with whole numbers: of 26 blocks it may move
25. One block left behind is looked over, carried and forgotten by itself.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace

from pinset.chain.living import LivingLot
from pinset.chain.readiness import LotState, state
from pinset.chain.register import Room
from pinset.planning.building.cold_places import places_free
from pinset.services.book_reader import Reader
from pinset.services.jobs.records import JobKind, LotAmount, PlannedJob
from pinset.services.words import joined

REST_SHARE = 0.05
"""Of a lot, what is not worth a walk of its own; one unit always. Common practice, no source."""

_TINY = 1e-9


def with_the_rest(
    jobs: Sequence[PlannedJob],
    living: Sequence[LivingLot],
    counted_on: Mapping[str, int],
    reader: Reader,
) -> tuple[PlannedJob, ...]:
    """Return the jobs, moves of today with the last units of their lots where there is room.

    Parameters
    ----------
    jobs : sequence of PlannedJob
        As the plan gives them.
    living : sequence of LivingLot
        Everything alive now.
    counted_on : mapping of lot code to units
        What the plan moves or uses of each lot: the rest it has nothing for.
    reader : Reader
        The farm's book.
    """
    rooms = {room.code: room for room in reader.book.rooms}
    free = {code: places_free(living, room) for code, room in rooms.items()}
    for job in jobs:
        if job.kind is JobKind.MOVE and job.to_room in free:
            free[job.to_room] -= job.count * _places(job, reader)
    found = []
    for job in jobs:
        if job.kind is JobKind.MOVE and job.to_step and job.day == reader.today:
            room = rooms.get(job.to_room)
            more = _rest_of(job, living, counted_on, room, free, reader) if room else {}
            found.append(_carrying(job, more, living, reader))
        else:
            found.append(job)
    return tuple(found)


def _rest_of(
    job: PlannedJob,
    living: Iterable[LivingLot],
    counted_on: Mapping[str, int],
    room: Room,
    free: dict[str, float],
    reader: Reader,
) -> dict[str, int]:
    """Return the units of each lot of a move that would be left behind, as far as there is room."""
    standing: dict[str, int] = {}
    for part in living:
        if part.step != job.to_step and _may_go(part, reader):
            standing[part.code] = standing.get(part.code, 0) + part.alive
    found: dict[str, int] = {}
    for code in dict.fromkeys(lot.lot for lot in job.lots):
        alive = standing.get(code, 0)
        rest = alive - counted_on.get(code, 0)
        places = rest * _places(job, reader)
        is_little = 0 < rest <= max(1, int(REST_SHARE * alive))
        if is_little and places <= free[room.code] + _TINY:
            free[room.code] -= places
            found[code] = rest
    return found


def _may_go(part: LivingLot, reader: Reader) -> bool:
    return not part.held and state(part, reader.today).state is LotState.READY


def _places(job: PlannedJob, reader: Reader) -> float:
    return reader.step(job.variety, job.to_step or job.step).places


def _carrying(
    job: PlannedJob, more: Mapping[str, int], living: Iterable[LivingLot], reader: Reader
) -> PlannedJob:
    if not more:
        return job
    count = job.count + sum(more.values())
    lots = _with_more(job, more, living, reader)
    said = f"with the last {joined([f'{units} of {code}' for code, units in more.items()])}"
    return replace(
        job,
        count=count,
        lots=lots,
        minutes=max(job.minutes, round(job.minutes * count / max(1, job.count))),
        detail=f"{job.detail}; {said}" if job.detail else said,
    )


def _with_more(
    job: PlannedJob, more: Mapping[str, int], living: Iterable[LivingLot], reader: Reader
) -> tuple[LotAmount, ...]:
    """Return the lots of a job with the rest of them, from the shelves where that stands."""
    wanted = dict(more)
    units: dict[LotAmount, int] = {replace(lot, units=0): lot.units for lot in job.lots}
    step = {lot.lot: lot.step for lot in job.lots}
    for part in living:
        if wanted.get(part.code) and part.step != job.to_step and _may_go(part, reader):
            here = LotAmount(part.code, 0, step[part.code], place=part.place)
            added = min(wanted[part.code], max(0, part.alive - units.get(here, 0)))
            wanted[part.code] -= added
            if added:
                units[here] = units.get(here, 0) + added
    for lot in units:  # what was laid out without its shelf stands there, too
        units[lot] += wanted.pop(lot.lot, 0)
    return tuple(replace(lot, units=number) for lot, number in units.items())
