"""Questions whether something can be promised: asked, given up, kept with their answers.

They stand in the same line as wishes to plan; see :mod:`pinset.farm.plan_requests`.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import Any

from pinset.farm.models.request import PlanRequest, RequestKind

KEPT = 40
"""So many of the newest questions that have ended are kept with their answers."""


@dataclass(frozen=True, slots=True)
class QuestionRow:
    """A question, and how far it has come."""

    number: int
    asked_at: datetime
    asked_by: str
    question: dict[str, Any]
    answer: dict[str, Any] | None
    is_taken: bool
    is_ended: bool
    is_given_up: bool
    progress: str
    problem: str


def _row(request: PlanRequest) -> QuestionRow:
    return QuestionRow(
        request.pk,
        request.asked_at,
        request.asked_by,
        dict(request.question or {}),
        dict(request.answer) if request.answer is not None else None,
        request.taken_at is not None,
        request.ended_at is not None,
        request.is_given_up,
        request.progress,
        request.problem,
    )


def ask(person: str, question: dict[str, Any], now: datetime) -> int:
    """Ask a question and return its number; old ones that have ended are forgotten."""
    request = PlanRequest.objects.create(
        asked_at=now, asked_by=person, kind=RequestKind.ASK, question=question
    )
    asked = PlanRequest.objects.filter(kind=RequestKind.ASK, ended_at__isnull=False)
    kept = asked.order_by("-id").values_list("id", flat=True)[:KEPT]
    asked.exclude(pk__in=list(kept)).delete()
    return int(request.pk)


def by_number(number: int) -> QuestionRow | None:
    """Return a question; None if there is none of that number."""
    request = PlanRequest.objects.filter(pk=number, kind=RequestKind.ASK).first()
    return _row(request) if request else None


def open_ones() -> tuple[QuestionRow, ...]:
    """Return the questions that wait or are worked on, the oldest first."""
    asked = PlanRequest.objects.filter(kind=RequestKind.ASK, ended_at=None)
    return tuple(_row(each) for each in asked.order_by("id"))


def newest(most: int) -> tuple[QuestionRow, ...]:
    """Return the newest questions that nobody gave up, the newest first."""
    asked = PlanRequest.objects.filter(kind=RequestKind.ASK, is_given_up=False)
    return tuple(_row(each) for each in asked.order_by("-id")[:most])


def give_up(number: int, now: datetime) -> bool:
    """End a question unanswered, and say whether it was still open."""
    still = PlanRequest.objects.filter(pk=number, kind=RequestKind.ASK, ended_at=None)
    return bool(still.update(ended_at=now, is_given_up=True, progress=""))
