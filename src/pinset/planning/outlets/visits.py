"""The days on which outlets take something: how much of what, and at which price."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date
from math import inf

from pinset.chain.outlets import cents_per_fresh_kg, is_open, takes
from pinset.chain.register import FarmBook, Outlet
from pinset.planning.building.from_book import is_early_hour
from pinset.planning.problem import Problem


@dataclass(frozen=True, slots=True)
class Visit:
    """One outlet on one day. Days count from the problem's."""

    outlet: str
    day: int  # it is handed over
    packed: int  # of what is picked up to this day; -1: only of what lies in the store
    cents: Mapping[str, float]  # of a kilogram fresh, by variety; others are not taken
    least: float = 0.0  # g; less is not taken at all
    most: float = inf  # g


def visits_of(
    book: FarmBook,
    problem: Problem,
    handed: Mapping[tuple[str, date], float] | None = None,
) -> tuple[Visit, ...]:
    """Return every day on which an outlet of the book takes something, within a problem's days.

    An outlet with weekdays of its own is open on them, on days off too; one without, on every day
    on which somebody works.

    Parameters
    ----------
    book : FarmBook
        With its outlets.
    problem : Problem
        Made of that book.
    handed : mapping of outlet and date to float, optional
        What was handed over already: it counts for the least and the most of its day. [g]
    """
    gone = handed or {}
    return tuple(
        visit
        for outlet in book.outlets
        for visit in _of_outlet(book, outlet, problem, gone)
        if visit.cents and visit.most > 0
    )


def _of_outlet(
    book: FarmBook, outlet: Outlet, problem: Problem, handed: Mapping[tuple[str, date], float]
) -> Iterator[Visit]:
    cents = {
        variety.code: cents_per_fresh_kg(outlet, variety)
        for variety in book.varieties
        if takes(outlet, variety.code)
        and (recipe := problem.recipe(variety.code)) is not None
        and recipe.fruiting is not None
    }
    hour = hour_of_outlet(book, outlet)
    for day in range(problem.days):
        on = problem.date_of(day)
        is_staffed = problem.resources.next_staffed(day) == day
        if is_open(outlet, on) and (outlet.weekdays or is_staffed):
            gone = handed.get((outlet.code, on), 0.0)
            most = inf if outlet.most_g is None else float(outlet.most_g) - gone
            least = max(0.0, outlet.least_g - gone)
            before = int(is_early_hour(book, hour, on))
            yield Visit(outlet.code, day, day - before, cents, least, most)


def hour_of_outlet(book: FarmBook, outlet: Outlet) -> str:
    """Return the clock time at which something is handed to an outlet."""
    buyer = next((each for each in book.buyers if each.code == outlet.buyer), None)
    return outlet.deliver_at or (buyer.deliver_at if buyer else "") or book.farm.van_at
