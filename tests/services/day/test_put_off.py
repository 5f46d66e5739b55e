"""What was put off takes no hour of today and has none for its new day."""

from __future__ import annotations

import pytest

from farm.small_farm import TODAY
from pinset.chain.register import FarmBook
from pinset.services import clock, memory
from pinset.services.answers import putting_off
from pinset.services.day import today
from pinset.services.jobs.records import JobKind
from pinset.services.views import JobState, JobView
from pinset.services.week.week import week_view
from services.recorded import LayJob, new_id


@pytest.fixture(autouse=True)
def _early(farm: FarmBook, stock: dict[str, str], monkeypatch: pytest.MonkeyPatch) -> None:  # noqa: ARG001
    monkeypatch.setenv(clock.PRETENDED, f"{TODAY}T06:50+01:00")
    memory.forget_all()


def seen() -> dict[str, JobView]:
    memory.forget_all()
    view = today.day_view("ada")
    return {job.job: job for section in view.sections for job in section.jobs}


def put_off(job: str) -> None:
    putting_off.not_today(job, person="ada", client_id=new_id(), reason="no time")


def test_what_was_put_off_leaves_its_hours_to_other_work(lay: LayJob) -> None:
    """The day begins at 07:30; whoever has eight hours does seven and two only without the one."""
    long = lay(JobKind.TRANSFER, count=40, minutes=420, lots=())
    other = lay(JobKind.TRANSFER, count=41, minutes=120, lots=())
    assert seen()[long].at == "07:30"
    put_off(long)
    view = seen()
    assert (view[long].state, view[long].at) == (JobState.NOT_TODAY, "")
    assert view[other].at == "07:30"


def test_a_load_that_was_put_off_has_no_hour_of_the_new_day(lay: LayJob) -> None:
    load = lay(JobKind.COOK, count=30, minutes=30, fixed_at="10:30", due="10:30", key="cook:k:g:d")
    assert (seen()[load].at, seen()[load].fixed) == ("10:30", True)
    put_off(load)
    assert (seen()[load].at, seen()[load].fixed, seen()[load].due) == ("", False, "")
    there = [job for day in week_view().days for place in day.places for job in place.jobs]
    [job] = [each for each in there if each.job == load]
    assert (job.at, job.due) == ("", "")


def test_an_hour_that_a_buyer_sets_stays(lay: LayJob) -> None:
    van = lay(JobKind.DELIVER, count=5, unit="kg", fixed_at="14:00", minutes=5)
    put_off(van)
    assert seen()[van].at == "14:00"
