"""Long work outside the pages: planning on request and once for every new day, and questions."""

from __future__ import annotations

import logging
import time
from collections.abc import Callable
from datetime import datetime, timedelta

from django.db import close_old_connections, connection

from pinset.errors import PinsetError
from pinset.farm import plan_requests
from pinset.farm.plan_requests import RequestRow
from pinset.services.asking import questions
from pinset.services.clock import farm_time, now_utc
from pinset.services.farms import trouble
from pinset.services.plans import planning_day

NIGHT_HOUR = 4
"""From this hour of the farm's clock on a day without a plan gets one."""

REST_S = 1.0
LONG_REST_S = 15.0
"""How long the worker waits after the farm could not even be asked for work."""

TRY_AGAIN = timedelta(minutes=30)
"""A new day whose plan failed is planned again only after so long, unless somebody asks."""

_LOG = logging.getLogger(__name__)


def ask_for_plan(person: str) -> int:
    """Ask for a new plan; the number is for :func:`how_far`."""
    return plan_requests.ask(person, now_utc())


def how_far(number: int) -> RequestRow | None:
    """Say how far a request has come."""
    return plan_requests.status(number)


def work_once(now: datetime | None = None) -> bool:
    """Do the next piece of work, if there is one, and say whether there was.

    Work that fails ends its request with what went wrong, whatever it was.
    """
    moment = now or now_utc()
    number = plan_requests.take(moment)
    if number is None and (
        plan_requests.failed_since(moment - TRY_AGAIN) or not day_needs_plan(moment)
    ):
        return False
    if number is None:
        number = plan_requests.ask("", moment)
        number = plan_requests.take(moment) or number
    asked = plan_requests.question_of(number)
    if asked is None:
        plan_requests.end(number, now_utc(), _replanned(number, now))
    else:
        _answer(number, asked, now)
    return True


def _answer(number: int, asked: dict[str, object], now: datetime | None) -> None:
    """Answer a question; one that was given up meanwhile is dropped."""
    answer, problem = None, ""
    try:
        answer = questions.answered(number, asked, now)
    except questions.GivenUpError:
        return
    except PinsetError as refused:
        problem = str(refused)
    except Exception as fault:  # noqa: BLE001 - said to whoever asked, and logged
        _LOG.exception("A question could not be answered.")
        problem = trouble.plain(fault) or (
            f"The question failed by a fault of pinset ({type(fault).__name__}); "
            "the terminal or log of pinset serve says where."
        )
    plan_requests.end(number, now_utc(), problem, answer)


def _replanned(number: int, now: datetime | None) -> str:
    """Plan, and return what went wrong; nothing if it went well."""

    def progress(text: str) -> None:
        plan_requests.tell(number, text)

    try:
        planning_day.replan(now, progress=progress)
    except PinsetError as refused:
        return str(refused)
    except Exception as fault:  # noqa: BLE001 - said to whoever asked, and logged
        _LOG.exception("Planning failed.")
        return trouble.plain(fault) or (
            f"Planning failed by a fault of pinset ({type(fault).__name__}); "
            "the terminal or log of pinset serve says where. The plan before stands."
        )
    return ""


def day_needs_plan(now: datetime) -> bool:
    """Say whether the night is over and the newest plan is of an earlier day."""
    newest = planning_day.latest()
    book, today = planning_day.farm_book(now)
    if newest is not None and newest.plan.start >= today:
        return False
    return newest is None or farm_time(now, book.farm.time_zone).hour >= NIGHT_HOUR


def work_until(stopped: Callable[[], bool]) -> None:
    """Work until told to stop, whatever fails on the way."""
    while not stopped():
        close_old_connections()
        try:
            rest = 0.0 if work_once() else REST_S
        except Exception:  # noqa: BLE001 - the next turn may go well
            _LOG.exception("The farm could not be asked for work.")
            connection.close()  # the next turn begins with a fresh one
            rest = LONG_REST_S
        until = time.monotonic() + rest
        while time.monotonic() < until and not stopped():
            time.sleep(min(REST_S, max(0.0, until - time.monotonic())))
