"""A pick done in part leaves its rest hanging; what is not to be done at all is not waited for."""

from __future__ import annotations

import secrets
from collections import defaultdict
from datetime import date, timedelta

import pytest

from farm.small_farm import TODAY
from pinset.farm import job_store
from pinset.services import clock, memory
from pinset.services.answers import putting_off, recording, taking_back
from pinset.services.day import today
from pinset.services.day.day_now import day_now
from pinset.services.jobs.records import JobKind
from pinset.services.plans import planning_day
from pinset.services.plans.problem_now import problem_now
from pinset.services.views import Done

FIRST = TODAY + timedelta(days=5)
"""A Tuesday on which twenty blocks have stood twelve days: their two days of picking begin."""


@pytest.fixture(autouse=True)
def _first_day(stock: dict[str, str], monkeypatch: pytest.MonkeyPatch) -> None:  # noqa: ARG001
    live_on(monkeypatch, FIRST)


LAST = FIRST + timedelta(days=3)


def live_on(monkeypatch: pytest.MonkeyPatch, day: date) -> None:
    monkeypatch.setenv(clock.PRETENDED, day.isoformat())
    memory.forget_all()


def new_id() -> str:
    return secrets.token_hex(16)


def planned() -> dict[int, int]:
    """Plan anew and return the grams picked of the flush, by days after the first."""
    picks = planning_day.replan().plan.picks
    return {(pick.day - FIRST).days: round(pick.grams) for pick in picks if pick.day < LAST}


def expected() -> dict[int, int]:
    """Return the grams that a new plan would pick of the flush, by days after the first."""
    book, day = planning_day.farm_book()
    problem, _ = problem_now(book, day_now(book, day, None))
    found: dict[int, int] = defaultdict(int)
    for when, pick in problem.gathered(pick for room in problem.in_rooms for pick in room.picks):
        found[(day - FIRST).days + when] += round(pick.grams)
    return dict(found)


def todays_pick() -> str:
    rows = [row for row in job_store.open_jobs() if row.kind == JobKind.PICK.value]
    [code] = [row.code for row in rows]
    return code


def part(job: str, grams: int) -> Done:
    return recording.part_done(job, person="ada", client_id=new_id(), grams=grams)


def not_at_all(job: str) -> Done:
    return putting_off.not_at_all(job, person="ada", client_id=new_id(), reason="too far gone")


def take_back(done: Done) -> None:
    taking_back.undo(done.entry, person="ada", client_id=new_id(), reason="a slip")


def test_the_rest_of_a_part_is_planned_until_it_is_given_up(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    whole = planned()
    job = todays_pick()
    said = part(job, 400)
    assert planned() == {0: whole[0] - 400, 1: whole[1]}
    assert todays_pick() == job
    shown = today.job_view(job)
    assert (shown.done_said, shown.count) == ("0.4 kg", 6), "of the whole, and not of the rest"
    assert "0.7 kg serve no promise" in shown.detail, "5.7 kg for 5 kg: nothing counts twice"
    dropped = not_at_all(job)
    assert expected() == {1: whole[1]}
    live_on(monkeypatch, FIRST + timedelta(days=1))
    assert expected() == {1: whole[1]}
    take_back(dropped)
    assert planned() == {1: whole[0] - 400 + whole[1]}
    late = today.job_view(todays_pick())
    assert late.job != job
    assert late.late_cost == "1 day late: 5.3 kg of it are spoilt from Friday"
    take_back(said)
    assert expected() == {1: whole[0], 2: whole[1]}


def test_a_pick_that_is_finished_leaves_nothing_of_its_parts() -> None:
    whole = planned()
    job = todays_pick()
    part(job, 400)
    done = recording.done(
        job, person="ada", client_id=new_id(), grams=600, reason="the rest is small"
    )
    assert expected() == {1: whole[1]}
    take_back(done)
    assert expected() == {0: whole[0] - 400, 1: whole[1]}
