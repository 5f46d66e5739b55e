"""Work nobody got to at the hours it was laid to is laid from now on."""

from __future__ import annotations

import secrets

import pytest

from farm.small_farm import TODAY
from pinset.chain.register import FarmBook
from pinset.services import clock, memory
from pinset.services.answers import recording
from pinset.services.day import today
from pinset.services.jobs.records import JobKind
from pinset.services.plans import planning_day
from pinset.services.views import DayView, JobState, JobView
from services.recorded import LayJob


@pytest.fixture(autouse=True)
def _planned(farm: FarmBook, stock: dict[str, str], monkeypatch: pytest.MonkeyPatch) -> None:  # noqa: ARG001
    show(monkeypatch, "06:50")
    planning_day.replan()


def show(monkeypatch: pytest.MonkeyPatch, hour: str) -> DayView:
    """Set the clock and look at Today."""
    monkeypatch.setenv(clock.PRETENDED, f"{TODAY}T{hour}+01:00")
    memory.forget_all()
    return today.day_view("ada")


def hours(view: DayView) -> dict[str, str]:
    """Return the hours of open work that has none of its own, by job."""
    jobs = [*(job for section in view.sections for job in section.jobs), *view.later]
    waiting = {JobState.OPEN, JobState.PART}
    return {j.job: j.at for j in jobs if j.state in waiting and not j.fixed and j.at}


def test_hours_stand_as_long_as_the_day_goes_as_laid(monkeypatch: pytest.MonkeyPatch) -> None:
    planned = hours(show(monkeypatch, "06:55"))
    assert min(planned.values()) == "07:30"
    assert hours(show(monkeypatch, "07:35")) == planned


def test_what_should_have_ended_is_laid_from_now_on(monkeypatch: pytest.MonkeyPatch) -> None:
    planned = hours(show(monkeypatch, "06:55"))
    seen = hours(show(monkeypatch, "08:46"))
    assert seen
    assert min(seen.values()) == "08:50"
    assert set(seen) <= set(planned)


def test_what_is_written_down_in_time_moves_nothing(monkeypatch: pytest.MonkeyPatch) -> None:
    planned = hours(show(monkeypatch, "06:55"))
    jobs: list[JobView] = [j for s in today.day_view("ada").sections for j in s.jobs]
    ended = [job for job in jobs if job.job in planned and job.at < "08:30"]
    assert ended
    show(monkeypatch, "08:46")
    for job in ended:
        recording.done(job.job, person="ada", client_id=secrets.token_hex(16), **weight(job))
    left = {code: at for code, at in planned.items() if at >= "08:30"}
    assert hours(show(monkeypatch, "08:46")) == left


def weight(job: JobView) -> dict[str, int]:
    """Return the weight that a job of picking or packing asks for."""
    return {"grams": {"kg": 1000, "g": 1}[job.unit] * job.count} if job.unit in {"kg", "g"} else {}


def test_when_all_have_gone_home_one_sentence_says_what_passes_on(
    monkeypatch: pytest.MonkeyPatch,
    lay: LayJob,
) -> None:
    load = lay(JobKind.COOK, count=9, minutes=30, fixed_at="10:30", key=f"cook:k:grain:{TODAY}")
    view = show(monkeypatch, "20:10")
    [said] = [each for each in view.warnings if "next working day" in each]
    assert said.startswith("Work ended at 15:30 today; ")
    assert not [each for each in view.warnings if "Load at" in each or "do not fit" in each]
    last = view.sections[-1]
    assert last.title == "For tomorrow"
    assert {job.kind for job in last.jobs} > {"cook", "round"}
    [cook] = [job for job in last.jobs if job.job == load]
    assert cook.late_cost.startswith("was for 10:30")
    assert {job.at for job in last.jobs} == {""}
    assert "jobs for tomorrow" in view.summary
