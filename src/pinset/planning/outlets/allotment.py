"""What each outlet is to get of what is left over: the most money, least and most honoured.

A programme with one column for each picking and visit it can go to, and one whole column for each
visit with a least: either nobody goes, or at least that much is taken. Solved to proof.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from pinset.planning.model.programme import Programme, Term, run
from pinset.planning.outlets.surplus import (
    LEAST_GRAMS,
    Crop,
    NotTaken,
    OutletShare,
    SurplusPlan,
    WhyLeft,
)
from pinset.planning.outlets.visits import Visit
from pinset.planning.problem import Problem

KG = 1000.0
TAKEN_CENTS = 0.01
"""Worth of a kilogram that is taken at all, so that what somebody takes for nothing is given."""
FRESH_CENTS = 0.0001
"""Less of that for each day a kilogram has lain: of two equal ways the fresher."""
GAP = 1e-6
"""Money may be a millionth from the most there is."""
TIME_LIMIT_S = 5.0


@dataclass(frozen=True, slots=True)
class Flow:
    """Grams of one picking that go to one visit, by their numbers."""

    crop: int
    visit: int
    grams: float


def planned_surplus(
    problem: Problem, crops: Sequence[Crop], visits: Sequence[Visit]
) -> SurplusPlan:
    """Return where all crops go, or why nobody takes them.

    Parameters
    ----------
    problem : Problem
        For the dates.
    crops : sequence of Crop
        What is left over.
    visits : sequence of Visit
        Who takes what, when.
    """
    flows, gap = allot(crops, visits)
    grams: dict[tuple[int, str], float] = defaultdict(float)
    left = [crop.grams for crop in crops]
    for flow in flows:
        grams[flow.visit, crops[flow.crop].variety] += flow.grams
        left[flow.crop] -= flow.grams
    shares = [
        OutletShare(
            visits[v].outlet,
            problem.date_of(visits[v].day),
            variety,
            taken,
            visits[v].cents[variety] * taken / KG,
        )
        for (v, variety), taken in grams.items()
    ]
    shares.sort(key=lambda share: (share.day, share.outlet, share.variety))
    return SurplusPlan(
        tuple(shares), _not_taken(problem, crops, visits, left, {v for v, _ in grams}), gap
    )


def allot(crops: Sequence[Crop], visits: Sequence[Visit]) -> tuple[tuple[Flow, ...], float]:
    """Return which grams go where, and how far the money may be from the most, as a fraction.

    A visit gets nothing, or at least its least; never more than its most; only of pickings that
    are packed by then and still good on its day.
    """
    ways = [
        (c, v)
        for v, visit in enumerate(visits)
        for c, crop in enumerate(crops)
        if is_way(crop, visit)
    ]
    there: dict[int, float] = defaultdict(float)
    for c, v in ways:
        there[v] += crops[c].grams
    ways = [(c, v) for c, v in ways if there[v] >= visits[v].least]
    if not ways:
        return (), 0.0
    programme = Programme()
    columns = {
        (c, v): programme.column(-worth(crops[c], visits[v]), upper=crops[c].grams / KG)
        for c, v in ways
    }
    _limit(programme, crops, visits, columns, there)
    outcome = run(programme, time_limit_s=TIME_LIMIT_S, gap=GAP)
    if outcome.values is None:
        return (), 1.0
    found = ((c, v, float(outcome.values[column]) * KG) for (c, v), column in columns.items())
    flows = tuple(Flow(c, v, grams) for c, v, grams in found if grams >= LEAST_GRAMS / 2)
    return flows, 0.0 if outcome.is_proven else outcome.gap


def is_way(crop: Crop, visit: Visit) -> bool:
    """Say whether something of a picking can be handed over at a visit."""
    return crop.variety in visit.cents and crop.day <= visit.packed and visit.day <= crop.last_day


def worth(crop: Crop, visit: Visit) -> float:
    """Return what a kilogram of a picking is worth at a visit, in cents."""
    lain = visit.day - crop.day
    return visit.cents[crop.variety] + TAKEN_CENTS - FRESH_CENTS * lain


def _limit(
    programme: Programme,
    crops: Sequence[Crop],
    visits: Sequence[Visit],
    columns: Mapping[tuple[int, int], int],
    there: Mapping[int, float],
) -> None:
    by_crop: dict[int, list[Term]] = defaultdict(list)
    by_visit: dict[int, list[Term]] = defaultdict(list)
    for (c, v), column in columns.items():
        by_crop[c].append((column, 1.0))
        by_visit[v].append((column, 1.0))
    for c, terms in by_crop.items():
        programme.at_most(terms, crops[c].grams / KG)
    for v, terms in by_visit.items():
        visit = visits[v]
        most = min(visit.most, there[v]) / KG
        if visit.least <= 0:
            programme.at_most(terms, most)
            continue
        goes = programme.column(upper=1.0, whole=True)
        programme.at_least([*terms, (goes, -visit.least / KG)], 0.0)
        programme.at_most([*terms, (goes, -most)], 0.0)


def _not_taken(
    problem: Problem,
    crops: Sequence[Crop],
    visits: Sequence[Visit],
    left: Sequence[float],
    visited: Iterable[int],
) -> tuple[NotTaken, ...]:
    gone = set(visited)
    found: dict[tuple[str, int, WhyLeft], float] = defaultdict(float)
    for crop, grams in zip(crops, left, strict=True):
        if grams >= LEAST_GRAMS:
            found[crop.variety, crop.last_day, _why(crop, visits, gone)] += grams
    return tuple(
        NotTaken(variety, problem.date_of(last), grams, why)
        for (variety, last, why), grams in sorted(found.items(), key=lambda each: each[0][1])
    )


def _why(crop: Crop, visits: Sequence[Visit], gone: Iterable[int]) -> WhyLeft:
    if not any(crop.variety in visit.cents for visit in visits):
        return WhyLeft.NOBODY
    ways = [v for v, visit in enumerate(visits) if is_way(crop, visit)]
    if not ways:
        return WhyLeft.CLOSED
    return WhyLeft.FULL if set(ways) <= set(gone) else WhyLeft.LEAST
