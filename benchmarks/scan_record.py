"""Recording a scan's usual thing against a bare insert: four writers, every commit on the disk.

What is timed is all that one tap after a scan does in the services: the lots and the job it answers
are read anew, what speaks against it is asked, the entry is written and the job closed. Half of the
taps answer a job of the day (grain shaken), half have none (looked over). The peer is the one of
`ledger_record.py`: the framework doing one ORM insert in a transaction of its own, in the same run.
Prints one line of JSON with the ratio of the median times and of taps a second; exits 1 if the
ratio is above 3 or anything acknowledged is missing afterwards.
"""

from __future__ import annotations

import json
import multiprocessing
import os
import statistics
import sys
import tempfile
import time
from collections.abc import Callable
from datetime import UTC, date, datetime
from pathlib import Path

from ledger_record import bare_insert, set_up

WRITERS = 4
EACH = 60
ROUNDS = 3
MOST = 3.0
TODAY = date(2026, 3, 12)
NOW = datetime(2026, 3, 12, 9, 0, tzinfo=UTC)
UNITS = 24


def describe() -> None:
    """Make a farm with lots enough for every tap of every writer, and a job for each second one."""
    from django.core.management import call_command
    from django.db import connection

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

    call_command("migrate", verbosity=0, skip_checks=True)
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
    with connection.cursor() as cursor:
        cursor.execute(
            "CREATE TABLE bare (id integer PRIMARY KEY AUTOINCREMENT, client_id varchar(32) UNIQUE,"
            " kind varchar(12), happened_at datetime, recorded_at datetime, job varchar(40),"
            " details text, hash varchar(64))"
        )
    for writer in range(WRITERS):
        codes = list(issue_codes(EACH * (ROUNDS + 1)))
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


def work(folder: str, writer: int, turn: int, what: str, gate: object, results: object) -> None:
    os.environ["PINSET_TODAY"] = TODAY.isoformat()
    set_up(folder)
    write = (bare_insert if what == "bare" else record_scan)(writer)
    from django.db import connection

    connection.ensure_connection()
    gate.wait()  # type: ignore[attr-defined]
    times, done = [], []
    begun = time.perf_counter()
    for i in range(turn * EACH, (turn + 1) * EACH):
        started = time.perf_counter()
        done.append(write(i))
        times.append(time.perf_counter() - started)
    results.put((time.perf_counter() - begun, times, done))  # type: ignore[attr-defined]


def measure(
    folder: str, turn: int, what: str, many: int = WRITERS
) -> tuple[float, list[float], list[str]]:
    """Return taps a second, the time of each, and what was acknowledged."""
    context = multiprocessing.get_context("spawn")
    gate, results = context.Barrier(many), context.Queue()
    writers = [
        context.Process(target=work, args=(folder, number, turn, what, gate, results))
        for number in range(many)
    ]
    for writer in writers:
        writer.start()
    found = [results.get() for _ in writers]
    for writer in writers:
        writer.join()
    times = [one for _, some, _ in found for one in some]
    done = [one for _, _, some in found for one in some]
    return len(done) / max(seconds for seconds, _, _ in found), times, done


def main() -> int:
    with tempfile.TemporaryDirectory(prefix="pinset-bench-") as folder:
        os.environ["PINSET_TODAY"] = TODAY.isoformat()
        set_up(folder)
        describe()
        ratios: list[tuple[float, float]] = []
        acknowledged: list[str] = []
        numbers: dict[str, list[float]] = {"bare": [], "scan": []}
        for turn in range(ROUNDS):
            bare_rate, bare_times, _ = measure(folder, turn, "bare")
            rate, times, done = measure(folder, turn, "scan")
            acknowledged += done
            ratios.append(
                (bare_rate / rate, statistics.median(times) / statistics.median(bare_times))
            )
            numbers["bare"].append(bare_rate)
            numbers["scan"].append(rate)
        _, bare_times, _ = measure(folder, ROUNDS, "bare", 1)
        _, times, done = measure(folder, ROUNDS, "scan", 1)
        acknowledged += done
        alone = statistics.median(times) / statistics.median(bare_times)
        from pinset.farm.check import check
        from pinset.farm.models import Entry

        kept = set(
            Entry.objects.filter(client_id__in=acknowledged).values_list("client_id", flat=True)
        )
        findings = [str(finding) for finding in check()]
    ratio = statistics.median(one for one, _ in ratios)
    print(
        json.dumps(
            {
                "benchmark": "scan_record",
                "writers": WRITERS,
                "ratio": round(ratio, 2),
                "ratio_of_medians": round(statistics.median(two for _, two in ratios), 2),
                "ratio_one_writer": round(alone, 2),
                "one_writer_ms": round(statistics.median(times) * 1e3, 2),
                "bare_one_writer_ms": round(statistics.median(bare_times) * 1e3, 2),
                "most": MOST,
                "bare_per_s": round(statistics.median(numbers["bare"])),
                "scans_per_s": round(statistics.median(numbers["scan"])),
                "lost": len(set(acknowledged) - kept),
                "findings": findings,
            }
        )
    )
    return int(ratio > MOST or len(kept) < len(acknowledged) or bool(findings))


if __name__ == "__main__":
    sys.exit(main())
