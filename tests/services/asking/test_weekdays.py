"""Other weekdays: put in line, searched for by the worker, accepted into the routes."""

from __future__ import annotations

from dataclasses import replace
from itertools import count

import pytest

from farm.small_farm import NOW, describe
from pinset.chain.plain import to_plain
from pinset.chain.register import FarmBook, Weekday
from pinset.errors import RefusedError
from pinset.farm import plan_requests
from pinset.planning.ask.weekdays import OtherDays
from pinset.services.asking import questions, weekdays
from pinset.services.asking.weekdays import DaysLine, WeekdaysAnswer
from pinset.services.clock import now_utc
from pinset.services.plans import planning_day, work

ROUTE = "oyster-straw"
TUESDAY = WeekdaysAnswer(
    "Other weekdays save 3.0% of what the plan costs.",
    (DaysLine(f"{ROUTE} block", "block: Tuesday instead of Thursday", "Grey oyster"),),
    ("1 h less at the clean bench in 16 weeks",),
    (),
    (OtherDays(ROUTE, "block", (Weekday.THU,), (Weekday.TUE,)),),
)


def lay(answer: WeekdaysAnswer) -> None:
    number = weekdays.ask_for_weekdays("ada")
    assert plan_requests.take(now_utc()) == number
    plan_requests.end(number, now_utc(), answer=to_plain(answer))


def block_days() -> tuple[Weekday, ...]:
    book, _ = planning_day.farm_book()
    return book.routes[0].step("block").weekdays


def test_it_is_asked_once_and_is_no_question_about_a_promise(farm: FarmBook) -> None:
    assert farm
    first = weekdays.ask_for_weekdays("ada")
    assert weekdays.ask_for_weekdays("ben") == first
    assert questions.newest() == ()
    assert questions.by_number(first) is None
    waiting = weekdays.newest_weekdays()
    assert waiting is not None
    assert (waiting.is_ended, waiting.answer) == (False, None)


def test_the_worker_searches_and_the_answer_can_be_read(
    farm: FarmBook, stock: dict[str, str], monkeypatch: pytest.MonkeyPatch
) -> None:
    assert stock
    blocks = [replace(s, weekdays=(Weekday.MON,)) if s.code == "block" else s
              for s in farm.routes[0].steps]  # fmt: skip
    describe(replace(farm, routes=(replace(farm.routes[0], steps=tuple(blocks)),)))
    monkeypatch.setattr(weekdays, "BUDGET_S", 5.0)
    number = weekdays.ask_for_weekdays("ada")
    assert work.work_once(NOW)
    found = weekdays.newest_weekdays()
    assert found is not None
    assert (found.number, found.is_ended, found.problem) == (number, True, "")
    assert found.answer is not None
    assert found.answer.remarks[-1].endswith("is no proof.")
    assert len(found.answer.lines) == len(found.answer.changes)


def test_time_that_is_up_is_said(farm: FarmBook, stock: dict[str, str]) -> None:
    assert farm.routes
    assert stock
    looks = count()
    found = weekdays.weekdays_found(NOW, clock=lambda: float(next(looks)), budget_s=0.5)
    assert found.sentence == "No other weekdays were found that cost less."
    assert found.remarks[0] == "Time ended the search; there may be better days still."


def test_what_is_accepted_is_written_into_the_route(farm: FarmBook) -> None:
    assert farm
    with pytest.raises(RefusedError, match="Ask for them"):
        weekdays.accept([f"{ROUTE} block"], "ada")
    lay(TUESDAY)
    assert block_days() == ()
    with pytest.raises(RefusedError, match="Choose"):
        weekdays.accept([], "ada")
    with pytest.raises(RefusedError, match="Choose"):
        weekdays.accept([f"{ROUTE} block", f"{ROUTE} plate"], "ada")
    said = weekdays.accept([f"{ROUTE} block"], "ada")
    assert said == ("Grey oyster, block: Tuesday instead of Thursday",)
    assert block_days() == (Weekday.TUE,)


def test_a_step_that_is_gone_is_not_changed(farm: FarmBook) -> None:
    assert farm
    gone = replace(TUESDAY.changes[0], step="bed")
    line = replace(TUESDAY.lines[0], key=f"{ROUTE} bed")
    lay(replace(TUESDAY, changes=(gone,), lines=(line,)))
    with pytest.raises(RefusedError, match="no longer described"):
        weekdays.accept([f"{ROUTE} bed"], "ada")
