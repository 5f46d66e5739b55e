"""Long work outside the pages: planning on request and every night, questions, and losses."""

from __future__ import annotations

import logging
import time
from collections.abc import Callable
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta

from django.db import close_old_connections, connection

from pinset.errors import PinsetError
from pinset.farm import plan_requests
from pinset.farm.plan_requests import RequestRow
from pinset.services.asking import questions
from pinset.services.clock import farm_time, now_utc
from pinset.services.farms import trouble
from pinset.services.losses import reckoning
from pinset.services.plans import planning_day

NIGHT_HOUR = 4
"""From this hour of the farm's clock on a day without a plan gets one."""

REST_S = 1.0
LONG_REST_S = 15.0
"""How long the worker waits after the farm could not even be asked for work."""

TRY_AGAIN = timedelta(minutes=30)
"""A new day whose plan failed is planned again only after so long, unless somebody asks."""

_LOG = logging.getLogger(__name__)


@dataclass(slots=True)
class _Losses:
    """When this process may try again to reckon losses."""

    not_before: datetime


_NEVER = datetime.min.replace(tzinfo=UTC)


_losses = _Losses(_NEVER)


def ask_for_plan(person: str) -> int:
    """Ask for a new plan; the number is for :func:`how_far`."""
    return plan_requests.ask(person, now_utc())


def how_far(number: int) -> RequestRow | None:
    """Say how far a request has come."""
    return plan_requests.status(number)


def open_plan() -> int | None:
    """Return the number of the plan that is worked on, or waits for its turn."""
    return plan_requests.open_plan()


def give_up(number: int, now: datetime | None = None) -> bool:
    """Stop a plan that is being made, and say whether there was something to stop.

    What the worker is at runs to the end of its step, and nothing of it is kept: the plan before,
    with its jobs, stays as it is.
    """
    return plan_requests.give_up(number, now or now_utc())


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
        if not plan_requests.tell(number, text):
            raise questions.GivenUpError

    try:
        planning_day.replan(now, progress=progress)
    except questions.GivenUpError:
        return ""  # ended already, by whoever gave it up
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


def reckoned_losses(now: datetime | None = None) -> bool:
    """Reckon losses if that is due, and say whether it was done: work for when nobody waits.

    What failed is logged and tried again after :data:`TRY_AGAIN`; the reckoning before stands.
    """
    moment = now or now_utc()
    if moment < _losses.not_before or not reckoning.is_due(moment):
        return False
    try:
        reckoning.reckon_now(moment)
    except Exception:  # noqa: BLE001 - said in the log; plans and questions go on
        _LOG.exception("Losses could not be reckoned.")
        _losses.not_before = moment + TRY_AGAIN
        return False
    return True


def work_until(stopped: Callable[[], bool]) -> None:
    """Work until told to stop, whatever fails on the way."""
    while not stopped():
        close_old_connections()
        try:
            rest = 0.0 if work_once() or reckoned_losses() else REST_S
        except Exception:  # noqa: BLE001 - the next turn may go well
            _LOG.exception("The farm could not be asked for work.")
            connection.close()  # the next turn begins with a fresh one
            rest = LONG_REST_S
        until = time.monotonic() + rest
        while time.monotonic() < until and not stopped():
            time.sleep(min(REST_S, max(0.0, until - time.monotonic())))
