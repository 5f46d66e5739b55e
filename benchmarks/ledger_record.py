"""Recording a job against a bare insert: four writers, every commit on the disk.

The peer is the framework doing one ORM insert into a table of the same columns as an entry, in a
transaction of its own, with the same settings, in the same run. Prints one line of JSON with the
ratio of the median times and of the jobs a second; exits 1 if the ratio is above 3 or anything
acknowledged is missing afterwards.
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

WRITERS = 4
EACH = 150
ROUNDS = 3
MOST = 3.0
NOW = datetime(2026, 3, 12, 9, 0, tzinfo=UTC)


def set_up(folder: str) -> None:
    os.environ["PINSET_FARM"] = folder
    os.environ["DJANGO_SETTINGS_MODULE"] = "pinset.settings"
    import django

    django.setup()


def describe() -> None:
    """Make the tables and one variety with lots enough to work on."""
    from django.core.management import call_command
    from django.db import connection

    from pinset.chain.register import Room, RoomKind, Route, Shelf, Spread, Step, StepKind, Variety
    from pinset.chain.stages import Stage
    from pinset.farm import register_store
    from pinset.farm.codes import issue_codes
    from pinset.farm.door import record
    from pinset.farm.entries import NewLot
    from pinset.farm.trade import Tap, opening

    call_command("migrate", verbosity=0, skip_checks=True)
    days, none = Spread(8.0, 10.0, 12.0), Spread(0.0, 0.0, 0.0)
    steps = (
        Step("grain", StepKind.TRANSFER, Stage.GRAIN, days, none, 24.0),
        Step("block", StepKind.TRANSFER, Stage.BLOCK, days, none, 22.0),
        Step("fruiting", StepKind.FRUIT, Stage.BLOCK, days, none, 16.0),
    )
    rooms = Room("inc", "Incubation", RoomKind.INCUBATION, 24.0, (Shelf("inc-1", 900),))
    records = (rooms, Route("r", steps), Variety("grey", "Grey oyster", "Pleurotus ostreatus", "r"))
    register_store.write(records, date(2026, 1, 1), "", NOW)
    with connection.cursor() as cursor:
        cursor.execute(
            "CREATE TABLE bare (id integer PRIMARY KEY AUTOINCREMENT, client_id varchar(32) UNIQUE,"
            " kind varchar(12), happened_at datetime, recorded_at datetime, job varchar(40),"
            " details text, hash varchar(64))"
        )
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


def bare_insert(writer: int) -> Callable[[int], str]:
    """Return what a program on the bare framework would do for one job."""
    from django.db import models, transaction

    class Bare(models.Model):
        client_id = models.CharField(max_length=32, unique=True)
        kind = models.CharField(max_length=12)
        happened_at = models.DateTimeField()
        recorded_at = models.DateTimeField()
        job = models.CharField(max_length=40)
        details = models.JSONField()
        hash = models.CharField(max_length=64)

        class Meta:
            app_label = "farm"
            db_table = "bare"
            managed = False

        def __str__(self) -> str:
            return self.client_id

    def write(i: int) -> str:
        client = f"b{writer:015x}{i:016x}"
        with transaction.atomic():
            Bare.objects.create(
                client_id=client,
                kind="shake",
                happened_at=NOW,
                recorded_at=NOW,
                job=f"J{i}",
                details={"count": 24},
                hash=client * 2,
            )
        return client

    return write


def record_job(writer: int) -> Callable[[int], str]:
    """Return what recording one job of an ordinary week does, in the order they come up."""
    from pinset.chain.stages import Stage
    from pinset.farm import trade
    from pinset.farm.codes import issue_codes
    from pinset.farm.door import record
    from pinset.farm.entries import NewEntry, NewLot
    from pinset.farm.trade import ParentShare, Taken, Tap

    codes = Path(os.environ["PINSET_FARM"], f"codes-{writer}").read_text().split()
    fresh = list(issue_codes(EACH * (ROUNDS + 1)))

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


def work(folder: str, writer: int, turn: int, what: str, gate: object, results: object) -> None:
    set_up(folder)
    write = (bare_insert if what == "bare" else record_job)(writer)
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
    """Return jobs a second, the time of each, and what was acknowledged."""
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
        set_up(folder)
        describe()
        ratios: list[tuple[float, float]] = []
        acknowledged: list[str] = []
        numbers: dict[str, list[float]] = {"bare": [], "record": []}
        for turn in range(ROUNDS):
            bare_rate, bare_times, _ = measure(folder, turn, "bare")
            rate, times, done = measure(folder, turn, "record")
            acknowledged += done
            ratios.append(
                (bare_rate / rate, statistics.median(times) / statistics.median(bare_times))
            )
            numbers["bare"].append(bare_rate)
            numbers["record"].append(rate)
        _, bare_times, _ = measure(folder, ROUNDS, "bare", 1)
        _, times, done = measure(folder, ROUNDS, "record", 1)
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
                "benchmark": "ledger_record",
                "writers": WRITERS,
                "ratio": round(ratio, 2),
                "ratio_of_medians": round(statistics.median(two for _, two in ratios), 2),
                "ratio_one_writer": round(alone, 2),
                "bare_one_writer_ms": round(statistics.median(bare_times) * 1e3, 2),
                "most": MOST,
                "bare_per_s": round(statistics.median(numbers["bare"])),
                "recorded_per_s": round(statistics.median(numbers["record"])),
                "lost": len(set(acknowledged) - kept),
                "findings": findings,
            }
        )
    )
    return int(ratio > MOST or len(kept) < len(acknowledged) or bool(findings))


if __name__ == "__main__":
    sys.exit(main())
