"""Looks at lots that may be ready, are watched, or whose first flush nobody told of.

A lot becomes ready on a day nobody knows. From the day on which one in ten is ready until the day
on which half are, somebody should look once; what is ready early can be used early. What somebody
wanted to see again is looked at from that day on until it was. A first flush that should long be
over and of which nothing is written down is asked about, for the plan would expect it anew each
day. Each is a light job a room.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Collection, Sequence

from pinset.chain.living import LivingLot
from pinset.chain.looks_wanted import (
    first_flush_over,
    is_unheard_of,
    is_watched,
    look_wanted_since,
)
from pinset.chain.readiness import ready_on
from pinset.chain.register import RoomKind
from pinset.chain.stages import noun_of
from pinset.services.book_reader import Reader
from pinset.services.jobs.of_lots import amounts_of, lots_in_words
from pinset.services.jobs.records import JobKind, PlannedJob
from pinset.services.words import joined, short_day

_Ask = Callable[[str, Sequence[LivingLot], Reader], PlannedJob]

MINUTES_PER_LOT = 1.0
"""Minutes to see whether a lot is grown through: a few units are enough; common practice, no
source."""


def early_looks(
    living: Sequence[LivingLot], reader: Reader, seen: Collection[str]
) -> tuple[PlannedJob, ...]:
    """Return a look a room at lots that may be ready, at watched ones, at flushes nobody told of.

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
    rooms: dict[tuple[str, _Ask], list[LivingLot]] = defaultdict(list)
    for lot in living:
        if lot.code not in seen and look_wanted_since(lot, reader.today) is not None:
            ask = _may_be_ready
            if is_watched(lot, reader.today):
                ask = _watched
            elif is_unheard_of(lot, reader.today):
                ask = _unheard_of
            rooms[lot.room, ask].append(lot)
    return tuple(ask(room, lots, reader) for (room, ask), lots in rooms.items())


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


def _unheard_of(code: str, lots: Sequence[LivingLot], reader: Reader) -> PlannedJob:
    over = min(first_flush_over(lot) for lot in lots)
    return _look(
        code,
        lots,
        reader,
        key="flush",
        asked="of which no pick is written down: ripe, picked untold, or did nothing come",
        detail=f"the first flush was expected to be over by {short_day(over)} at the latest",
        why="The plan expects it anew every day until something is said, and in the end not at "
        "all. Write down what was picked, with its day; or say on the page of the lot on which day "
        "you expect it; or take out what bears nothing.",
        cautions=("spores",),
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
    cautions: tuple[str, ...] = (),
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
        cautions=cautions,
        is_daily=True,
    )
