"""Builds a demo farm in the folder named and prints what a reader of it finds, as JSON."""

import json
import sys
from dataclasses import asdict
from datetime import date
from pathlib import Path

from pinset.demo import build

folder, today, seed = Path(sys.argv[1]), date.fromisoformat(sys.argv[2]), int(sys.argv[3])
said: list[tuple[float, str]] = []
result = build(folder, today, seed, lambda share, text: said.append((share, text)))

from django.contrib.auth.hashers import check_password  # noqa: E402  (Django is set up by the build)

from pinset.farm import people  # noqa: E402
from pinset.farm.check import check  # noqa: E402
from pinset.farm.queries import living  # noqa: E402

stored = {person.code: people.by_code(person.code) for person in result.people}
found = {
    "entries": result.entries,
    "last_hash": result.last_hash,
    "progress": said,
    "findings": [str(finding) for finding in check()] if "check" in sys.argv[4:] else [],
    "living": sorted({(lot.variety, lot.step) for lot in living(today)}),
    "cold_tubes": sum(lot.alive for lot in living(today) if lot.room == "cold-store"),
    "generations": max(lot.generation for lot in living(today)),
    "people": [asdict(person) for person in result.people],
    "passwords_fit": [
        found is not None and check_password(person.password, found.password)
        for person in result.people
        for found in [stored[person.code]]
    ],
}
sys.stdout.write(json.dumps(found))
