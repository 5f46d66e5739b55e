"""Looks at lots that may be ready before their middle day, or are watched: a light job a room.

A lot becomes ready on a day nobody knows. From the day on which one in ten is ready until the day
on which half are, somebody should look once; what is ready early can be used early. What somebody
wanted to see again is looked at from that day on until it was.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Sequence

from pinset.chain.living import LivingLot
from pinset.chain.readiness import is_watched, look_wanted_since, ready_on
from pinset.chain.register import RoomKind
from pinset.chain.stages import noun_of
from pinset.services.book_reader import Reader
from pinset.services.jobs.of_lots import amounts_of, lots_in_words
from pinset.services.jobs.records import JobKind, PlannedJob
from pinset.services.words import joined, short_day

MINUTES_PER_LOT = 1.0
"""Minutes to see whether a lot is grown through: a few units are enough; common practice, no
source."""


def early_looks(
    living: Sequence[LivingLot], reader: Reader, seen: Collection[str]
) -> tuple[PlannedJob, ...]:
    """Return one look a room at the lots that may be ready, and one at those that are watched.

    Parameters
    ----------
    living : sequence of LivingLot
        Everything alive now.
    reader : Reader
        The farm's book; on a day off nobody looks.
    seen : collection of str
        Lots that somebody looked at since they may be ready, or looks at today for another reason.
    """
    if not reader.works_on(reader.today):
        return ()
    rooms: dict[tuple[str, bool], list[LivingLot]] = defaultdict(list)
    for lot in living:
        if lot.code not in seen and look_wanted_since(lot, reader.today) is not None:
            rooms[lot.room, is_watched(lot, reader.today)].append(lot)
    return tuple(
        _watched(room, lots, reader) if again else _may_be_ready(room, lots, reader)
        for (room, again), lots in rooms.items()
    )


def _may_be_ready(code: str, lots: Sequence[LivingLot], reader: Reader) -> PlannedJob:
    days = sorted({ready_on(lot).p50 for lot in lots})
    expected = short_day(days[0])
    if len(days) > 1:
        expected = f"{expected} to {short_day(days[-1])}"
    return _look(
        code,
        lots,
        reader,
        key="ready",
        asked="may be ready: look",
        detail=f"expected {expected}",
        why="One in ten is ready by now. What is ready can be used before its day: say so on the "
        "page of its lot, and plan again.",
    )


def _watched(code: str, lots: Sequence[LivingLot], reader: Reader) -> PlannedJob:
    return _look(
        code,
        lots,
        reader,
        key="watched",
        asked="to be looked at again",
        detail="watched",
        why="Somebody decided to watch them: by now most of what they may have would have shown.",
    )


def _look(
    code: str,
    lots: Sequence[LivingLot],
    reader: Reader,
    *,
    key: str,
    asked: str,
    detail: str,
    why: str,
) -> PlannedJob:
    room = next((each for each in reader.book.rooms if each.code == code), None)
    count = sum(lot.alive for lot in lots)
    stages = {lot.stage for lot in lots}
    noun = noun_of(lots[0].stage, count) if len(stages) == 1 else "units"
    names = joined(list(dict.fromkeys(reader.name(lot.variety) for lot in lots)))
    return PlannedJob(
        key=f"look:{key}:{code}:{reader.today}",
        kind=JobKind.LOOK,
        task=JobKind.LOOK.value,
        day=reader.today,
        count=count,
        unit="units",
        what=f"{noun} {asked}, {lots_in_words(lots)}",
        room_kind=(room.kind if room else RoomKind.INCUBATION).value,
        detail=f"{names}, {detail}",
        stage=lots[0].stage.value if len(stages) == 1 else "",
        place=room.name if room else "",
        room=code,
        lots=amounts_of(lots),
        minutes=max(1, round(MINUTES_PER_LOT * len({lot.code for lot in lots}))),
        why=why,
        is_daily=True,
    )
