"""How the ledger's questions slow down as it grows: what is alive, one lot's life, and the check.

Writes a farm's weeks through the door (lots are made, looked at, moved, picked, cleared) until the
ledger holds the wanted number of entries, and times the questions at each size. The farm itself
stays the same size; only its past grows, and a tube is renewed from the one before twice a year.
Prints one line of JSON; exits 1 if living lots or a lot's page take more than 1.3 times as long at
the largest size as at the smallest.

Usage: ledger_scale.py [ENTRIES ...]   (default: 10000 100000; the long one is 10000 1000000)
"""

from __future__ import annotations

import itertools
import json
import os
import sys
import tempfile
import time
from collections import deque
from collections.abc import Callable
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from typing import Any

MOST = 1.3
START = datetime(2000, 1, 3, 6, 0, tzinfo=UTC)
ALIVE_WEEKS = 10
WEEKS_PER_TUBE = 26


def set_up(folder: str) -> None:
    os.environ["PINSET_FARM"] = folder
    os.environ["DJANGO_SETTINGS_MODULE"] = "pinset.settings"
    import django

    django.setup()
    from django.core.management import call_command

    from pinset.chain.register import Room, RoomKind, Route, Shelf, Spread, Step, StepKind, Variety
    from pinset.chain.stages import Stage
    from pinset.farm import register_store

    call_command("migrate", verbosity=0, skip_checks=True)
    days, none = Spread(8.0, 10.0, 12.0), Spread(0.0, 0.0, 0.0)
    steps = (
        Step("tube", StepKind.TRANSFER, Stage.TUBE, days, none, 4.0),
        Step("grain", StepKind.TRANSFER, Stage.GRAIN, days, none, 24.0),
        Step("block", StepKind.TRANSFER, Stage.BLOCK, days, none, 22.0),
        Step("fruiting", StepKind.FRUIT, Stage.BLOCK, days, none, 16.0),
    )
    rooms = Room("inc", "Incubation", RoomKind.INCUBATION, 24.0, (Shelf("inc-1", 900),))
    records = (rooms, Route("r", steps), Variety("grey", "Grey oyster", "Pleurotus ostreatus", "r"))
    register_store.write(records, date(2000, 1, 1), "", START)


class Weeks:
    """A farm that does the same every week: 14 lots made, looked at, moved, picked, cleared."""

    def __init__(self) -> None:
        self.clients, self.codes = itertools.count(1), itertools.count(0)
        self.standing: deque[list[str]] = deque()
        self.tube = ""
        self.number = 0

    def tap(self, hours: int, job: str = "") -> Any:
        """Return a tap of this week, some hours after it began."""
        from pinset.farm.trade import Tap

        at = START + timedelta(weeks=self.number, hours=hours)
        return Tap(f"{next(self.clients):032x}", at, job=job)

    def made(self) -> list[Any]:
        """Return the entries that make this week's lots."""
        from pinset.chain.lotcode import encode
        from pinset.chain.stages import Stage
        from pinset.farm import trade
        from pinset.farm.entries import NewLot
        from pinset.farm.trade import ParentShare

        said, lots = [], []
        if self.number % WEEKS_PER_TUBE == 0:
            said.append(self.new_tube())
        parent = self.tube
        for i in range(14):
            code = encode(next(self.codes))
            step, stage = ("grain", Stage.GRAIN) if i < 4 else ("block", Stage.BLOCK)
            tap = self.tap(i + 1, f"J{self.number}-{i}")
            new = NewLot(code, stage, "grey", step, "r", tap.at.date())
            share = ParentShare(parent, 1, "inc-1", is_part=True)
            said.append(trade.inoculate(tap, [share], new, 40, "inc-1"))
            parent = code if stage is Stage.GRAIN and i == 0 else parent
            lots.append(code)
        self.standing.append(lots)
        return said

    def new_tube(self) -> Any:
        """Return the entry by which a fresh tube is made from the one before."""
        from pinset.chain.lotcode import encode
        from pinset.chain.stages import Stage
        from pinset.farm import trade
        from pinset.farm.entries import NewLot
        from pinset.farm.trade import ParentShare

        before, self.tube = self.tube, encode(next(self.codes))
        tap = self.tap(0)
        new = NewLot(self.tube, Stage.TUBE, "grey", "tube", "r", tap.at.date())
        if not before:
            return trade.receive(tap, new, 1, "inc-1")
        share = ParentShare(before, 1, "inc-1")
        return trade.inoculate(tap, [share], new, 1, "inc-1")

    def worked(self) -> list[Any]:
        """Return the entries of the work on the lots that stand."""
        from pinset.farm import trade
        from pinset.farm.trade import Taken

        said = [
            trade.look(self.tap(30, f"L{self.number}-{code}"), [Taken(code, 40, "inc-1")])
            for lots in self.standing
            for code in lots[:7]
        ]
        fruiting = self.standing[-5] if len(self.standing) >= ALIVE_WEEKS // 2 else []
        for code in fruiting:
            said += [
                trade.move(self.tap(40), Taken(code, 20, "inc-1"), "grow-1", step="fruiting"),
                trade.pick(self.tap(50, f"P{self.number}-{code}"), code, 4200, 1, "cold-1"),
                trade.deliver(self.tap(60), [Taken(code, 4200, "cold-1")], buyer="weir"),
            ]
        gone = self.standing.popleft() if len(self.standing) > ALIVE_WEEKS else []
        for code in gone:
            said += [
                trade.spend(self.tap(70), Taken(code, 20, "grow-1")),
                trade.lose(self.tap(71), Taken(code, 20, "inc-1"), cause="green mould"),
            ]
        return said

    def next(self) -> list[Any]:
        """Return the entries of the next week."""
        said = self.made() + self.worked()
        self.number += 1
        return said


