"""What a plan expects beyond its promises, and which outlet is to get it."""

from __future__ import annotations

from datetime import time

from pinset.chain.day_hours import clock_minute
from pinset.chain.register import FarmBook
from pinset.planning.outlets.allotment import planned_surplus
from pinset.planning.outlets.seasons import OutletDays
from pinset.planning.outlets.surplus import left_of_promises
from pinset.planning.outlets.visits import Visit, hour_of_outlet, visits_of
from pinset.planning.plan import Plan
from pinset.planning.problem import Problem
from pinset.services.outlets.given import given_by_day


def outlet_days(book: FarmBook, problem: Problem, plan: Plan, since: time | None) -> OutletDays:
    """Return who takes what is left over, when, and what of it each is to get.

    Parameters
    ----------
    book : FarmBook
        With its outlets.
    problem, plan : Problem, Plan
        Made of that book for today.
    since : time, optional
        The hour it is; None before work begins. An outlet whose hour is past gets nothing today.
    """
    today = problem.start
    visits = tuple(
        visit
        for visit in visits_of(book, problem, given_by_day(today, today, book.farm.time_zone))
        if visit.day or not _is_past(book, visit, since)
    )
    crops = left_of_promises(problem, plan)
    return OutletDays(visits, crops, planned_surplus(problem, crops, visits))


def _is_past(book: FarmBook, visit: Visit, since: time | None) -> bool:
    if since is None:
        return False
    outlet = next(each for each in book.outlets if each.code == visit.outlet)
    return clock_minute(hour_of_outlet(book, outlet)) < since.hour * 60 + since.minute
