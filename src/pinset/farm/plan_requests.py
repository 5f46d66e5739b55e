"""Wishes to plan again: asked by pages, taken by the worker, one at a time."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta

from django.db.models import Q

from pinset.farm.models.request import PlanRequest

LEASE = timedelta(seconds=90)
"""A request whose worker has not ended it by then is taken again."""


@dataclass(frozen=True, slots=True)
class RequestRow:
    """How far a request has come."""

    number: int
    asked_at: datetime
    is_taken: bool
    is_ended: bool
    progress: str
    problem: str


def _row(request: PlanRequest) -> RequestRow:
    return RequestRow(
        request.pk,
        request.asked_at,
        request.taken_at is not None,
        request.ended_at is not None,
        request.progress,
        request.problem,
    )


def ask(person: str, now: datetime) -> int:
    """Ask for a new plan and return the request's number; one that waits already is shared."""
    waiting = PlanRequest.objects.filter(taken_at=None, ended_at=None).order_by("id").first()
    if waiting is not None:
        return int(waiting.pk)
    return int(PlanRequest.objects.create(asked_at=now, asked_by=person).pk)


def take(now: datetime) -> int | None:
    """Take the oldest request nobody works on, or return None."""
    free = Q(taken_at=None) | Q(taken_at__lt=now - LEASE)
    for number in PlanRequest.objects.filter(free, ended_at=None).values_list("id", flat=True)[:3]:
        if PlanRequest.objects.filter(free, pk=number, ended_at=None).update(taken_at=now):
            return int(number)
    return None


def tell(number: int, progress: str) -> None:
    """Note how far the work has come."""
    PlanRequest.objects.filter(pk=number).update(progress=progress[:120])


def end(number: int, now: datetime, problem: str = "") -> None:
    """Note that the work has ended, with what went wrong if it did."""
    PlanRequest.objects.filter(pk=number).update(ended_at=now, problem=problem, progress="")


def failed_since(moment: datetime) -> bool:
    """Say whether the last request the program made of itself failed after a moment."""
    last = PlanRequest.objects.filter(asked_by="", ended_at__isnull=False).order_by("-id").first()
    return (
        last is not None
        and last.ended_at is not None
        and bool(last.problem)
        and (last.ended_at > moment)
    )


def status(number: int) -> RequestRow | None:
    """Return how far a request has come."""
    request = PlanRequest.objects.filter(pk=number).first()
    return _row(request) if request else None
