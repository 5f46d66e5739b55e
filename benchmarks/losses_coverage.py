"""How often the 95 % range of a suspect holds its true rate ratio, on drawn farms.

Farms as in losses_naming.py, every other one with an outbreak. Counted are all levels of all kinds,
fewer than 5,000 lots with ranges averaged over the deviations and at the likeliest ones, more only
at those, as farms are told. It exits with 1 outside 90 to 97 % below 5,000 lots, and outside 93 to
97 % from there on.

Usage: losses_coverage.py [FARMS] [LOTS]     200 farms of 1,000 lots unless told otherwise
"""

from __future__ import annotations

import json
import sys
from collections import defaultdict
from math import exp

import numpy as np
from losses_naming import EXPECTED, LOTS, SHOWING, Outbreak, drawn

from pinset.learning.incidence.averaging import averaged
from pinset.learning.incidence.fit import Fit, fit
from pinset.learning.incidence.report import suspects
from pinset.learning.losses.reckoned import AVERAGED_UP_TO
from pinset.learning.losses.told import WORK, told


def held(farm: Outbreak, result: Fit) -> dict[str, list[bool]]:
    """Return whether each range holds the truth, by kind."""
    truth = {(kind.value, level): effect for (kind, level), effect in farm.effects.items()}
    found: defaultdict[str, list[bool]] = defaultdict(list)
    for each in suspects(result):
        if each.factor != WORK:
            ratio = exp(truth[each.factor, each.level])
            found[each.factor].append(each.low <= ratio <= each.high)
    return found


def main() -> int:
    """Draw farms, count what their ranges hold, and print one line."""
    farms = int(sys.argv[1]) if len(sys.argv) > 1 else 200
    count = int(sys.argv[2]) if len(sys.argv) > 2 else LOTS
    rng = np.random.Generator(np.random.PCG64(2027))
    told_as: dict[str, defaultdict[str, list[bool]]] = {
        name: defaultdict(list) for name in ("averaged", "likeliest")
    }
    for number in range(farms):
        farm = drawn(rng, quiet=number % 2 == 0, count=count)
        result = fit(told(farm.lots, SHOWING, EXPECTED).records)
        ways = {"likeliest": result}
        if count <= AVERAGED_UP_TO:
            ways["averaged"] = averaged(result)
        for name, way in ways.items():
            for kind, each in held(farm, way).items():
                told_as[name][kind].extend(each)
    shares = {
        name: {
            "all": round(float(np.mean([one for each in kinds.values() for one in each])), 4),
            **{kind: round(float(np.mean(each)), 4) for kind, each in kinds.items()},
        }
        for name, kinds in told_as.items()
        if kinds
    }
    rules = shares["averaged" if count <= AVERAGED_UP_TO else "likeliest"]["all"]
    low, high = (0.90, 0.97) if count < AVERAGED_UP_TO else (0.93, 0.97)
    print(json.dumps({"farms": farms, "lots": count, "held": shares}))
    return 0 if low <= rules <= high else 1


if __name__ == "__main__":
    sys.exit(main())
