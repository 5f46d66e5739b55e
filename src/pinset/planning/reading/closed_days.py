"""What a promise wants, ripens while nobody works and is spoilt before somebody comes."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass, field

from numpy import float64
from numpy.typing import NDArray

from pinset.planning.model.columns import Model
from pinset.planning.model.reach import is_in_time
from pinset.planning.problem import Problem
from pinset.planning.reading.explain import day_in_words, weight_in_words
from pinset.planning.reading.pegging import Key
from pinset.planning.recipes import Picking
from pinset.planning.unpicked import STANDS_DAYS, visits

LEAST_GRAMS = 50.0  # less is not worth a word


@dataclass(frozen=True, slots=True)
class Unpicked:
    """Mushrooms that would serve a promise if somebody came to pick them."""

    grams: float
    first: int  # of the days on which nobody works
    last: int
    visits: tuple[int, ...]  # the fewest days on which somebody would have to come in time


@dataclass(slots=True)
class _Spell:
    standing: float = 0.0  # borne by what is in the rooms. [g]
    moved: float = 0.0  # by what would be moved in. [g]
    ripe: list[int] = field(default_factory=list)


def unpicked_for(
    model: Model, own: Problem, values: NDArray[float64], key: Key, short: float
) -> Unpicked | None:
    """Return what is spoilt on closed days of what could serve a promise; None: nothing.

    Parameters
    ----------
    model : Model
        Of the same farm picked on every day.
    own : Problem
        With the farm's own days.
    values : ndarray
        Of the model's columns: units moved in.
    key : Key
        Of the promise.
    short : float
        What the farm's own days leave short of it. Of what would be moved in no more is told than
        that: without any limit there may be more of it. [g]
    """
    if key[1] != "picked":
        return None
    recipe = own.recipes[key[0]]
    spells: defaultdict[tuple[int, int], _Spell] = defaultdict(_Spell)
    for lot in own.in_rooms:
        if lot.variety == recipe.variety:
            for ripe, pick in _spoilt(model, own, key, lot.picks):
                spell = spells[_closed(own, ripe)]
                spell.standing += pick.grams
                spell.ripe.append(ripe)
    for (r, _, t), column in model.v.items():
        units = float(values[column]) if r == key[0] else 0.0
        if units > 0.0 and recipe.fruiting is not None:
            for ripe, pick in _spoilt(model, own, key, recipe.fruiting.borne(t), t):
                spell = spells[_closed(own, ripe)]
                spell.moved += units * pick.grams
                spell.ripe.append(ripe)
    told = [
        Unpicked(
            each.standing + min(each.moved, max(0.0, short - each.standing)),
            first,
            last,
            visits(each.ripe, min(last, key[2]) + 1),
        )
        for (first, last), each in spells.items()
    ]
    most = max(told, key=lambda each: each.grams, default=None)
    return most if most is not None and most.grams >= LEAST_GRAMS else None


def words_of(closed: Unpicked, problem: Problem) -> str:
    """Return how much is spoilt before somebody comes, and on which days that would save it."""
    first, last = (day_in_words(problem.date_of(day)) for day in (closed.first, closed.last))
    when = f"on {first}" if closed.first == closed.last else f"from {first} to {last}"
    come = " and ".join(day_in_words(problem.date_of(day)) for day in closed.visits)
    return (
        f"{weight_in_words(closed.grams, problem.units)} ripen while nobody works {when}: ripe "
        f"mushrooms stand {STANDS_DAYS} days (common practice, no source), then they are spoilt. "
        f"They would be there if somebody came on {come}."
    )


def _spoilt(
    model: Model, own: Problem, key: Key, picks: tuple[Picking, ...], entered: int = 0
) -> Iterator[tuple[int, Picking]]:
    """Yield what is spoilt and could be sold on the day of a promise, picked when it is ripe."""
    keeps = own.recipes[key[0]].picked_keeps_days
    for pick in picks:
        ripe = entered + pick.day
        picked = model.problem.picked(ripe, keeps)
        is_spoilt = own.resources.picked_on(ripe) is None
        if is_spoilt and picked is not None and is_in_time(picked, key):
            yield ripe, pick


def _closed(own: Problem, ripe: int) -> tuple[int, int]:
    """Return the first and the last day of those on which nobody works around a day."""
    row, since = own.resources.staffed, max(0, ripe)
    first = next((d + 1 for d in range(since, -1, -1) if row[d] > 0), 0)
    return first, next((d - 1 for d in range(since, len(row)) if row[d] > 0), len(row) - 1)
