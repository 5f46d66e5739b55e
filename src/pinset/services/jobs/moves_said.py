"""What must be said of units that are to move: they stand there already, or are past their time."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import replace

from pinset.chain.living import LivingLot
from pinset.chain.readiness import LotState, state
from pinset.services.book_reader import Reader
from pinset.services.jobs.records import JobKind, PlannedJob, units_by_lot
from pinset.services.words import joined

GONE = frozenset({LotState.PAST, LotState.DEAD_COLD})
"""States in which units are looked at by a person before they go on."""


def with_standing(
    jobs: Sequence[PlannedJob], living: Iterable[LivingLot], reader: Reader
) -> tuple[PlannedJob, ...]:
    """Return the jobs, of moves with what the living lots tell of them."""
    standing: dict[str, list[LivingLot]] = {}
    for lot in living:
        standing.setdefault(lot.code, []).append(lot)
    return tuple(
        _told(job, [part for lot in job.lots for part in standing.get(lot.lot, ())], reader)
        if job.kind is JobKind.MOVE
        else job
        for job in jobs
    )


def past_time(part: LivingLot, reader: Reader) -> str:
    """Return that a lot is past its time or dead of cold, in a sentence; nothing if it is not."""
    now = state(part, reader.today)
    if now.state not in GONE:
        return ""
    words = now.words.removeprefix(f"{now.state.value}: ")
    return f"Lot {part.code} is {now.state.value}: {words}."


def _told(job: PlannedJob, parts: Sequence[LivingLot], reader: Reader) -> PlannedJob:
    here = [part for part in parts if part.step != job.to_step]
    if here and all(part.room == job.to_room for part in here):
        units = job.what.removesuffix(f" into {job.place}")
        verb = "stays" if job.count == 1 else "stay"
        job = replace(job, what=f"{units} {verb} in {job.place}; {job.to_step} begins")
    wanted = units_by_lot(job.lots)
    sound = Counter[str]()
    for part in here:
        sound[part.code] += 0 if past_time(part, reader) else part.alive
    old = list(
        dict.fromkeys(
            said
            for part in here
            if sound[part.code] < wanted.get(part.code, 0) and (said := past_time(part, reader))
        )
    )
    if not old:
        return job
    look = f"{joined([said.removesuffix('.') for said in old])}: look them over first"
    return replace(job, detail=f"{job.detail}. {look}" if job.detail else look)
