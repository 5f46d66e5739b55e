"""What the line of the van says: what is still to go with it, and what went out of a promise."""

from __future__ import annotations

import secrets
from datetime import timedelta

import pytest

from farm.small_farm import NOW
from pinset.services.answers import off_plan, putting_off, recording
from pinset.services.day import today
from pinset.services.plans import planning_day


@pytest.fixture
def delivery(stock: dict[str, str]) -> str:
    """Three kilograms in store and the job of handing over 5 kg that were promised."""
    off_plan.pick(
        stock["fruiting"], 3000, person="ada", client_id=secrets.token_hex(16),
        at=NOW - timedelta(days=1), reason="invented",
    )  # fmt: skip
    planning_day.replan()
    assert van() == ["van: 5 kg Grey oyster and 3 units Grey oyster"]
    return job_of("kg Grey oyster for Market stall")


def job_of(what: str) -> str:
    sections = today.day_view().sections
    return next(job.job for each in sections for job in each.jobs if job.what == what)


def van() -> list[str]:
    return [each.text for each in today.day_view().fixed if "van" in each.text]


def by() -> dict[str, str]:
    return {"person": "ada", "client_id": secrets.token_hex(16)}


def test_a_part_that_went_out_is_said_with_what_is_left(delivery: str) -> None:
    recording.part_done(delivery, **by(), count=1, grams=1200)
    said = ["van: 3.8 kg Grey oyster and 3 units Grey oyster; gone: 1.2 kg of 5 kg Grey oyster"]
    assert van() == said
    planning_day.replan()
    assert van() == said


def test_a_van_that_left_with_less_says_what_went_out(delivery: str) -> None:
    recording.done(delivery, **by(), grams=1200)
    assert van() == ["van: 3 units Grey oyster; gone: 1.2 kg of 5 kg Grey oyster"]
    recording.done(job_of("units of grain Grey oyster for Market stall"), **by())
    assert van() == ["van left with 1.2 kg of 5 kg Grey oyster"]


def test_what_was_handed_over_beside_the_job_counts(delivery: str) -> None:
    del delivery
    off_plan.deliver("market", "grey", 1200, **by())
    assert van() == [
        "van: 3.8 kg Grey oyster and 3 units Grey oyster; gone: 1.2 kg of 5 kg Grey oyster"
    ]


def test_all_of_it_gone_needs_no_word(delivery: str) -> None:
    recording.done(delivery, **by(), grams=5000, reason="the scale says so")
    assert van() == ["van: 3 units Grey oyster"]


def test_what_is_not_to_be_delivered_at_all_is_not_loaded(delivery: str) -> None:
    putting_off.not_at_all(delivery, **by(), reason="they are closed")
    assert van() == ["van: 3 units Grey oyster"]
