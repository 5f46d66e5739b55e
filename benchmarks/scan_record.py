"""Recording a scan's usual thing against a bare insert: four writers, every commit on the disk.

What is timed is all that one tap after a scan does in the services: the lots and the job it answers
are read anew, what speaks against it is asked, the entry is written and the job closed. Half of the
taps answer a job of the day (grain shaken), half have none (looked over). Prints one line of JSON
with the ratio of taps a second and of the median times; exits 1 if the ratio is above 3 or anything
acknowledged is missing afterwards. The peer: `beside_bare.py`.
"""

from __future__ import annotations

import os
import sys
from collections.abc import Callable
from datetime import date
from pathlib import Path

from beside_bare import FIRST_WRITES, NOW, ROUNDS, WRITERS, Compared, compare

EACH = 60
TODAY = NOW.date()
UNITS = 24


def describe() -> None:
    """Make a farm with lots enough for every tap of every writer, and a job for each second one."""
    from pinset.chain.plain import to_plain
    from pinset.chain.register import (
        Farm,
        Room,
        RoomKind,
        Route,
        Shelf,
        Spread,
        Step,
        StepKind,
        Variety,
    )
    from pinset.chain.stages import Stage
    from pinset.farm import job_store, register_store
    from pinset.farm.codes import issue_codes
    from pinset.farm.door import record
    from pinset.farm.entries import NewLot
    from pinset.farm.job_store import JobToLay, PlanRow
    from pinset.farm.trade import Tap, opening
    from pinset.services.jobs.records import JobKind, LotAmount, PlannedJob

    days, none = Spread(8.0, 10.0, 12.0), Spread(0.0, 0.0, 0.0)
    steps = (
        Step("grain", StepKind.TRANSFER, Stage.GRAIN, days, none, 24.0, shake_days=(4, 8)),
        Step("block", StepKind.TRANSFER, Stage.BLOCK, days, none, 22.0),
        Step("fruiting", StepKind.FRUIT, Stage.BLOCK, days, none, 16.0),
    )
    rooms = Room("inc", "Incubation", RoomKind.INCUBATION, 24.0, (Shelf("inc-1", 90_000),))
    farm = Farm("Test farm", 400.0, "UTC")
    records = (farm, rooms, Route("r", steps), Variety("grey", "Grey oyster", "P. ostreatus", "r"))
    register_store.write(records, date(2026, 1, 1), "", NOW)
    for writer in range(WRITERS):
        codes = list(issue_codes(EACH * (ROUNDS + 1) + FIRST_WRITES))
        made = [
            opening(
                Tap(f"{writer:016x}{i:016x}", NOW),
                NewLot(code, Stage.GRAIN, "grey", "grain", "r", date(2026, 3, 4)),
                UNITS,
                "inc-1",
            )
            for i, code in enumerate(codes)
        ]
        record(made, now=NOW)
        jobs = [
            PlannedJob(
                f"shake:{code}", JobKind.SHAKE, "shake", TODAY, UNITS, "units", "jars to shake",
                "incubation", lots=(LotAmount(code, UNITS, "grain"),), variety="grey",
                variety_name="Grey oyster",
            )
            for code in codes[::2]
        ]  # fmt: skip
        plan = PlanRow(NOW, TODAY, 0, {"plan": {}, "remarks": [], "changes": []}, 0.0, 0.0, "x")
        rows = [
            JobToLay("", job.day, job.kind.value, to_plain(job), count=job.count) for job in jobs
        ]
        laid = iter(job_store.lay(plan, [], rows, []))
        lines = [f"{code} {next(laid) if i % 2 == 0 else ''}" for i, code in enumerate(codes)]
        Path(os.environ["PINSET_FARM"], f"scans-{writer}").write_text("\n".join(lines))


def record_scan(writer: int) -> Callable[[int], str]:
    """Return what the usual thing of one scanned lot does."""
    from pinset.services.floor.records import Amount, Deed
    from pinset.services.floor.taps import Saying
    from pinset.services.floor.writing_down import write_down

    lines = Path(os.environ["PINSET_FARM"], f"scans-{writer}").read_text().split("\n")

    def write(i: int) -> str:
        code, _, job = lines[i].partition(" ")
        deed = Deed.SHAKE if job else Deed.LOOK
        saying = Saying(deed, (Amount(code, UNITS, UNITS),), (job,) if job else ())
        return write_down(saying, person="", client_id=f"c{writer:015x}{i:016x}").entries[0]

    return write


if __name__ == "__main__":
    sys.exit(compare(Compared("scan_record", describe, record_scan, EACH, "scans")))
