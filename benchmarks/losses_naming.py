"""How often the true cause of drawn outbreaks is named, with and without physical evidence.

Farms of 1,000 lots are drawn by a known law, one level of one kind raised; how informative their
evidence is stands in docs/decisions/0021-losses.md and was fixed before this was run. Printed are
the shares named first and among the first three, by what the outbreak cost, and how often quiet
farms alarm. It exits with 1 where evidence lifts the first three by less than 15 points.

Usage: losses_naming.py [FARMS]     200 unless told otherwise; about 4 s each
"""

from __future__ import annotations

import json
import sys
from collections import defaultdict
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta

import numpy as np

from pinset.chain.histories import HistoryTeller, LotHistory, Shared
from pinset.chain.stages import Stage
from pinset.learning.incidence.fit import fit
from pinset.learning.incidence.report import confused, suspects
from pinset.learning.losses.alarms import FALSE_A_YEAR, alarms
from pinset.learning.losses.ranking import ranked, recentred
from pinset.learning.losses.told import Level, told
from pinset.learning.showing import LATE_DAYS, LATE_SHARE, Usual, mixed

LOTS, UNITS, A_DAY = 1000, 30, 3.0
SHARE, RAISED, QUIET_SD, LOT_SD = 0.04, 1.5, 0.3, 0.4
KINDS = (Shared.COOK, Shared.PARENT, Shared.SESSION, Shared.LINE, Shared.PERSON)
PREDICTED = (Shared.COOK, Shared.SESSION)
KNOWN, KNOWN_SD, QUIET_ERROR_SD = 0.7, 0.7, 0.3
TELLING, MISLEADING, CHANCE_SIGN = 0.5, 0.1, 0.1
LOOKS = (5.0, 9.0, 14.0, 20.0)
LEAST_LIFT = 15.0  # points
START = datetime(2025, 1, 6, 8, tzinfo=UTC)
SHOWING = {Stage.GRAIN: mixed({"green-dust": Usual(3.0, 6.0, 12.0)}, {})}
EXPECTED = {("grey", "grain"): SHARE}


@dataclass(frozen=True)
class Outbreak:
    """A drawn farm with its truth and its evidence."""

    lots: tuple[LotHistory, ...]
    true: Level | None
    cost: float  # units lost more than without it
    effects: dict[Level, float]  # logarithm of the rate ratio of every level
    predicted: dict[Level, float]
    pointing: dict[str, frozenset[Shared]]


def shared_of(rng: np.random.Generator, number: int) -> dict[Shared, str]:
    """Return what a lot shares with others; cooks and sessions overlap but for a part."""
    day = number / A_DAY
    return {
        Shared.COOK: f"cook-{int(day + rng.random() * 0.8)}",
        Shared.SESSION: f"session-{int(day)}",
        Shared.PARENT: f"parent-{max(0, number // 5 - int(rng.integers(3)))}",
        Shared.LINE: f"line-{rng.integers(6)}",
        Shared.PERSON: f"person-{rng.integers(3)}",
        Shared.PLACE: f"shelf-{rng.integers(8)}",
    }


def drawn(rng: np.random.Generator, *, quiet: bool, count: int = LOTS) -> Outbreak:
    """Draw one farm of so many lots."""
    shares = [shared_of(rng, number) for number in range(count)]
    true: Level | None = None
    if not quiet:
        kind = KINDS[int(rng.integers(len(KINDS)))]
        late = shares[int(count * 0.5) : int(count * 0.95)]
        true = kind, late[int(rng.integers(len(late)))][kind]
    effects: dict[Level, float] = {}
    lots, cost = [], 0.0
    pointing: dict[str, frozenset[Shared]] = {}
    for number, shared in enumerate(shares):
        for each in shared.items():
            effects.setdefault(each, float(rng.normal(0.0, QUIET_SD)))
        log_rate = np.log(-np.log1p(-SHARE)) + sum(effects[each] for each in shared.items())
        log_rate += rng.normal(0.0, LOT_SD)
        usual = int(rng.binomial(UNITS, -np.expm1(-np.exp(log_rate))))
        extra = 0
        if true is not None and shared.get(true[0]) == true[1]:
            more = -np.expm1(-np.exp(log_rate) * np.expm1(RAISED))
            extra = int(rng.binomial(UNITS - usual, more))
        cost += extra
        lots.append(looked_at(rng, f"L{number:04d}", number, shared, usual + extra))
        kinds = signs_of(rng, usual, extra, true)
        if kinds and lots[-1].found:
            pointing[lots[-1].lot] = frozenset(kinds)
    predicted = prediction(rng, effects, true)
    if true is not None:
        effects[true] += RAISED
    return Outbreak(tuple(lots), true, cost, effects, predicted, pointing)


