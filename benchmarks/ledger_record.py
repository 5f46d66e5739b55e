"""Recording a job against a bare insert: four writers, every commit on the disk.

Prints one line of JSON with the ratio of the jobs a second and of the median times; exits 1 if the
ratio is above 3 or anything acknowledged is missing afterwards. The peer: `beside_bare.py`.
"""

from __future__ import annotations

import os
import sys
from collections.abc import Callable
from datetime import date
from pathlib import Path

from beside_bare import FIRST_WRITES, NOW, ROUNDS, WRITERS, Compared, compare

EACH = 150


def describe() -> None:
    """Make one variety with lots enough to work on."""
    from pinset.chain.register import Room, RoomKind, Route, Shelf, Spread, Step, StepKind, Variety
    from pinset.chain.stages import Stage
    from pinset.farm import register_store
    from pinset.farm.codes import issue_codes
    from pinset.farm.door import record
    from pinset.farm.entries import NewLot
    from pinset.farm.trade import Tap, opening

    days, none = Spread(8.0, 10.0, 12.0), Spread(0.0, 0.0, 0.0)
    steps = (
        Step("grain", StepKind.TRANSFER, Stage.GRAIN, days, none, 24.0),
        Step("block", StepKind.TRANSFER, Stage.BLOCK, days, none, 22.0),
        Step("fruiting", StepKind.FRUIT, Stage.BLOCK, days, none, 16.0),
    )
    rooms = Room("inc", "Incubation", RoomKind.INCUBATION, 24.0, (Shelf("inc-1", 900),))
    records = (rooms, Route("r", steps), Variety("grey", "Grey oyster", "Pleurotus ostreatus", "r"))
    register_store.write(records, date(2026, 1, 1), "", NOW)
    for writer in range(WRITERS):
        codes = issue_codes(20)
        record(
            [
                opening(
                    Tap(f"{writer:016x}{i:016x}", NOW),
                    NewLot(code, Stage.GRAIN, "grey", "grain", "r", date(2026, 3, 1)),
                    100_000,
                    "inc-1",
                )
                for i, code in enumerate(codes)
            ],
            now=NOW,
        )
        Path(os.environ["PINSET_FARM"], f"codes-{writer}").write_text(" ".join(codes))


def record_job(writer: int) -> Callable[[int], str]:
    """Return what recording one job of an ordinary week does, in the order they come up."""
    from pinset.chain.stages import Stage
    from pinset.farm import trade
    from pinset.farm.codes import issue_codes
    from pinset.farm.door import record
    from pinset.farm.entries import NewEntry, NewLot
    from pinset.farm.trade import ParentShare, Taken, Tap

    codes = Path(os.environ["PINSET_FARM"], f"codes-{writer}").read_text().split()
    fresh = list(issue_codes(EACH * (ROUNDS + 1) + FIRST_WRITES))

    def entry(i: int, tap: Tap) -> NewEntry:
        lot = codes[i // 6 % len(codes)]
        kinds: tuple[Callable[[], NewEntry], ...] = (
            lambda: trade.shake(tap, Taken(lot, 24, "inc-1")),
            lambda: trade.look(tap, [Taken(lot, 24, "inc-1")]),
            lambda: trade.pick(tap, lot, 2400, 1, "inc-1"),
            lambda: trade.lose(tap, Taken(lot, 1, "inc-1"), cause="green mould"),
            lambda: trade.inoculate(
                tap,
                [ParentShare(lot, 3, "inc-1")],
                NewLot(fresh.pop(), Stage.BLOCK, "grey", "block", "r", date(2026, 3, 12)),
                40,
                "inc-1",
            ),
            lambda: trade.deliver(tap, [Taken(lot, 500, "inc-1")], buyer="weir"),
        )
        return kinds[i % len(kinds)]()

    def write(i: int) -> str:
        tap = Tap(f"c{writer:015x}{i:016x}", NOW, job=f"J{i}")
        record([entry(i, tap)], now=NOW)
        return tap.client_id

    return write


if __name__ == "__main__":
    sys.exit(compare(Compared("ledger_record", describe, record_job, EACH, "recorded")))
