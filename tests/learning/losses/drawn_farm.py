"""Farms drawn by a known law: cooks, sessions, parents and lines, one of which may be raised."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, datetime, timedelta

import numpy as np

from pinset.chain.histories import HistoryTeller, LotHistory, Shared
from pinset.chain.stages import Stage
from pinset.learning.showing import LATE_DAYS, LATE_SHARE, Mixed, Usual, mixed

START = datetime(2025, 1, 6, 8, tzinfo=UTC)
USUAL = {"green-dust": Usual(3.0, 5.0, 9.0)}
SHOWING: dict[Stage, Mixed] = {Stage.GRAIN: mixed(USUAL, {})}
SHARE = 0.03
EXPECTED = {("grey", "grain"): SHARE}
LOOKS = (4.0, 7.0, 11.0, 16.0)
SIGNED = ("green-dust",)


@dataclass(frozen=True)
class Drawn:
    """A drawn farm, and what is true of it."""

    lots: tuple[LotHistory, ...]
    bad: dict[str, int]  # by lot, units that are contaminated, shown or not
    shown: dict[str, int]


def drawn_farm(
    rng: np.random.Generator,
    *,
    lots: int = 300,
    units: int = 30,
    raised: tuple[Shared, str] | None = None,
    by: float = 1.5,
    quiet_sd: float = 0.2,
    lot_sd: float = 0.3,
    until_day: float | None = None,
) -> Drawn:
    """Return a farm that makes a lot every half day and looks at it four times.

    ``until_day`` is today: what would be seen later is not seen yet.
    """
    effects: dict[tuple[Shared, str], float] = {}

    def effect(kind: Shared, level: str) -> float:
        if (kind, level) not in effects:
            effects[kind, level] = float(rng.normal(0.0, quiet_sd))
        return effects[kind, level] + (by if (kind, level) == raised else 0.0)

    found, bad, shown = [], {}, {}
    for number in range(lots):
        day = number / 2.0
        shared = {
            Shared.COOK: f"cook-{int(day // 2)}",
            Shared.SESSION: f"session-{int(day)}",
            Shared.PARENT: f"parent-{rng.integers(max(0, number - 6), number + 1)}",
            Shared.LINE: f"line-{rng.integers(4)}",
            Shared.PERSON: f"person-{rng.integers(3)}",
            Shared.PLACE: f"shelf-{rng.integers(5)}",
        }
        log_rate = np.log(-np.log1p(-SHARE)) + sum(effect(*each) for each in shared.items())
        rate = np.exp(log_rate + rng.normal(0.0, lot_sd))
        many = int(rng.binomial(units, -np.expm1(-rate)))
        law = SHOWING[Stage.GRAIN].laws["green-dust"]
        days = rng.lognormal(np.log(law.median_days), law.spread, many)
        late = rng.random(many) < LATE_SHARE
        days = np.where(late, rng.exponential(LATE_DAYS, many), days)
        teller = HistoryTeller()
        teller.come(units, 0.0)
        seen = 0
        for age in LOOKS:
            if until_day is not None and day + age > until_day:
                break
            now = int((days <= age).sum()) - seen
            teller.look(age, units - seen, now, now, signs=SIGNED if now else ())
            seen += now
        if until_day is not None and day > until_day:
            break
        code = f"L{number:04d}"
        bad[code], shown[code] = many, seen
        found.append(
            LotHistory(
                lot=code,
                variety="grey",
                step="grain",
                stage=Stage.GRAIN,
                made_at=START + timedelta(days=day),
                units=units,
                standing=teller.standing,
                seen=teller.seen,
                shared=shared,
            )
        )
    return Drawn(tuple(found), bad, shown)
