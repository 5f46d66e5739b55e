"""Kills a writer at random moments, again and again; run as a program of its own.

Prints one line of JSON: what the writers were told is recorded, and what the ledger then holds.
The parent sets Django up once and forks a writer each time, so that only writing is interrupted.
Usage: kill_writer.py TIMES SEED
"""

from __future__ import annotations

import json
import os
import random
import signal
import sys
import time

import django

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "pinset.settings")
django.setup()

from django.core.management import call_command  # noqa: E402
from django.db import connection  # noqa: E402

from farm.small_farm import CODES, NOW, Taps, describe, lot  # noqa: E402
from pinset.chain.stages import Stage  # noqa: E402
from pinset.farm import trade  # noqa: E402
from pinset.farm.check import check  # noqa: E402
from pinset.farm.codes import issue_codes  # noqa: E402
from pinset.farm.door import record  # noqa: E402
from pinset.farm.models import Entry  # noqa: E402
from pinset.farm.trade import ParentShare, Taken  # noqa: E402

GRAIN = CODES[190]
READY = b"ready\n"


def write_for_ever(start: int, told: int) -> None:
    """Record lists of entries, and say which were acknowledged as soon as they are."""
    tap = Taps(start)
    connection.ensure_connection()
    os.write(told, READY)
    while True:
        (code,) = issue_codes(1)
        entries = [
            trade.inoculate(
                tap(), [ParentShare(GRAIN, 1, "inc-1")], lot(code, Stage.BLOCK, "block"), 9, "inc-2"
            ),
            trade.lose(tap(), Taken(code, 2, "inc-2")),
            trade.note(tap(note="looked at in a hurry"), [code]),
        ]
        answers = record(entries, now=NOW)
        os.write(told, b"".join(f"{answer.client_id}\n".encode() for answer in answers))


def killed_once(start: int, wait_s: float) -> list[str]:
    """Let a writer write for a moment, kill it, and return what it was told is recorded."""
    reading, told = os.pipe()
    writer = os.fork()
    if writer == 0:
        os.close(reading)
        write_for_ever(start, told)
    os.close(told)
    os.read(reading, len(READY))
    time.sleep(wait_s)
    os.kill(writer, signal.SIGKILL)
    os.waitpid(writer, 0)
    with os.fdopen(reading) as pipe:
        lines = pipe.read().splitlines()
    return [line for line in lines if len(line) == 32]  # the last line may be cut short


def main() -> None:
    times, seed = int(sys.argv[1]), int(sys.argv[2])
    call_command("migrate", verbosity=0, skip_checks=True)
    describe()
    record([trade.receive(Taps(1)(), lot(GRAIN, Stage.GRAIN, "grain"), 100_000, "inc-1")], now=NOW)
    connection.close()
    chance = random.Random(seed)
    acknowledged: list[str] = []
    for turn in range(1, times + 1):
        acknowledged += killed_once(turn * 1_000_000, chance.uniform(0.002, 0.12))
    kept = list(Entry.objects.order_by("id").values_list("client_id", flat=True))
    findings = [str(finding) for finding in check()]
    found = {"acknowledged": acknowledged, "kept": kept, "findings": findings}
    sys.stdout.write(json.dumps(found))


if __name__ == "__main__":
    main()
