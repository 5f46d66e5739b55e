"""Builds a demo farm, does for some days exactly what Today says, and prints what came of it."""

import json
import os
import secrets
import sys
from datetime import date, timedelta
from pathlib import Path
from typing import Any

from pinset.demo import build

folder, today, days = Path(sys.argv[1]), date.fromisoformat(sys.argv[2]), int(sys.argv[3])
result = build(folder, today, 1, lambda _share, _text: None)

TESTS = Path(__file__).parents[1]
sys.path[:0] = [str(TESTS), str(TESTS.parent / "benchmarks")]

from pages_work import pages_work  # noqa: E402
from past import lengthen  # noqa: E402

from kept_up import ON_PAGES, keep_up  # noqa: E402
from pinset.errors import PinsetError, Severity  # noqa: E402  (Django is set up by the build)
from pinset.farm.check import check  # noqa: E402
from pinset.farm.models import Entry  # noqa: E402
from pinset.planning.plan import Plan  # noqa: E402
from pinset.services.answers import off_plan, recording  # noqa: E402
from pinset.services.day.today import day_view  # noqa: E402
from pinset.services.jobs.records import JobKind  # noqa: E402
from pinset.services.plans import planning_day  # noqa: E402
from pinset.services.promises import promises  # noqa: E402
from pinset.services.views import JobState, JobView  # noqa: E402

GRAMS = {"kg": 1000, "g": 1}
PERSON = result.people[0].code


def expected_pick(job: JobView, jobs: list[JobView], plan: Plan) -> int:
    """Return the grams the plan expects of a pick job; the job itself says whole kilograms."""
    alike = [each for each in jobs if (each.kind, each.variety) == (job.kind, job.variety)]
    grams = sum(
        pick.grams
        for pick in plan.picks
        if pick.day == plan.start and pick.variety == job.variety_code
    )
    return round(grams * said_grams(job) / max(1, sum(said_grams(each) for each in alike)))


def said_grams(job: JobView) -> int:
    """Return the weight a job says, which is in grams where it is less than a kilogram."""
    return GRAMS[job.unit] * job.count


def within_its_days(job: JobView) -> int:
    """Return the grams of its variety in the store that a delivery may take."""
    return sum(s.grams - s.past_g for s in off_plan.store() if s.variety == job.variety_code)


def follow(job: JobView, jobs: list[JobView], plan: Plan) -> str:
    """Do a job as it stands and say why not, if it was refused."""
    said: dict[str, Any] = {}
    if job.kind == JobKind.JUDGE:  # by hand: what the gauge and the clock read
        said["reason"] = "invented: gauge and clock watched all through"
    if job.kind == JobKind.DECIDE:
        said |= {"verdict": "keep", "reason": "invented: looked over, nothing but the spawn"}
    if job.kind == JobKind.OPEN:  # a day is told in one go, its loading a moment ago
        said["reason"] = "invented: loaded hours before it was told"
    if job.unit in GRAMS and job.kind != JobKind.WASTE:
        grams = expected_pick(job, jobs, plan) if job.kind == "pick" else said_grams(job)
        if job.kind == JobKind.DELIVER:  # what is short, as the plan said, is not there
            grams = min(grams, within_its_days(job))
        said["grams"] = max(1, grams)
    try:
        if job.kind in ON_PAGES:
            keep_up(job, PERSON)
        else:
            recording.done(job.job, person=PERSON, client_id=secrets.token_hex(16), **said)
    except PinsetError as problem:
        return f"{job.kind} {job.what}: {problem}"
    return ""


def when(job: JobView) -> str:
    """Return when in the day a job is done; preparation no hour is left for, before its load."""
    return job.at or ("" if job.kind == JobKind.PREPARE else "~")


told: list[dict[str, Any]] = []
for number in range(days):
    day = today + timedelta(days=number)
    os.environ["PINSET_TODAY"] = day.isoformat()
    plan = planning_day.replan().plan
    view = day_view(PERSON)
    jobs = [job for section in view.sections for job in section.jobs] + list(view.later)
    jobs = [job for job in jobs if job.state in {JobState.OPEN, JobState.PART}]
    refused = [follow(job, jobs, plan) for job in sorted(jobs, key=when)]
    told.append(
        {
            "day": day.isoformat(),
            "gap": plan.gap,
            "status": plan.status,
            "jobs": len(jobs),
            "kinds": sorted({job.kind for job in jobs}),
            "refused": [sentence for sentence in refused if sentence],
            "short": [(s.promise, s.day.isoformat(), s.amount) for s in plan.short],
        }
    )
rows = [row for _, week in promises.promises_view(2).weeks for row in week]
found = {
    "days": told,
    "promises": [
        (row.promise, row.day.isoformat(), row.promised, row.delivered, row.state)
        for row in rows
        if today <= row.day < today + timedelta(days=days)
    ],
    "wrong": [str(each) for each in check() if each.severity is Severity.WRONG],
    "work": [pages_work(PERSON, day)],
}
lengthen(folder / "farm.sqlite3", 8 * Entry.objects.count())
found["work"].append(pages_work(PERSON, day))
sys.stdout.write(json.dumps(found))
