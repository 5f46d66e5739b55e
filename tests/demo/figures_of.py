"""Prints the own figures of the demo farm in the folder named, all and by its hidden truth."""

import json
import sys
from datetime import date
from pathlib import Path
from time import process_time

from pinset.demo.truth import read_truth
from pinset.services.farms import opening

folder, today = Path(sys.argv[1]), date.fromisoformat(sys.argv[2])
opening.open_farm(folder)

from zoneinfo import ZoneInfo  # noqa: E402

from pinset.chain.spells import Spell  # noqa: E402
from pinset.farm import register_store  # noqa: E402
from pinset.farm.queries.spells import spells  # noqa: E402
from pinset.learning.own_figures import own_figures  # noqa: E402

book = register_store.book(today)
routes = {route.code: route for route in book.routes}
began = process_time()
lived = spells(ZoneInfo(book.farm.time_zone))
tired = set(read_truth(folder).tired.lots)


def told(lots: list[Spell]) -> dict[str, dict[str, object]]:
    """Return range and route of each figure, by variety, step, figure and flush."""
    return {
        f"{v.code} {figure.step} {figure.what.value} {figure.flush}": {
            "route": figure.route,
            "own": figure.own,
            "low": figure.low,
            "high": figure.high,
            "spread": figure.spread,
            "lots": figure.lots,
        }
        for v in book.varieties
        for step in own_figures(v.code, routes[v.route], lots, today)
        for figure in step.figures
    }


whole = told(list(lived))
seconds = process_time() - began
sys.stdout.write(
    json.dumps(
        {
            "all": whole,
            "tired": told([each for each in lived if each.lot in tired]),
            "sound": told([each for each in lived if each.lot not in tired]),
            "seconds": seconds,
        }
    )
)
