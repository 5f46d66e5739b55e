"""Long work: asked for by pages, taken by the worker, one at a time, the oldest first."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta

from django.db.models import F, Q

from pinset.farm.models.request import PlanRequest, RequestKind

LEASE = timedelta(seconds=90)
"""A request whose worker has not ended it by then is taken again."""

MOST_TIMES = 3
"""So often a request is taken; then it ends, since each worker that took it was lost."""

LOST = (
    "The worker was lost {times} times while it was at it; the terminal or log of pinset serve "
    "says why. Ask again when that is mended."
)


@dataclass(frozen=True, slots=True)
class RequestRow:
    """How far a request has come."""

    number: int
    asked_at: datetime
    is_taken: bool
    is_ended: bool
    progress: str
    problem: str
    is_given_up: bool = False


def _row(request: PlanRequest) -> RequestRow:
    return RequestRow(
        request.pk,
        request.asked_at,
        request.taken_at is not None,
        request.ended_at is not None,
        request.progress,
        request.problem,
        request.is_given_up,
    )


def ask(person: str, now: datetime) -> int:
    """Ask for a new plan and return the request's number; one that waits already is shared."""
    plans = PlanRequest.objects.filter(kind=RequestKind.PLAN)
    waiting = plans.filter(taken_at=None, ended_at=None).order_by("id").first()
    if waiting is not None:
        return int(waiting.pk)
    return int(PlanRequest.objects.create(asked_at=now, asked_by=person).pk)


def take(now: datetime) -> int | None:
    """Take the oldest request nobody works on, or return None.

    One whose workers were lost too often ends here, with that said.
    """
    lapsed = Q(taken_at__lt=now - LEASE)
    still = PlanRequest.objects.filter(ended_at=None)
    still.filter(lapsed, times_taken__gte=MOST_TIMES).update(
        ended_at=now, progress="", problem=LOST.format(times=MOST_TIMES)
    )
    free = Q(taken_at=None) | lapsed
    for number in still.filter(free).order_by("id").values_list("id", flat=True)[:3]:
        taken = {"taken_at": now, "times_taken": F("times_taken") + 1}
        if still.filter(free, pk=number).update(**taken):
            return int(number)
    return None


def question_of(number: int) -> dict[str, object] | None:
    """Return what is asked by a request; None if it is a wish to plan."""
    request = PlanRequest.objects.filter(pk=number, kind=RequestKind.ASK).first()
    return dict(request.question or {}) if request else None


def tell(number: int, progress: str) -> bool:
    """Note how far the work has come, and say whether it is still wanted."""
    still = PlanRequest.objects.filter(pk=number, ended_at=None)
    return bool(still.update(progress=progress[:120]))


def end(number: int, now: datetime, problem: str = "", answer: object = None) -> None:
    """Note that the work has ended, with what went wrong if it did.

    Work that ended before (it was given up, or another worker was quicker) stays as it is.
    """
    PlanRequest.objects.filter(pk=number, ended_at=None).update(
        ended_at=now, problem=problem, progress="", answer=answer
    )


def give_up(number: int, now: datetime) -> bool:
    """End a wish to plan without a plan, and say whether it was still open."""
    still = PlanRequest.objects.filter(pk=number, kind=RequestKind.PLAN, ended_at=None)
    return bool(still.update(ended_at=now, is_given_up=True, progress=""))


def open_plan() -> int | None:
    """Return the wish to plan that is worked on, or waits; None if there is none."""
    still = PlanRequest.objects.filter(kind=RequestKind.PLAN, ended_at=None)
    number = still.order_by("id").values_list("id", flat=True).first()
    return None if number is None else int(number)


def failed_since(moment: datetime) -> bool:
    """Say whether the last plan that the program wished for itself failed after a moment.

    One that somebody gave up, whoever wished for it, counts, too: else it would begin anew at once.
    """
    own = Q(asked_by="") | Q(is_given_up=True, kind=RequestKind.PLAN)
    last = PlanRequest.objects.filter(own, ended_at__isnull=False).order_by("-id").first()
    return (
        last is not None
        and last.ended_at is not None
        and (last.is_given_up or bool(last.problem))
        and (last.ended_at > moment)
    )


def status(number: int) -> RequestRow | None:
    """Return how far a wish to plan has come; None for anything else."""
    request = PlanRequest.objects.filter(pk=number, kind=RequestKind.PLAN).first()
    return _row(request) if request else None
