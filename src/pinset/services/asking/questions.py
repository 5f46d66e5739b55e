"""Questions whether something can be promised: put in line, given up, read when answered."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date, datetime
from itertools import islice

from pinset.chain.plain import from_plain, to_plain
from pinset.chain.register import Promise
from pinset.errors import InputError, RefusedError
from pinset.farm import plan_requests, question_store
from pinset.farm.queries.story import last_entry_number
from pinset.farm.question_store import QuestionRow
from pinset.farm.stamp import register_stamp
from pinset.services.asking import can_promise, doubtful_lot, weekdays
from pinset.services.asking.line import put_in_line
from pinset.services.asking.promise_asked import Question
from pinset.services.asking.view import PromiseAnswer, Verdict
from pinset.services.asking.words import asked_words
from pinset.services.book_reader import Reader
from pinset.services.clock import now_utc
from pinset.services.plans import planning_day

NEWEST = 6


class GivenUpError(Exception):
    """Nobody waits for the answer any more."""


@dataclass(frozen=True, slots=True)
class Asked:
    """A question that was asked, and how far it has come."""

    number: int
    asked_at: datetime
    asked_by: str
    words: str
    question: Question | None  # None: written by an older pinset and not readable any more
    answer: PromiseAnswer | None
    is_taken: bool
    is_ended: bool
    is_given_up: bool
    progress: str
    problem: str
    is_outdated: bool = False  # something was written down since it was answered


def ask_question(question: Question, person: str, now: datetime | None = None) -> int:
    """Put a question in line and return its number; the same one that waits already is shared.

    Raises
    ------
    RefusedError
        If so many questions wait that one more would only keep the plan from its turn.
    """
    return put_in_line(to_plain(question), person, now)


def by_number(number: int) -> Asked | None:
    """Return a question with its answer, if it has one; None if there is no such question."""
    row = question_store.by_number(number)
    return _asked(row) if row and not _is_other(row) else None


def _is_other(row: QuestionRow) -> bool:
    """Say whether it asks for other weekdays or of a lot, not whether something can be promised."""
    return row.question == weekdays.BODY or doubtful_lot.is_of_lot(row.question)


def newest() -> tuple[Asked, ...]:
    """Return the newest questions that nobody gave up."""
    rows = (row for row in question_store.newest(question_store.KEPT) if not _is_other(row))
    return tuple(_asked(row) for row in islice(rows, NEWEST))


def to_promise(asked: Asked, today: date) -> Promise | None:
    """Return what could be promised by an answer, from the day it holds; None if nothing can."""
    question, answer = asked.question, asked.answer
    if question is None or answer is None or answer.verdict is Verdict.NO:
        return None
    promise = question.as_promise()
    if question.weekday is None:
        return replace(promise, on_date=answer.later_day or question.on_date)
    first = max(day for day in (answer.holds_from, question.from_date, today) if day)
    return replace(promise, from_date=first)


def give_up(number: int, person: str, *, is_owner: bool, now: datetime | None = None) -> bool:
    """End a question without an answer, and say whether it was still open.

    Raises
    ------
    RefusedError
        If somebody else asked it and the person is no owner.
    """
    row = question_store.by_number(number)
    if row is not None and row.asked_by != person and not is_owner:
        raise RefusedError("Somebody else asked that.", "Only they or an owner can give it up.")
    return question_store.give_up(number, now or now_utc())


def answered(number: int, body: dict[str, object], now: datetime | None) -> dict[str, object]:
    """Work out the answer to a question of the queue, as it is stored.

    Raises
    ------
    GivenUpError
        If it was given up meanwhile.
    PinsetError
        If it cannot be answered.
    """

    def say(text: str) -> None:
        if not plan_requests.tell(number, text):
            raise GivenUpError

    if body == weekdays.BODY:
        return weekdays.answered_weekdays(now, say)
    if doubtful_lot.is_of_lot(body):
        return doubtful_lot.answered_of_lot(body, now, say)
    found: dict[str, object] = to_plain(
        can_promise.can_promise(from_plain(Question, body), now, say=say)
    )
    return found


def _asked(row: QuestionRow) -> Asked:
    try:
        read = from_plain(Question, row.question)
        answer = from_plain(PromiseAnswer, row.answer) if row.answer is not None else None
    except InputError:
        read, answer = None, None
    problem = row.problem
    if row.is_ended and not row.is_given_up and answer is None and not problem:
        problem = "An older pinset wrote this answer; it cannot be read any more. Ask again."
    return Asked(
        number=row.number,
        asked_at=row.asked_at,
        asked_by=row.asked_by,
        words=_words(read, answer),
        question=read,
        answer=answer,
        is_taken=row.is_taken,
        is_ended=row.is_ended,
        is_given_up=row.is_given_up,
        progress=row.progress,
        problem=problem,
        is_outdated=answer is not None and _is_outdated(answer),
    )


def _words(read: Question | None, answer: PromiseAnswer | None) -> str:
    if answer is not None:
        return answer.asked
    if read is None:
        return "A question of an older pinset"
    try:
        return asked_words(read, Reader(*planning_day.farm_book()))
    except RefusedError:  # its step is no longer described
        return f"{read.amount} {read.measure}s of {read.variety}"


def _is_outdated(answer: PromiseAnswer) -> bool:
    return answer.last_entry != last_entry_number() or answer.register != register_stamp()
