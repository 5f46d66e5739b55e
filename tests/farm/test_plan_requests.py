"""The line of long work: oldest first, a lost worker's work taken again, answers kept."""

from __future__ import annotations

from datetime import timedelta

import pytest

from farm.small_farm import NOW
from pinset.farm import plan_requests, question_store
from pinset.farm.plan_requests import LEASE, MOST_TIMES

pytestmark = pytest.mark.django_db
BODY = {"variety": "grey", "amount": 1000}
LATE = LEASE + timedelta(seconds=1)


def test_plans_and_questions_stand_in_one_line_the_oldest_first() -> None:
    first = question_store.ask("ada", BODY, NOW)
    second = plan_requests.ask("ada", NOW)
    third = question_store.ask("ben", {**BODY, "amount": 2}, NOW)
    assert [plan_requests.take(NOW) for _ in range(4)] == [first, second, third, None]
    assert plan_requests.question_of(first) == BODY
    assert plan_requests.question_of(second) is None


def test_a_wish_to_plan_never_shares_a_question() -> None:
    asked = question_store.ask("ada", BODY, NOW)
    number = plan_requests.ask("ada", NOW)
    assert number != asked
    assert plan_requests.ask("ben", NOW) == number
    assert plan_requests.status(asked) is None
    assert question_store.by_number(number) is None


def test_what_a_lost_worker_took_is_taken_again() -> None:
    number = question_store.ask("ada", BODY, NOW)
    assert plan_requests.take(NOW) == number
    assert plan_requests.take(NOW + LEASE) is None
    assert plan_requests.take(NOW + LATE) == number


def test_what_loses_every_worker_ends_with_that_said() -> None:
    number = question_store.ask("ada", BODY, NOW)
    behind = question_store.ask("ben", {**BODY, "amount": 2}, NOW)
    for turn in range(MOST_TIMES):
        assert plan_requests.take(NOW + turn * LATE) == number
    assert plan_requests.take(NOW + MOST_TIMES * LATE) == behind
    row = question_store.by_number(number)
    assert row is not None
    assert row.is_ended
    assert f"lost {MOST_TIMES} times" in row.problem


def test_what_was_given_up_stays_without_an_answer() -> None:
    number = question_store.ask("ada", BODY, NOW)
    plan_requests.take(NOW)
    assert plan_requests.tell(number, "planning")
    assert question_store.give_up(number, NOW)
    assert not question_store.give_up(number, NOW)
    assert not plan_requests.tell(number, "planning on")
    plan_requests.end(number, NOW, answer={"is": "late"})
    row = question_store.by_number(number)
    assert row is not None
    assert (row.answer, row.is_given_up, row.progress) == (None, True, "")
    assert plan_requests.take(NOW + LATE) is None
    assert question_store.newest(9) == ()


def test_the_quicker_of_two_workers_counts() -> None:
    number = question_store.ask("ada", BODY, NOW)
    plan_requests.take(NOW)
    plan_requests.end(number, NOW, answer={"by": "first"})
    plan_requests.end(number, NOW, "lost", None)
    row = question_store.by_number(number)
    assert row is not None
    assert (row.answer, row.problem) == ({"by": "first"}, "")


def test_the_newest_answers_are_kept(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(question_store, "KEPT", 2)
    numbers = []
    for amount in range(4):
        numbers.append(question_store.ask("ada", {"amount": amount}, NOW))
        plan_requests.end(numbers[-1], NOW, answer={})
    waiting = question_store.ask("ada", BODY, NOW)
    found = [row.number for row in question_store.newest(9)]
    assert found == [waiting, numbers[3], numbers[2]]
    assert [row.number for row in question_store.open_ones()] == [waiting]


def test_a_failed_question_does_not_keep_the_night_plan_back() -> None:
    number = question_store.ask("ada", BODY, NOW)
    plan_requests.end(number, NOW, "went wrong")
    assert not plan_requests.failed_since(NOW - timedelta(days=1))
