"""Long work outside the pages: planning on request, and once for every new day."""

from __future__ import annotations

import time
from collections.abc import Callable
from datetime import datetime

from django.db import close_old_connections

from pinset.errors import PinsetError
from pinset.farm import plan_requests
from pinset.farm.plan_requests import RequestRow
from pinset.services import planning_day
from pinset.services.clock import farm_time, now_utc

NIGHT_HOUR = 4
"""From this hour of the farm's clock on a day without a plan gets one."""

REST_S = 1.0


def ask_for_plan(person: str) -> int:
    """Ask for a new plan; the number is for :func:`how_far`."""
    return plan_requests.ask(person, now_utc())


def how_far(number: int) -> RequestRow | None:
    """Say how far a request has come."""
    return plan_requests.status(number)


def work_once(now: datetime | None = None) -> bool:
    """Do the next piece of work, if there is one, and say whether there was."""
    moment = now or now_utc()
    number = plan_requests.take(moment)
    if number is None and not day_needs_plan(moment):
        return False
    if number is None:
        number = plan_requests.ask("", moment)
        number = plan_requests.take(moment) or number
    problem = ""
    try:
        planning_day.replan(now, progress=lambda text: plan_requests.tell(number, text))
    except PinsetError as refused:
        problem = str(refused)
    finally:
        plan_requests.end(number, now_utc(), problem)
    return True


def day_needs_plan(now: datetime) -> bool:
    """Say whether the night is over and the newest plan is of an earlier day."""
    newest = planning_day.latest()
    book, today = planning_day.farm_book(now)
    if newest is not None and newest.plan.start >= today:
        return False
    return newest is None or farm_time(now, book.farm.time_zone).hour >= NIGHT_HOUR


def work_until(stopped: Callable[[], bool]) -> None:
    """Work until told to stop."""
    while not stopped():
        close_old_connections()
        if not work_once():
            time.sleep(REST_S)
