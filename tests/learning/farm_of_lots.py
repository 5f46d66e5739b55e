"""Spells of an invented farm whose true figures are known."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from math import exp

import numpy as np

from pinset.chain.register import Flush, Parent, Route, Spread, Step, StepKind
from pinset.chain.spells import Flushed, Spell
from pinset.chain.stages import Stage

TODAY = date(2026, 3, 12)
START = date(2025, 3, 1)
DAYS, NO_DAYS = Spread(10.0, 12.0, 17.0), Spread(0.0, 0.0, 0.0)

GRAIN = Step("grain", StepKind.TRANSFER, Stage.GRAIN, DAYS, Spread(0.01, 0.02, 0.06), 23.0)
BLOCK = replace(GRAIN, code="block", stage=Stage.BLOCK, parents=(Parent("grain", 10.0),), days=DAYS)
FRUITING = Step(
    "fruiting",
    StepKind.FRUIT,
    Stage.BLOCK,
    DAYS,
    NO_DAYS,
    16.0,
    yield_g=600.0,
    yield_spread=0.2,
    flushes=(
        Flush(NO_DAYS, 0.6, 3, 0.0),
        Flush(Spread(8.0, 10.0, 14.0), 0.3, 3, 0.05),
    ),
)
ROUTE = Route("oyster-straw", (GRAIN, BLOCK, FRUITING))


def grown(lot: int, units: int, lost: int, since: date = START, **more: object) -> Spell:
    """Return a lot of grain that is used up."""
    given = {"left_after": 15} | more
    standing = 0
    return Spell(f"G{lot}", "grey", "grain", since, units, standing, lost, **given)  # type: ignore[arg-type]


def borne(
    lot: int,
    grams: tuple[float, ...],
    *,
    units: int = 50,
    first: int = 13,
    gap: int = 11,
    gone: tuple[int, ...] = (0, 2),
    since: date = START,
    **more: object,
) -> Spell:
    """Return a lot that was picked of so many grams a block in each flush and then cleared."""
    flushes, day = [], since + timedelta(days=first)
    for number, weight in enumerate(grams, start=1):
        last = day + timedelta(days=2)
        flushes.append(Flushed(number, weight, day, last, gone[number - 1]))
        day = last + timedelta(days=gap)
    lost = gone[len(grams) - 1] if grams else 0
    given = {"spent": units - lost} | more
    return Spell(
        f"F{lot}", "grey", "fruiting", since, units, 0, lost, flushes=tuple(flushes), **given
    )  # type: ignore[arg-type]


def bearing_farm(lots: int, seed: int, *, middle_g: float = 450.0) -> list[Spell]:
    """Return fruiting lots of a farm whose middle lot yields so many grams a block, log sd 0.25."""
    random = np.random.Generator(np.random.PCG64(seed))
    found = []
    for lot in range(lots):
        whole = middle_g * exp(random.normal(0.0, 0.25))
        first = int(np.ceil(random.normal(14.0, 2.0)))
        gap = int(np.ceil(random.normal(9.0, 1.0)))
        found.append(borne(lot, (whole * 0.6, whole * 0.3), first=first, gap=gap))
    return found
