"""What was really soaked, boiled and filled is what is loaded, and what was loaded is opened."""

from __future__ import annotations

import secrets
from collections.abc import Callable
from dataclasses import replace
from datetime import timedelta

import pytest

from farm.small_farm import TODAY, describe
from pinset.chain.register import FarmBook, Preparation, RoomKind, Step
from pinset.errors import RefusedError
from pinset.farm.models import Entry
from pinset.farm.queries.lots import lot_by_code, rows_of
from pinset.services.answers import putting_off, recording, taking_back
from pinset.services.clock import now_utc
from pinset.services.day import today
from pinset.services.jobs.records import JobKind, LotAmount
from pinset.services.views import Done
from services.conftest import LayJob

TASKS = {"soak": 120.0, "boil": 98.0, "fill": 97.0}
KITCHEN = RoomKind.PREPARATION
Laid = dict[str, str]
"""Codes of the jobs of one cook, by task."""


@pytest.fixture
def rye(farm: FarmBook) -> FarmBook:
    """The farm, where grain jars are soaked, boiled and filled with rye before their cook."""
    before = tuple(Preparation(task, lead, 0.5, 5.0, KITCHEN) for task, lead in TASKS.items())
    cook = Preparation("cook", 96.0, 0.0, 0.0, RoomKind.STERILISER)

    def prepared(step: Step) -> Step:
        if step.code != "grain":
            return step
        return replace(
            step, cook="grain", mix="rye", fill_g=500, fill_moisture=0.5,
            preparations=(*before, cook),
        )  # fmt: skip

    route = farm.routes[0]
    book = replace(farm, routes=(replace(route, steps=tuple(map(prepared, route.steps))),))
    describe(book)
    return book


def lay_cook(lay: LayJob, *, loads: tuple[int, ...] = (86,), prepared: int | None = None) -> Laid:
    whole, found = sum(loads) if prepared is None else prepared, {}
    for task, lead in TASKS.items():
        found[task] = lay(
            JobKind.PREPARE, key=f"prepare:{task}", task=task, count=whole, variety="",
            stage="grain", step="grain", mix="rye jar", moisture=0.5, lead_hours=lead,
            for_day=TODAY, minutes=86, what=f"grain jars: {task} rye, {whole / 2:g} kg wet",
        )  # fmt: skip
    for number, units in enumerate(loads, start=1):
        key = f"kettle:grain:{TODAY}" + (f":{number}" if len(loads) > 1 else "")
        about = {
            "steriliser": "kettle", "cook_kind": "grain", "variety": "", "count": units,
            "feeds": (LotAmount("", units, "grain", "oyster-straw"),),
        }  # fmt: skip
        found[f"load{number}"] = lay(JobKind.COOK, key=f"cook:{key}", task="load", **about)
        found[f"open{number}"] = lay(JobKind.OPEN, key=f"open:{key}", task="open", **about)
    return found


def do(job: str, how: Callable[..., Done] = recording.done, **more: object) -> Done:
    return how(job, person="ada", client_id=secrets.token_hex(16), **more)


def left(jobs: Laid) -> list[int]:
    return [today.job_view(code).count for code in jobs.values()]


@pytest.mark.usefixtures("rye")
def test_what_was_filled_is_loaded_and_what_was_loaded_is_opened(lay: LayJob) -> None:
    jobs = lay_cook(lay)
    assert left(jobs) == [86, 86, 86, 86, 86]
    do(jobs["soak"])
    do(jobs["boil"])
    filled = do(jobs["fill"], count=80, reason="short of bags")
    assert left(jobs) == [86, 86, 86, 80, 80]
    [vessels] = do(jobs["load1"], at=now_utc() - timedelta(hours=6)).new_lots
    assert rows_of([lot_by_code(vessels)])[0].counts.alive == 80
    opened = do(jobs["open1"])
    assert Entry.objects.get(client_id=opened.entry).details["count"] == 80
    assert filled.sentence.startswith("80 ")


