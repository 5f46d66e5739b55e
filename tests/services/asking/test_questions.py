"""Questions in the line of the worker: answered in turn, given up, failing, out of date."""

from __future__ import annotations

from datetime import timedelta

import pytest

from farm.small_farm import NOW
from pinset.errors import RefusedError
from pinset.farm import plan_requests
from pinset.farm.models import PlanRequest
from pinset.services.answers import lot_actions
from pinset.services.answers.lot_actions import Saying
from pinset.services.asking import can_promise, line, questions
from pinset.services.asking.promise_asked import Question, read_question
from pinset.services.asking.questions import Asked, GivenUpError
from pinset.services.plans import planning_day, work
from pinset.web.client_ids import new_client_id
from services.conftest import FULL_BOOK

TYPED = {"variety": "grey", "amount": "2", "weekday": "thu", "from_date": "2026-05-07"}


def question(amount: str = "2") -> Question:
    return read_question({**TYPED, "amount": amount}, FULL_BOOK, NOW.date())


def found(number: int) -> Asked:
    asked = questions.by_number(number)
    assert asked is not None
    return asked


def test_the_worker_answers_and_the_answer_can_be_opened_again(stock: dict[str, str]) -> None:
    planning_day.replan()
    number = questions.ask_question(question(), "ben", NOW)
    assert not found(number).is_taken
    assert work.work_once()
    asked = found(number)
    assert asked.is_ended
    assert asked.problem == ""
    assert asked.answer is not None
    assert asked.answer.question == question()
    assert asked.words == asked.answer.asked
    assert not asked.is_outdated
    assert [each.number for each in questions.newest()] == [number]
    lot_actions.lose(Saying(stock["block"], "ada", new_client_id()), 5, "green dust")
    assert found(number).is_outdated


@pytest.mark.usefixtures("farm")
def test_the_oldest_is_answered_first_one_at_a_time(monkeypatch: pytest.MonkeyPatch) -> None:
    worked: list[int] = []
    monkeypatch.setattr(questions, "answered", lambda number, *_: worked.append(number))
    asked = [questions.ask_question(question(str(kg)), "ben", NOW) for kg in (3, 2, 1)]
    for turn in range(3):
        assert len(worked) == turn
        work.work_once(NOW)
    assert worked == asked


@pytest.mark.usefixtures("farm")
def test_the_same_question_is_asked_once_and_too_many_wait() -> None:
    number = questions.ask_question(question(), "ben", NOW)
    assert questions.ask_question(question(), "ada", NOW) == number
    for kilograms in range(3, 3 + line.MOST_OPEN - 1):
        questions.ask_question(question(str(kilograms)), "ben", NOW)
    with pytest.raises(RefusedError, match="wait already"):
        questions.ask_question(question("90"), "ben", NOW)


@pytest.mark.usefixtures("farm")
def test_one_that_waits_is_given_up_by_who_asked_or_an_owner() -> None:
    number = questions.ask_question(question(), "ben", NOW)
    with pytest.raises(RefusedError, match="Somebody else"):
        questions.give_up(number, "cal", is_owner=False, now=NOW)
    assert questions.give_up(number, "ben", is_owner=False, now=NOW)
    assert plan_requests.take(NOW) is None
    assert found(number).is_given_up
    other = questions.ask_question(question("3"), "ben", NOW)
    assert questions.give_up(other, "ada", is_owner=True, now=NOW)


@pytest.mark.usefixtures("farm")
def test_one_that_runs_stops_when_it_is_given_up(monkeypatch: pytest.MonkeyPatch) -> None:
    number = questions.ask_question(question(), "ben", NOW)

    def in_the_middle(*_: object, say: object, **__: object) -> None:
        questions.give_up(number, "ben", is_owner=False, now=NOW)
        assert callable(say)
        say("planning with it")
        raise AssertionError("it went on")

    monkeypatch.setattr(can_promise, "can_promise", in_the_middle)
    assert work.work_once(NOW)
    asked = found(number)
    assert asked.is_given_up
    assert (asked.answer, asked.problem) == (None, "")
    with pytest.raises(GivenUpError):
        questions.answered(number, {"variety": "grey", "amount": 2000}, NOW)


@pytest.mark.usefixtures("farm")
def test_one_that_fails_ends_with_what_went_wrong(monkeypatch: pytest.MonkeyPatch) -> None:
    def burst(*_: object, **__: object) -> None:
        raise ZeroDivisionError("secret detail")

    number = questions.ask_question(question(), "ben", NOW)
    monkeypatch.setattr(can_promise, "can_promise", burst)
    assert work.work_once(NOW)
    asked = found(number)
    assert asked.is_ended
    assert "fault of pinset (ZeroDivisionError)" in asked.problem
    assert "secret" not in asked.problem


@pytest.mark.usefixtures("farm")
def test_a_variety_that_went_meanwhile_is_named() -> None:
    number = questions.ask_question(question(), "ben", NOW)
    PlanRequest.objects.filter(pk=number).update(
        question={"variety": "gold", "amount": 2000, "weekday": "thu"}
    )
    assert work.work_once(NOW)
    assert "does not grow gold any more" in found(number).problem


@pytest.mark.usefixtures("farm")
def test_an_answer_of_another_pinset_asks_to_be_asked_again() -> None:
    number = questions.ask_question(question(), "ben", NOW)
    plan_requests.take(NOW)
    plan_requests.end(number, NOW, answer={"sentence": "Yes", "colour": "blue"})
    asked = found(number)
    assert asked.answer is None
    assert "Ask again." in asked.problem
    assert questions.to_promise(asked, NOW.date()) is None


@pytest.mark.usefixtures("farm")
def test_a_lost_workers_question_is_answered_by_the_next(monkeypatch: pytest.MonkeyPatch) -> None:
    worked: list[int] = []
    monkeypatch.setattr(questions, "answered", lambda number, *_: worked.append(number))
    number = questions.ask_question(question(), "ben", NOW)
    assert plan_requests.take(NOW) == number  # and its worker is lost
    monkeypatch.setattr(work, "day_needs_plan", lambda _: False)
    assert not work.work_once(NOW + timedelta(seconds=60))
    assert work.work_once(NOW + plan_requests.LEASE + timedelta(seconds=1))
    assert worked == [number]
