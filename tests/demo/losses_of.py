"""Prints what is said of losses on the demo farm in the folder named, and its truth."""

import json
import sys
from dataclasses import asdict
from datetime import UTC, date, datetime, time
from pathlib import Path

from pinset.demo.truth import read_truth
from pinset.services.farms import opening

folder, today = Path(sys.argv[1]), date.fromisoformat(sys.argv[2])
opening.open_farm(folder)

from pinset.services.losses import reckoning  # noqa: E402
from pinset.services.losses.view import losses_view  # noqa: E402

now = datetime.combine(today, time(12), UTC)
kept = reckoning.reckon_now(now)
truth = read_truth(folder)
view = losses_view(now=now)
assert view is not None
found = kept.reckoned
sys.stdout.write(
    json.dumps(
        {
            "session": truth.careless.session,
            "cooks": truth.seal.cooks,
            "line": truth.tired.culture,
            "named": [[each.kind, each.level] for each in (*view.suspects, *view.earlier)],
            "ratios": {
                f"{e.kind.value} {e.suspect.level}": [e.suspect.low, e.suspect.ratio]
                for e in found.ranked
            },
            "stages": [asdict(each) for each in view.stages],
            "read_again": [asdict(each) for each in view.suspects]
            == [asdict(each) for each in (losses_view(now=now) or view).suspects],
        },
        default=str,
    )
)
