"""Several writers at once beside one insert of the bare framework; no benchmark by itself.

The peer is the framework doing one ORM insert into a table of the same columns as an entry, in a
transaction of its own, with the same settings, in the same run. Every writer of either side writes
once before the clock starts: what a server's process reads once is not a part of each tap.
"""

from __future__ import annotations

import json
import multiprocessing
import os
import statistics
import tempfile
import time
from collections.abc import Callable
from dataclasses import dataclass
from datetime import UTC, datetime

WRITERS = 4
ROUNDS = 3
FIRST_WRITES = ROUNDS + 1  # of each writer, before the clock starts
MOST = 3.0
NOW = datetime(2026, 3, 12, 9, 0, tzinfo=UTC)

Writing = Callable[[int], Callable[[int], str]]
"""For a writer, what writes its i-th and gives back the client id that was acknowledged."""


@dataclass(frozen=True, slots=True)
class Compared:
    """What is held against bare inserts."""

    name: str
    describe: Callable[[], None]  # makes the farm
    writing: Writing
    each: int  # that a writer writes in a round
    counted: str  # what is written, for the line that is printed


@dataclass(frozen=True, slots=True)
class _Measured:
    per_s: float
    times: list[float]
    done: list[str]

    @property
    def median_s(self) -> float:
        return statistics.median(self.times)


def compare(what: Compared) -> int:
    """Measure, print one line of JSON, and return 1 if it is too slow or anything is lost."""
    with tempfile.TemporaryDirectory(prefix="pinset-bench-") as folder:
        _set_up(folder)
        _make_tables()
        what.describe()
        pairs = [
            (
                _measure(folder, bare_insert, turn, what.each),
                _measure(folder, what.writing, turn, what.each),
            )
            for turn in range(ROUNDS)
        ]
        bare = _measure(folder, bare_insert, ROUNDS, what.each, 1)
        alone = _measure(folder, what.writing, ROUNDS, what.each, 1)
        acknowledged = [one for _, ours in pairs for one in ours.done] + alone.done
        lost, findings = _looked_over(acknowledged)
    ratio = statistics.median(bare.per_s / ours.per_s for bare, ours in pairs)
    medians = statistics.median(ours.median_s / bare.median_s for bare, ours in pairs)
    said = {
        "benchmark": what.name,
        "writers": WRITERS,
        "ratio": round(ratio, 2),
        "ratio_of_medians": round(medians, 2),
        "ratio_one_writer": round(alone.median_s / bare.median_s, 2),
        "one_writer_ms": round(alone.median_s * 1e3, 2),
        "bare_one_writer_ms": round(bare.median_s * 1e3, 2),
        "most": MOST,
        "bare_per_s": round(statistics.median(bare.per_s for bare, _ in pairs)),
        f"{what.counted}_per_s": round(statistics.median(ours.per_s for _, ours in pairs)),
        "lost": lost,
        "findings": findings,
    }
    print(json.dumps(said))
    return int(ratio > MOST or lost > 0 or bool(findings))


def bare_insert(writer: int) -> Callable[[int], str]:
    """Return what a program on the bare framework would do for one entry."""
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


def _set_up(folder: str) -> None:
    os.environ["PINSET_FARM"] = folder
    os.environ["PINSET_TODAY"] = NOW.date().isoformat()
    os.environ["DJANGO_SETTINGS_MODULE"] = "pinset.settings"
    import django

    django.setup()


def _make_tables() -> None:
    from django.core.management import call_command
    from django.db import connection

    call_command("migrate", verbosity=0, skip_checks=True)
    with connection.cursor() as cursor:
        cursor.execute(
            "CREATE TABLE bare (id integer PRIMARY KEY AUTOINCREMENT, client_id varchar(32) UNIQUE,"
            " kind varchar(12), happened_at datetime, recorded_at datetime, job varchar(40),"
            " details text, hash varchar(64))"
        )


def _work(
    folder: str, writer: int, turn: int, each: int, writing: Writing, gate: object, results: object
) -> None:
    _set_up(folder)
    write = writing(writer)
    from django.db import connection

    connection.ensure_connection()
    write((ROUNDS + 1) * each + turn)
    gate.wait()  # type: ignore[attr-defined]
    times, done = [], []
    begun = time.perf_counter()
    for i in range(turn * each, (turn + 1) * each):
        started = time.perf_counter()
        done.append(write(i))
        times.append(time.perf_counter() - started)
    results.put((time.perf_counter() - begun, times, done))  # type: ignore[attr-defined]


def _measure(folder: str, writing: Writing, turn: int, each: int, many: int = WRITERS) -> _Measured:
    context = multiprocessing.get_context("spawn")
    gate, results = context.Barrier(many), context.Queue()
    writers = [
        context.Process(target=_work, args=(folder, number, turn, each, writing, gate, results))
        for number in range(many)
    ]
    for writer in writers:
        writer.start()
    found = [results.get() for _ in writers]
    for writer in writers:
        writer.join()
    times = [one for _, some, _ in found for one in some]
    done = [one for _, _, some in found for one in some]
    return _Measured(len(done) / max(seconds for seconds, _, _ in found), times, done)


def _looked_over(acknowledged: list[str]) -> tuple[int, list[str]]:
    """Return how many of what was acknowledged are missing, and what a check finds."""
    from pinset.farm.check import check
    from pinset.farm.models import Entry

    kept = Entry.objects.filter(client_id__in=acknowledged).values_list("client_id", flat=True)
    return len(set(acknowledged) - set(kept)), [str(finding) for finding in check()]