def least_ms(question: Callable[[], object], times: int = 15) -> float:
    """Return the least processor time of a question; other work on the machine does not count."""
    spent = []
    for _ in range(times):
        begun = time.process_time()
        question()
        spent.append((time.process_time() - begun) * 1e3)
    return min(spent)


def main() -> int:
    sizes = [int(one) for one in sys.argv[1:]] or [10_000, 100_000]
    found: dict[str, dict[str, float]] = {}
    with tempfile.TemporaryDirectory(prefix="pinset-bench-") as folder:
        set_up(folder)
        from pinset.farm.check import check
        from pinset.farm.door import record
        from pinset.farm.models import Entry
        from pinset.farm.queries import answers, find_lots, in_store, life, living, parents

        story, written, writing = Weeks(), 0, 0.0
        for size in sizes:
            before, begun = written, time.perf_counter()
            at = START
            while written < size:
                entries = story.next()
                at = max(entry.happened_at for entry in entries)
                record(entries, now=at)
                written += len(entries)
            writing = time.perf_counter() - begun
            code = story.standing[-5][10]  # a block lot of the same age each time
            job = Entry.objects.exclude(job="").order_by("-id").values_list("job", flat=True)[0]
            begun = time.perf_counter()
            findings = check()
            checking = time.perf_counter() - begun
            found[str(size)] = {
                "living_ms": round(least_ms(lambda at=at: living(at.date())), 2),
                "lot_page_ms": round(least_ms(lambda code=code: (life(code), parents(code))), 2),
                "lots_list_ms": round(least_ms(find_lots), 2),
                "store_ms": round(least_ms(in_store), 2),
                "job_ms": round(least_ms(lambda job=job: answers([job])), 2),
                "alive": len(living(at.date())),
                "check_s": round(checking, 1),
                "findings": len(findings),
                "entries_per_s": round((written - before) / writing),
                "file_mb": round(Path(folder, "farm.sqlite3").stat().st_size / 1e6, 1),
            }
    first, last = found[str(sizes[0])], found[str(sizes[-1])]
    ratios = {
        name: round(last[name] / first[name], 2)
        for name in ("living_ms", "lot_page_ms", "lots_list_ms", "store_ms", "job_ms")
    }
    print(json.dumps({"benchmark": "ledger_scale", "most": MOST, "ratios": ratios, **found}))
    return int(max(ratios["living_ms"], ratios["lot_page_ms"]) > MOST)


if __name__ == "__main__":
    sys.exit(main())
