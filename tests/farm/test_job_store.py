"""Who may claim which job."""

from __future__ import annotations

import pytest

from farm.small_farm import NOW, TODAY
from pinset.farm import job_store
from pinset.farm.job_store import JobToLay, PlanRow
from pinset.farm.models import Job

pytestmark = pytest.mark.usefixtures("farm")


@pytest.fixture
def job(farm: object) -> str:  # noqa: ARG001 - people must be known
    plan = PlanRow(NOW, TODAY, 0, {}, None, 0.0, "done")
    (code,) = job_store.lay(plan, [], [JobToLay("", TODAY, "look", {})], [])
    return code


def test_a_job_is_claimed_by_one(job: str) -> None:
    assert job_store.claim(job, "ada", NOW)
    assert job_store.claim(job, "ada", NOW)
    assert not job_store.claim(job, "ben", NOW)
    assert job_store.release(job, "ada")
    assert job_store.claim(job, "ben", NOW)


@pytest.mark.parametrize("end", ["closed_at", "withdrawn_at"])
@pytest.mark.parametrize("held", [True, False])
def test_nobody_claims_a_job_that_is_over(job: str, end: str, *, held: bool) -> None:
    if held:
        assert job_store.claim(job, "ada", NOW)
    Job.objects.update(**{end: NOW})
    assert not job_store.claim(job, "ada", NOW)
    assert not job_store.claim(job, "ben", NOW)


def test_nobody_is_no_error(job: str) -> None:
    assert not job_store.claim(job, "nobody", NOW)
    assert not job_store.claim("J999", "ada", NOW)
    assert Job.objects.get().claimed_by is None
