"""What each culture of a variety yields, drawn towards the others as far as it is uncertain."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from math import exp, expm1, log

from pinset.chain.register import Step
from pinset.chain.spells import Spell
from pinset.learning.bearing_figures import taken_share, whole_yield
from pinset.learning.counted import counted
from pinset.learning.pooled_means import pooled

_RANGE = 1.2816
"""Standard deviations either way of a range that holds the truth in 4 of 5."""


@dataclass(frozen=True, slots=True)
class CultureYield:
    """One culture."""

    culture: str
    lots: int
    own: float  # middle yield of a unit of its lots, in the flushes that are taken [g]
    drawn: float  # towards the others [g]
    low: float  # the 80 % range of that [g]
    high: float


@dataclass(frozen=True, slots=True)
class CultureYields:
    """All cultures of one variety, the one that yields most first."""

    cultures: tuple[CultureYield, ...]
    differ: float  # cultures by, as a share of the yield: one standard deviation
    lots_differ: float  # lots of one culture, likewise


def culture_yields(
    variety: str, step: Step, spells: Iterable[Spell], today: date
) -> CultureYields | None:
    """Return what the cultures of a variety yield; None where there is nothing to compare.

    Parameters
    ----------
    variety : str
        Code.
    step : Step
        The fruiting step of its route.
    spells : iterable of Spell
        Of the whole farm.
    today : date
        The farm's day.
    """
    mine = [each for each in spells if (each.variety, each.step) == (variety, step.code)]
    logs: defaultdict[str, list[float]] = defaultdict(list)
    for spell in counted(mine, step, today).spells:
        grams = whole_yield(spell, step)
        if spell.culture and grams > 0.0:
            logs[spell.culture].append(log(grams))
    lots = sum(len(each) for each in logs.values())
    if len(logs) < 2 or lots <= len(logs):  # noqa: PLR2004 - something to compare
        return None
    names = [name for name, each in logs.items() for _ in each]
    found = pooled([value for each in logs.values() for value in each], names)
    taken = taken_share(step)
    cultures = (
        CultureYield(
            culture=name,
            lots=found.groups[name].count,
            own=exp(found.groups[name].own) * taken,
            drawn=exp(found.groups[name].mean) * taken,
            low=exp(found.groups[name].mean - _RANGE * found.groups[name].sd) * taken,
            high=exp(found.groups[name].mean + _RANGE * found.groups[name].sd) * taken,
        )
        for name in logs
    )
    return CultureYields(
        tuple(sorted(cultures, key=lambda each: -each.drawn)),
        expm1(found.between),
        expm1(found.within),
    )
