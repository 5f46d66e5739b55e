"""A load of vessels nobody filled is asked about on its page, and booked with a reason."""

from __future__ import annotations

import pytest
from django.test import Client

from pinset.chain.plain import to_plain
from pinset.farm import job_store
from pinset.farm.job_store import JobToLay
from pinset.farm.models import Entry
from pinset.services.jobs.records import JobKind, LotAmount, PlannedJob
from pinset.services.loads.what_waits import mix_of
from web.asking import CONFLICT, FOUND, shown, words
from web.shed import Shed, book_of


@pytest.fixture
def jobs(shed: Shed) -> tuple[str, str]:
    """Codes of a fill of ten jars of rye and of their load."""
    book = book_of(shed.day)
    steriliser, route = book.sterilisers[0], book.routes[0]
    mix, moisture = mix_of(route.step("grain"))
    fill = PlannedJob(
        "fill:rye", JobKind.PREPARE, "fill", shed.day, 10, "units", "grain jars: fill rye",
        "preparation", step="grain", mix=mix, moisture=moisture, lead_hours=97.0,
        for_day=shed.day,
    )  # fmt: skip
    load = PlannedJob(
        "cook:rye", JobKind.COOK, "load", shed.day, 10, "units", "vessels into the steamer",
        "steriliser", steriliser=steriliser.code, cook_kind=steriliser.cooks[0].code, step="grain",
        feeds=(LotAmount("", 10, "grain", route.code),),
    )  # fmt: skip
    rows = [
        JobToLay("", job.day, job.kind.value, to_plain(job), "", "grain", 10, "")
        for job in (fill, load)
    ]
    filling, loading = job_store.add(rows)
    return filling, loading


def test_it_is_asked_about_and_booked_with_a_reason(
    worker: Client, jobs: tuple[str, str], tap: str
) -> None:
    fill, load = jobs
    asked = worker.post(f"/jobs/{load}/done/", {"client_id": tap})
    assert asked.status_code == CONFLICT
    assert "none are written down as filled: fill is still open." in words(asked)
    assert not Entry.objects.filter(job=load).exists()
    sent = {"client_id": tap, "reason": "filled by the neighbour"} | shown(asked)
    assert worker.post(f"/jobs/{load}/done/", sent).status_code == FOUND
    assert Entry.objects.filter(job=load).count() == 1
    assert {row.code for row in job_store.open_jobs()}.isdisjoint((fill, load))
