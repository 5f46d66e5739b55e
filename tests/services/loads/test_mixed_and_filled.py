"""What is filled was mixed, whether or not anybody wrote the mixing down."""

from __future__ import annotations

import secrets
from collections.abc import Callable
from dataclasses import replace

import pytest

from farm.small_farm import TODAY, describe
from pinset.chain.register import FarmBook, Preparation, RoomKind
from pinset.farm import job_store
from pinset.services import clock, memory
from pinset.services.answers import recording, taking_back
from pinset.services.jobs.records import JobKind
from pinset.services.plans import planning_day
from pinset.services.views import Done, JobView
from services.conftest import LayJob
from services.plans.test_replanning_at_noon import TOMORROW, a_plan, at, waiting, with_cooks

KITCHEN = RoomKind.PREPARATION
TASKS = (
    Preparation("mix", 27.0, 0.0, 30.0, KITCHEN),
    Preparation("fill", 26.0, 0.0, 60.0, KITCHEN),
    Preparation("cook", 24.0, 0.0, 0.0, RoomKind.STERILISER),
)


@pytest.fixture(autouse=True)
def book(farm: FarmBook, stock: dict[str, str], monkeypatch: pytest.MonkeyPatch) -> FarmBook:
    """The small farm, its grain mixed and filled before the cook of 30 jars."""
    assert stock
    cooked = with_cooks(farm)
    route = cooked.routes[0]
    steps = tuple(
        replace(step, preparations=TASKS) if step.code == "grain" else step for step in route.steps
    )
    described = replace(cooked, routes=(replace(route, steps=steps),))
    describe(described)
    memory.forget_all()
    monkeypatch.setattr(planning_day, "searched", lambda problem, *_: a_plan(problem))
    return described


def do(job: JobView, how: Callable[..., Done] = recording.done, **more: object) -> Done:
    return how(job.job, person="ada", client_id=secrets.token_hex(16), at=at("09:30"), **more)


def laid() -> dict[str, JobView]:
    """Plan in the morning and return the preparation by its task."""
    planning_day.replan(at("05:00"))
    return {job.task: job for job in waiting("prepare")}


def next_morning(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv(clock.PRETENDED, TOMORROW.isoformat())
    memory.forget_all()
    planning_day.replan()


@pytest.mark.parametrize("mixed", [0, 10])
def test_mixing_is_over_once_all_is_filled(monkeypatch: pytest.MonkeyPatch, mixed: int) -> None:
    jobs = laid()
    assert (jobs["mix"].count, jobs["fill"].count) == (30, 30)
    if mixed:
        do(jobs["mix"], recording.part_done, count=mixed)
    do(jobs["fill"], reason="mixed by the bucket")
    assert waiting("prepare") == []
    planning_day.replan(at("14:00"))  # the cook goes to tomorrow
    assert waiting("prepare") == []
    next_morning(monkeypatch)
    assert [job.count for job in waiting("cook")] == [30]
    assert waiting("prepare") == []


def test_of_what_was_filled_short_only_the_rest_is_mixed(monkeypatch: pytest.MonkeyPatch) -> None:
    do(laid()["fill"], count=22)
    planning_day.replan(at("14:00"))
    next_morning(monkeypatch)
    assert [(job.task, job.count) for job in waiting("prepare")] == [("mix", 8), ("fill", 8)]


def test_mixing_is_open_while_filling_is() -> None:
    do(laid()["fill"], recording.part_done, count=20)
    assert [job.task for job in waiting("prepare")] == ["mix", "fill"]


def test_filling_that_is_taken_back_brings_mixing_back() -> None:
    filled = do(laid()["fill"])
    assert waiting("prepare") == []
    taking_back.undo(filled.entry, person="ada", client_id=secrets.token_hex(16), reason="a slip")
    assert [job.task for job in waiting("prepare")] == ["mix", "fill"]


def test_mixing_for_others_that_are_still_filled_stays(lay: LayJob) -> None:
    """Blocks and jars of one mix, each filled by a job of its own."""
    tasks = {"mix": 27.0, "fill": 26.0, "fill more": 26.0}
    codes = {
        name: lay(
            JobKind.PREPARE, key=name, task=name.removesuffix(" more"), mix="rye jar", variety="",
            count=18, lead_hours=lead, for_day=TODAY, what=f"grain jars: {name} rye",
        )
        for name, lead in tasks.items()
    }  # fmt: skip

    def still() -> set[str]:
        return {row.code for row in job_store.open_jobs()}

    for name in ("fill", "fill more"):
        assert codes["mix"] in still()
        recording.done(codes[name], person="ada", client_id=secrets.token_hex(16))
    assert codes["mix"] not in still()
