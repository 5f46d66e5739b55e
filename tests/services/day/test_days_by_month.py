"""Where days follow the months, Today asks for a pick when that month's days have passed."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import pytest

from farm.small_farm import TODAY, describe
from pinset.chain.register import FarmBook, StepKind
from pinset.services import clock, memory
from pinset.services.day import today
from pinset.services.plans import planning_day
from services.conftest import FULL_BOOK

ENTERED = date(2026, 3, 5)
USUAL_DAYS = 10  # in the room until the first pick, by the route


@pytest.fixture(params=[1.0, 2.0])
def share(request: pytest.FixtureRequest) -> float:
    return float(request.param)


@pytest.fixture
def farm(db: None, monkeypatch: pytest.MonkeyPatch, share: float) -> FarmBook:  # noqa: ARG001
    monkeypatch.setenv(clock.PRETENDED, TODAY.isoformat())
    routes = tuple(
        replace(
            route,
            steps=tuple(
                replace(step, days_by_month=(share,) * 12) if step.kind is StepKind.FRUIT else step
                for step in route.steps
            ),
        )
        for route in FULL_BOOK.routes
    )
    book = replace(FULL_BOOK, routes=routes)
    describe(book)
    return book


def picks_on(day: date, monkeypatch: pytest.MonkeyPatch) -> list[str]:
    monkeypatch.setenv(clock.PRETENDED, day.isoformat())
    memory.forget_all()
    planning_day.replan()
    jobs = [job for section in today.day_view("ada").sections for job in section.jobs]
    return [job.what for job in jobs if job.kind == "pick"]


def test_a_lot_is_picked_by_the_days_of_its_month(
    stock: dict[str, str], share: float, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert stock["fruiting"]
    first = ENTERED + timedelta(days=round(share * USUAL_DAYS))
    assert not picks_on(first - timedelta(days=3), monkeypatch)
    assert picks_on(first + timedelta(days=1), monkeypatch)
