"""Entries of somebody's own judgement: of a cook without a log, of lots whose cook was short."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from pinset.errors import InputError, RefusedError
from pinset.farm import trade
from pinset.farm.entries import NewEntry
from pinset.farm.queries.cooks import entries_of_cooks, lots_of_cooks
from pinset.farm.trade import CookVerdict, Tap
from pinset.farm.trade.looking import Verdict
from pinset.services.building.task import Task, chosen, looked_up, need_units
from pinset.services.cooks.judge.standing import NOTHING, Aside, set_aside
from pinset.services.cooks.words import BY_HAND
from pinset.services.texts import LONGEST_REASON, written


def judged_by_hand(task: Task) -> NewEntry:
    """Return the entry of a cook judged by its job; passed, if nothing else is said."""
    need_units(task)
    return by_hand(
        task.tap,
        task.job.cook,
        task.answer.verdict or CookVerdict.PASS,
        task.answer.reason,
        task.details,
    )


def by_hand(
    tap: Tap,
    cook: str,
    verdict: str,
    reason: str,
    details: Mapping[str, Any] | None = None,
    aside: Aside = NOTHING,
) -> NewEntry:
    """Return the entry that says what somebody judged of a cook, and what was watched.

    ``aside`` are earlier verdicts that do not count because of it.

    Raises
    ------
    InputError
        If it is neither pass nor fail, no reason is given, or nothing such can be set aside.
    RefusedError
        If there is no such cook.
    """
    if verdict not in {CookVerdict.PASS, CookVerdict.FAIL}:
        raise InputError("verdict", verdict, "pass or fail")
    said = written("reason", reason, LONGEST_REASON)
    if not said:
        raise InputError(
            "reason",
            reason,
            "what was watched, such as: gauge at 1.0 bar for 90 min by the clock",
            "A log of the cook can be judged on the Heat page.",
        )
    sentence = f"{BY_HAND[:1].upper()}{BY_HAND[1:]}: {said}"
    given = {
        **(details or {}),
        **set_aside(cook, verdict, aside),
        "by_hand": True,
        "reason": said,
        "sentence": sentence,
    }
    return trade.verdict(tap, cook=cook, lots=lots_of(cook), verdict=verdict, details=given)


DECISIONS = {"hold": Verdict.HELD, "keep": Verdict.KEPT}


def decided(task: Task) -> NewEntry:
    """Return the entry of lots held back or kept whose cook was too short.

    Raises
    ------
    InputError
        If it is neither hold nor keep, or no reason is given.
    RefusedError
        If a lot is unknown.
    """
    lots = chosen(task)
    looked_up(task, lots)
    if task.answer.verdict not in DECISIONS:
        accepted = "hold (back) or keep, of lots whose cook was too short"
        raise InputError("verdict", task.answer.verdict, accepted)
    reason = written("reason", task.answer.reason, LONGEST_REASON)
    if not reason:
        raise InputError("reason", reason, "what was seen when they were looked over")
    codes = list(dict.fromkeys(lot.lot for lot in lots))
    given = {**task.details, "cook": task.job.cook}
    given.pop("reason", None)  # it stands with each lot
    return trade.decide(task.tap, codes, DECISIONS[task.answer.verdict], reason, given)


def lots_of(cook: str) -> tuple[str, ...]:
    """Return the prepared lots of a cook that stands in the books.

    Raises
    ------
    RefusedError
        If there is no such cook.
    """
    if not entries_of_cooks([cook]):
        raise RefusedError(f"There is no cook {cook}.", "The Heat page lists the cooks there are.")
    return lots_of_cooks([cook]).get(cook, ())
