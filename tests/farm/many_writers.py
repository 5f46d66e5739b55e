"""Several writers at once, all of them also sending the same entries; run as a program of its own.

Prints one line of JSON: how often each of the shared entries was taken as new, and what the ledger
then holds. Usage: many_writers.py WRITERS TURNS
"""

from __future__ import annotations

import json
import os
import sys
from collections import Counter
from multiprocessing import get_context
from typing import Any

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
from pinset.farm.models import Balance, Entry  # noqa: E402
from pinset.farm.trade import Taken  # noqa: E402

GRAIN = CODES[190]


def write(writer: int, turns: int, gate: Any, results: Any) -> None:
    """Record shared entries and own ones, turn by turn."""
    shared, own = Taps(1_000), Taps(1_000_000 * (writer + 1))
    gate.wait()
    fresh: list[str] = []
    codes: list[str] = []
    for _ in range(turns):
        answers = record(
            [
                trade.lose(shared(), Taken(GRAIN, 1, "inc-1")),
                trade.cull(own(), Taken(GRAIN, 1, "inc-1")),
            ],
            now=NOW,
        )
        fresh += [answers[0].client_id] if not answers[0].already else []
        codes += issue_codes(2)
    results.put((fresh, codes))


def main() -> None:
    writers, turns = int(sys.argv[1]), int(sys.argv[2])
    call_command("migrate", verbosity=0, skip_checks=True)
    describe()
    record([trade.receive(Taps(1)(), lot(GRAIN, Stage.GRAIN, "grain"), 500, "inc-1")], now=NOW)
    connection.close()
    context = get_context("fork")
    gate, results = context.Barrier(writers), context.Queue()
    people = [context.Process(target=write, args=(i, turns, gate, results)) for i in range(writers)]
    for one in people:
        one.start()
    told = [results.get() for _ in people]
    for one in people:
        one.join()
    taken = Counter(client for fresh, _ in told for client in fresh)
    codes = [code for _, some in told for code in some]
    found = {
        "shared": sorted(taken.values()),
        "codes_given_twice": len(codes) - len(set(codes)),
        "entries": Entry.objects.count(),
        "alive": Balance.objects.get(lot__code=GRAIN, account="alive").quantity,
        "findings": [str(finding) for finding in check()],
    }
    sys.stdout.write(json.dumps(found))


if __name__ == "__main__":
    main()