def looked_at(
    rng: np.random.Generator, code: str, number: int, shared: dict[Shared, str], bad: int
) -> LotHistory:
    """Return a lot of which so many units are bad, as it was looked at."""
    law = SHOWING[Stage.GRAIN].laws["green-dust"]
    days = rng.lognormal(np.log(law.median_days), law.spread, bad)
    days = np.where(rng.random(bad) < LATE_SHARE, rng.exponential(LATE_DAYS, bad), days)
    teller, seen = HistoryTeller(), 0
    teller.come(UNITS, 0.0)
    for age in LOOKS:
        now = int((days <= age).sum()) - seen
        teller.look(age, UNITS - seen, now, now)
        seen += now
    made = START + timedelta(days=number / A_DAY)
    return LotHistory(
        code, "grey", "grain", Stage.GRAIN, made, UNITS, teller.standing, teller.seen, shared
    )


def signs_of(rng: np.random.Generator, usual: int, extra: int, true: Level | None) -> set[Shared]:
    """Return what signs on a lot point to."""
    found: set[Shared] = set()
    for _ in range(extra):
        draw = rng.random()
        if true is not None and draw < TELLING:
            found.add(true[0])
        elif draw < TELLING + MISLEADING:
            others = [kind for kind in KINDS if true is None or kind is not true[0]]
            found.add(others[int(rng.integers(len(others)))])
    for _ in range(int(rng.binomial(usual, CHANCE_SIGN))):
        found.add(KINDS[int(rng.integers(len(KINDS)))])
    return found


def prediction(
    rng: np.random.Generator, effects: dict[Level, float], true: Level | None
) -> dict[Level, float]:
    """Return what physics predicts of every cook and session."""
    found: dict[Level, float] = {}
    for level in effects:
        if level[0] not in PREDICTED:
            continue
        if level == true:
            known = rng.random() < KNOWN
            found[level] = RAISED + float(rng.normal(0.0, KNOWN_SD)) if known else 0.0
        else:
            found[level] = float(rng.normal(0.0, QUIET_ERROR_SD))
    return found


def place_of(outbreak: Outbreak, *, with_evidence: bool) -> int:
    """Return at which place the true level is ranked, from 1."""
    predicted = outbreak.predicted if with_evidence else {}
    pointing = outbreak.pointing if with_evidence else {}
    result = fit(told(outbreak.lots, SHOWING, EXPECTED, predicted).records)
    found = ranked(recentred(suspects(result)), confused(result), outbreak.lots, pointing)
    order = [(each.kind, each.suspect.level) for each in found]
    assert outbreak.true is not None
    return order.index(outbreak.true) + 1


def alarms_a_year(rng: np.random.Generator) -> float:
    """Return how many alarms a quiet farm raises a year."""
    farm = drawn(rng, quiet=True)
    data = told(farm.lots, SHOWING, EXPECTED)
    end = START + timedelta(days=LOTS / A_DAY + LOOKS[-1])
    found = alarms(data, EXPECTED, end)
    return len(found) * 365.0 / 182.0


def size_of(cost: float) -> str:
    """Return the class of an outbreak by the units it cost."""
    return "under 10" if cost < 10 else "10 to 30" if cost < 30 else "30 and more"


def main() -> int:
    """Draw farms, name causes, and print one line."""
    farms = int(sys.argv[1]) if len(sys.argv) > 1 else 200
    rng = np.random.Generator(np.random.PCG64(2026))
    places: dict[bool, list[int]] = {False: [], True: []}
    by_size: defaultdict[str, list[tuple[int, int]]] = defaultdict(list)
    for _ in range(farms):
        outbreak = drawn(rng, quiet=False)
        plain, evident = (place_of(outbreak, with_evidence=each) for each in (False, True))
        places[False].append(plain)
        places[True].append(evident)
        by_size[size_of(outbreak.cost)].append((plain, evident))
    quiet = [alarms_a_year(rng) for _ in range(max(2, farms // 10))]

    def percent(found: list[int], within: int) -> float:
        return round(100.0 * float(np.mean([each <= within for each in found])), 1)

    lift = percent(places[True], 3) - percent(places[False], 3)
    said = {
        "benchmark": "losses_naming",
        "farms": farms,
        "counts_alone": {"first": percent(places[False], 1), "three": percent(places[False], 3)},
        "with_evidence": {"first": percent(places[True], 1), "three": percent(places[True], 3)},
        "by_units_cost": {
            size: {
                "farms": len(pairs),
                "three_alone": percent([one for one, _ in pairs], 3),
                "three_with_evidence": percent([two for _, two in pairs], 3),
            }
            for size, pairs in sorted(by_size.items())
        },
        "lift_points": round(lift, 1),
        "false_alarms_a_year": round(float(np.mean(quiet)), 2),
        "limits": {"lift_points": LEAST_LIFT, "false_alarms_a_year": 2.0 * FALSE_A_YEAR},
    }
    print(json.dumps(said))
    good = lift >= LEAST_LIFT and said["false_alarms_a_year"] <= 2.0 * FALSE_A_YEAR
    return 0 if good else 1


if __name__ == "__main__":
    sys.exit(main())
