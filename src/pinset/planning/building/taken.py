"""Minutes that work beside the plan takes from people and the clean bench."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

from pinset.planning.resources import Resources

LEAST_MINUTES = 0.01
"""Of a working day that has none left: too short for anything. It stays a working day, so that
what hangs on it is neither free of work nor taken for done. [min]"""


@dataclass(frozen=True, slots=True)
class Taken:
    """Work of one day that is laid without the planner, in minutes."""

    day: int  # days from the start of the plan
    hands: float  # of anybody
    laboratory: float = 0.0  # the part that only those do who may work there
    bench: float = 0.0  # the part during which the clean bench serves nothing else


def without_taken(resources: Resources, taken: Iterable[Taken]) -> Resources:
    """Return what is left for the plan. What is not limited is not limited now; a day off stays."""
    hands = list(resources.hands_minutes)
    laboratory = list(resources.laboratory_minutes)
    bench = list(resources.bench_minutes)
    for each in taken:
        _take(hands, each.day, each.hands)
        _take(laboratory, each.day, each.laboratory)
        _take(bench, each.day, each.bench)
    return replace(
        resources,
        hands_minutes=tuple(hands),
        laboratory_minutes=tuple(laboratory),
        bench_minutes=tuple(bench),
    )


def _take(row: list[float], day: int, minutes: float) -> None:
    if minutes > 0 and day < len(row) and row[day] > 0:
        row[day] = max(LEAST_MINUTES, row[day] - minutes)
