"""Stored jobs and plans: what is open, who claimed it, what entries say was done of it.

Jobs are working papers, not the ledger: an entry stands without them.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any

from django.db import connection, transaction

from pinset.farm.entries import Kind
from pinset.farm.models import ChainHead, Job, Person, StoredPlan
from pinset.farm.rows import moment, read_document, read_moment, select_in

_JOB = (
    "SELECT j.code, j.day, j.kind, j.body, p.code, p.name, j.closed_at, j.withdrawn_at "
    "FROM farm_job j LEFT JOIN farm_person p ON p.id = j.claimed_by_id WHERE j.code = %s"
)
_ANSWERS = (
    "SELECT e.id, e.job, e.client_id, e.kind, e.happened_at, p.code, e.details "
    "FROM farm_entry e LEFT JOIN farm_person p ON p.id = e.person_id "
    "WHERE NOT e.is_corrected AND e.job"
)
_CLOSE = "UPDATE farm_job SET closed_at = %s WHERE closed_at IS NULL AND code = %s"
"""Written in SQL: they stand beside every entry that answers a job, and building such a query costs
more than its answer."""


@dataclass(frozen=True, slots=True)
class JobRow:
    """A stored job."""

    code: str
    day: date
    kind: str
    body: dict[str, Any]
    claimed_by: str  # worker code
    claimed_name: str
    is_closed: bool
    is_withdrawn: bool


@dataclass(frozen=True, slots=True)
class JobToLay:
    """A job to store; without a code it is new."""

    code: str
    day: date
    kind: str
    body: dict[str, Any]
    variety: str = ""
    step: str = ""
    count: int = 0
    room_kind: str = ""


@dataclass(frozen=True, slots=True)
class JobEntry:
    """An entry that answers a job, as far as Today needs it."""

    job: str
    client_id: str
    kind: Kind
    count: int
    happened_at: datetime
    person: str
    details: dict[str, Any]


@dataclass(frozen=True, slots=True)
class PlanRow:
    """A stored plan."""

    made_at: datetime
    for_date: date
    last_entry: int
    body: dict[str, Any]
    gap: float | None
    seconds: float
    status: str


def _row(job: Job) -> JobRow:
    who = job.claimed_by
    return JobRow(
        code=job.code,
        day=job.day,
        kind=job.kind,
        body=job.body,
        claimed_by=who.code if who else "",
        claimed_name=str(who) if who else "",
        is_closed=job.closed_at is not None,
        is_withdrawn=job.withdrawn_at is not None,
    )


def open_jobs() -> tuple[JobRow, ...]:
    """Return every job that is neither closed nor withdrawn, by day."""
    rows = Job.objects.filter(closed_at=None, withdrawn_at=None).select_related("claimed_by")
    return tuple(_row(job) for job in rows.order_by("day", "id"))


def jobs_for(day: date, day_begins: datetime) -> tuple[JobRow, ...]:
    """Return the jobs of a day: open ones up to it, and those closed since it began."""
    standing = Job.objects.filter(withdrawn_at=None).select_related("claimed_by")
    # two questions, so that each has its own small index
    rows = [
        *standing.filter(day__lte=day, closed_at=None),
        *standing.filter(closed_at__gte=day_begins),
    ]
    return tuple(_row(job) for job in sorted(rows, key=lambda job: (job.day, job.pk)))


def closed_since(moment: datetime, kind: str) -> tuple[JobRow, ...]:
    """Return the jobs of a kind that were closed since a moment."""
    rows = Job.objects.filter(kind=kind, closed_at__gte=moment).select_related("claimed_by")
    return tuple(_row(job) for job in rows.order_by("id"))


def laid_since(day: date, kind: str) -> tuple[JobRow, ...]:
    """Return the jobs of a kind for a day and those after it, also closed and withdrawn ones."""
    rows = Job.objects.filter(kind=kind, day__gte=day).select_related("claimed_by")
    return tuple(_row(job) for job in rows.order_by("id"))


def job_by_code(code: str) -> JobRow | None:
    """Return one job, also a closed or withdrawn one."""
    with connection.cursor() as cursor:
        cursor.execute(_JOB, [code.upper()])
        found = cursor.fetchone()
    if found is None:
        return None
    name, day, kind, body, who, who_name, closed, withdrawn = found
    return JobRow(
        code=name,
        day=day,
        kind=kind,
        body=read_document(body),
        claimed_by=who or "",
        claimed_name=who_name or who or "",
        is_closed=closed is not None,
        is_withdrawn=withdrawn is not None,
    )


def judging_of(cook: str) -> JobRow | None:
    """Return the job of judging a cook, the newest of them, also a closed or withdrawn one."""
    rows = Job.objects.filter(kind="judge", body__cook=cook).select_related("claimed_by")
    job = rows.order_by("-id").first()
    return _row(job) if job else None


def jobs_by_key(kind: str, key: str) -> tuple[JobRow, ...]:
    """Return the jobs of a kind with a key that were not withdrawn, the oldest first."""
    rows = Job.objects.filter(kind=kind, body__key=key, withdrawn_at=None)
    return tuple(_row(job) for job in rows.select_related("claimed_by").order_by("id"))


def entries_of(jobs: Iterable[str]) -> tuple[JobEntry, ...]:
    """Return the standing entries that answer these jobs, oldest first."""
    with connection.cursor() as cursor:
        rows = sorted(select_in(cursor, _ANSWERS, jobs), key=lambda row: int(row[0]))
    found = []
    for _, job, client_id, kind, happened_at, person, body in rows:
        if kind != Kind.CORRECT:
            details = read_document(body)
            count = int(details.get("count", 0))
            moment = read_moment(happened_at)
            found.append(JobEntry(job, client_id, Kind(kind), count, moment, person or "", details))
    return tuple(found)


def lay(
    plan: PlanRow, keep: Sequence[JobToLay], new: Sequence[JobToLay], withdraw: Sequence[str]
) -> tuple[str, ...]:
    """Store a plan with its jobs in one transaction, and return the codes of the new ones."""
    with transaction.atomic():
        ChainHead.objects.select_for_update().first()  # one planner at a time
        stored = StoredPlan.objects.create(
            made_at=plan.made_at,
            for_date=plan.for_date,
            last_entry=plan.last_entry,
            body=plan.body,
            gap=plan.gap,
            seconds=plan.seconds,
            status=plan.status,
        )
        rows = {job.code: job for job in Job.objects.filter(code__in=[j.code for j in keep])}
        for job in keep:
            row = rows[job.code]
            row.day, row.kind, row.body, row.count = job.day, job.kind, job.body, job.count
            row.room_kind, row.plan = job.room_kind, stored
        Job.objects.bulk_update(
            rows.values(), ["day", "kind", "body", "count", "room_kind", "plan"], batch_size=200
        )
        Job.objects.filter(code__in=list(withdraw)).update(withdrawn_at=plan.made_at)
        return _made(new, stored)


def add(new: Sequence[JobToLay]) -> tuple[str, ...]:
    """Store jobs that follow from what was just written down, and return their codes."""
    with transaction.atomic():
        ChainHead.objects.select_for_update().first()  # one planner at a time
        return _made(new, StoredPlan.objects.order_by("-id").first())


def _made(new: Sequence[JobToLay], plan: StoredPlan | None) -> tuple[str, ...]:
    last = Job.objects.order_by("-id").values_list("id", flat=True).first() or 0
    made = [
        Job(
            code=f"J{last + number}",
            day=job.day,
            kind=job.kind,
            body=job.body,
            variety=job.variety,
            step=job.step,
            count=job.count,
            room_kind=job.room_kind,
            plan=plan,
        )
        for number, job in enumerate(new, start=1)
    ]
    Job.objects.bulk_create(made, batch_size=200)
    return tuple(job.code for job in made)


def latest_plan_number() -> int:
    """Return the number of the plan that was stored last, 0 if there is none.

    The last one stored counts, also where the clock was set back since the one before.
    """
    found: int | None = StoredPlan.objects.order_by("-id").values_list("id", flat=True).first()
    return found or 0


def plan_by_number(number: int) -> PlanRow:
    """Return a stored plan."""
    plan = StoredPlan.objects.get(pk=number)
    return PlanRow(
        made_at=plan.made_at,
        for_date=plan.for_date,
        last_entry=plan.last_entry,
        body=plan.body,
        gap=plan.gap,
        seconds=plan.seconds,
        status=plan.status,
    )


def claim(code: str, person: str, now: datetime) -> bool:
    """Claim an open job that nobody holds; say whether it is now this person's.

    False for a job that is closed, withdrawn or unknown, also if the person held it, and for a
    person the farm does not know.
    """
    who = Person.objects.filter(code=person).first()
    if who is None:
        return False
    still_open = Job.objects.filter(code=code, closed_at=None, withdrawn_at=None)
    changed = still_open.filter(claimed_by=None).update(claimed_by=who, claimed_at=now)
    return bool(changed) or still_open.filter(claimed_by=who).exists()


def release(code: str, person: str) -> bool:
    """Give back a job this person claimed."""
    changed = Job.objects.filter(code=code, claimed_by__code=person).update(
        claimed_by=None, claimed_at=None
    )
    return bool(changed)


def move(code: str, day: date, body: dict[str, Any]) -> None:
    """Lay a job on another day, with what it says then."""
    Job.objects.filter(code=code).update(day=day, body=body)


def close(code: str, now: datetime) -> None:
    """Mark a job as finished or dropped."""
    with connection.cursor() as cursor:
        at = moment(now, connection.alias)
        cursor.execute(_CLOSE, [at, code])


def withdraw(codes: Iterable[str], now: datetime) -> None:
    """Take jobs off the lists: nothing asks for them any more."""
    Job.objects.filter(code__in=list(codes), withdrawn_at=None).update(withdrawn_at=now)


def reopen(code: str) -> None:
    """Open a job again, after an entry of it was taken back."""
    Job.objects.filter(code=code).update(closed_at=None)
