"""Bench sessions of the simulated days: begun before the first transfer, ended after the last."""

from __future__ import annotations

from datetime import time

from pinset.demo.world import World
from pinset.services.answers.history import Word, digest, trade
from pinset.services.bench.lists import CLEAN_DOWN, ENTRY, every_key

BENCH = "bench-1"
BEGUN_AT = time(8, 15)
CLEAN_DOWN_MIN = 15.0


def write_session(
    world: World, person: str, session: str, last_minute: float, open_min: float
) -> None:
    """Write down the begin and the end of the day's session; everything was ticked.

    ``last_minute`` is that of the day in which its last transfer was done; ``open_min`` how long
    vessels stood open in it, all together.
    """
    clock = int(last_minute + CLEAN_DOWN_MIN)
    ended_at = time(clock // 60, clock % 60)
    for word, at, which in (
        (Word.BEGUN, BEGUN_AT, ENTRY),
        (Word.ENDED, ended_at, CLEAN_DOWN),
    ):
        tap = world.diary.quiet_tap(at, person, digest("session", f"{session} {word.value}"))
        details: dict[str, object] = {"ticked": list(every_key(which)), "room_kind": "laboratory"}
        if word is Word.ENDED:
            minutes = clock - BEGUN_AT.hour * 60 - BEGUN_AT.minute
            details |= {"minutes": minutes, "open_min": round(open_min)}
        world.diary.add(trade.session(tap, word, session, BENCH, details=details))