@pytest.mark.usefixtures("rye")
def test_it_goes_on_from_every_step_and_back_when_that_is_taken_back(lay: LayJob) -> None:
    jobs = lay_cook(lay)
    soaked = do(jobs["soak"], count=70)
    assert left(jobs) == [86, 70, 70, 70, 70]
    assert today.job_view(jobs["fill"]).what == "grain jars: fill rye, 35 kg wet"
    assert today.job_view(jobs["fill"]).minutes == 70
    boiled = do(jobs["boil"], count=60)
    assert left(jobs) == [86, 86, 60, 60, 60]
    filled = do(jobs["fill"])
    assert left(jobs)[3:] == [60, 60]
    for entry in (filled, boiled, soaked):
        taking_back.undo(
            entry.entry, person="ada", client_id=secrets.token_hex(16), reason="a slip"
        )
    assert left(jobs) == [86, 86, 86, 86, 86]


@pytest.mark.usefixtures("rye")
def test_a_slip_in_filling_that_is_taken_back_changes_nothing(lay: LayJob) -> None:
    jobs = lay_cook(lay)
    slip = do(jobs["fill"], count=8)
    assert left(jobs)[3:] == [8, 8]
    taking_back.undo(slip.entry, person="ada", client_id=secrets.token_hex(16), reason="a slip")
    assert left(jobs) == [86, 86, 86, 86, 86]


@pytest.mark.usefixtures("rye")
def test_more_than_was_filled_is_not_loaded_without_a_reason(lay: LayJob) -> None:
    jobs = lay_cook(lay)
    do(jobs["fill"], count=80, reason="short of bags")
    with pytest.raises(RefusedError, match="86 are to be loaded, and 80 are prepared"):
        do(jobs["load1"], count=86)
    answer = do(jobs["load1"], count=86, reason="six stood ready from Monday")
    assert any("80 are prepared" in finding for finding in answer.findings)
    assert left(jobs)[4] == 86


@pytest.mark.usefixtures("rye")
def test_a_part_filled_leaves_the_rest_to_be_filled(lay: LayJob) -> None:
    jobs = lay_cook(lay)
    do(jobs["fill"], recording.part_done, count=40)
    assert left(jobs) == [86, 86, 86, 86, 86]
    do(jobs["fill"], count=30)
    assert left(jobs)[3:] == [70, 70]


@pytest.mark.usefixtures("rye")
def test_a_load_in_parts_takes_what_is_left_of_what_was_filled(lay: LayJob) -> None:
    jobs = lay_cook(lay)
    do(jobs["fill"], count=80)
    do(jobs["load1"], recording.part_done, count=50)
    assert left(jobs)[3:] == [80, 80]
    answer = do(jobs["load1"])
    assert Entry.objects.get(client_id=answer.entry).details["count"] == 30
    assert left(jobs)[4] == 80


@pytest.mark.usefixtures("rye")
def test_the_last_of_two_loads_takes_what_the_first_left(lay: LayJob) -> None:
    jobs = lay_cook(lay, loads=(43, 43))
    do(jobs["fill"], count=80)
    assert left(jobs)[3:] == [43, 43, 37, 37]
    do(jobs["load1"])
    assert left(jobs)[3:] == [43, 43, 37, 37]


@pytest.mark.usefixtures("rye")
def test_more_that_was_filled_goes_on_too(lay: LayJob) -> None:
    jobs = lay_cook(lay)
    do(jobs["soak"], count=90)
    assert left(jobs) == [86, 90, 90, 90, 90]
    do(jobs["fill"])
    assert left(jobs)[3:] == [90, 90]


@pytest.mark.usefixtures("rye")
def test_where_nothing_was_written_down_the_plan_stands(lay: LayJob) -> None:
    jobs = lay_cook(lay)
    putting_off.not_at_all(
        jobs["fill"], person="ada", client_id=secrets.token_hex(16), reason="done another way"
    )
    assert left(jobs)[3:] == [86, 86]
    assert do(jobs["load1"]).findings == ()
