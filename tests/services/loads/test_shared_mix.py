"""Blocks and spawn bags of one mix are mixed and filled at once, and go into one cook."""

from __future__ import annotations

import secrets
from collections.abc import Callable
from dataclasses import replace
from datetime import timedelta

import pytest

from farm.small_farm import BOOK, TODAY, describe
from pinset.chain.register import FarmBook, Preparation, RoomKind, Step
from pinset.chain.stages import Stage
from pinset.chain.step_nouns import step_units
from pinset.farm import job_store
from pinset.planning.plan import Start
from pinset.services.answers import recording
from pinset.services.book_reader import Reader
from pinset.services.clock import now_utc
from pinset.services.day import today
from pinset.services.jobs.preparing import preparation_jobs
from pinset.services.jobs.records import JobKind, LotAmount, PlannedJob
from pinset.services.jobs.throwing_out import throwing_out_wet
from pinset.services.loads.standing_wet import wet_notes
from pinset.services.loads.uncooked import waiting_for_a_cook
from pinset.services.plans import planning_day
from pinset.services.views import Done
from services.conftest import LayJob

MIX = Preparation("mix", 24.5, 0.5, 5.0, RoomKind.PREPARATION)
FILL = Preparation("fill", 24.2, 0.5, 5.0, RoomKind.PREPARATION)
COOK = Preparation("cook", 24.0, 0.0, 0.0, RoomKind.STERILISER)
TOMORROW = TODAY + timedelta(days=1)
SAWDUST = "oak sawdust"


@pytest.fixture
def book(farm: FarmBook, monkeypatch: pytest.MonkeyPatch) -> FarmBook:
    """The farm, where blocks and spawn bags of one mix are steamed together."""

    def cooked(step: Step) -> Step:
        if step.code not in {"grain", "block"}:
            return step
        return replace(
            step, vessel="bag", cook="grain", mix=SAWDUST, fill_g=2000, fill_moisture=0.6,
            preparations=(MIX, FILL, COOK),
        )  # fmt: skip

    route = farm.routes[0]
    changed = replace(farm, routes=(replace(route, steps=tuple(map(cooked, route.steps))),))
    describe(changed)
    monkeypatch.setattr(planning_day, "latest", lambda: None)
    return changed


def starts(book: FarmBook, *counts: tuple[str, int]) -> list[Start]:
    route = book.routes[0]
    return [
        Start(TOMORROW, "grey", code, route.step(code).stage, n, (), n, TOMORROW, (), "why")
        for code, n in counts
    ]


def prepared(book: FarmBook, *counts: tuple[str, int]) -> tuple[PlannedJob, ...]:
    waiting = waiting_for_a_cook(book, TODAY, ())
    return preparation_jobs(starts(book, *counts), TODAY, "17:00", Reader(book, TODAY), waiting)


def lay_as_planned(lay: LayJob, job: PlannedJob) -> str:
    given = {name: getattr(job, name) for name in job.__dataclass_fields__}
    return lay(given.pop("kind"), **given)


def lay_load(lay: LayJob, *counts: tuple[str, int]) -> str:
    feeds = tuple(LotAmount("", units, code, "oyster-straw") for code, units in counts)
    return lay(
        JobKind.COOK, key=f"cook:kettle:grain:{TODAY}", task="load", steriliser="kettle",
        cook_kind="grain", variety="", step=counts[0][0], count=sum(n for _, n in counts),
        feeds=feeds,
    )  # fmt: skip


def do(job: str, how: Callable[..., Done] = recording.done, **more: object) -> Done:
    return how(job, person="ada", client_id=secrets.token_hex(16), **more)


def thrown_out(book: FarmBook) -> tuple[PlannedJob, ...]:
    cooks = [
        each
        for row in job_store.open_jobs()
        if row.kind == JobKind.COOK.value
        for each in (today.stored_jobs([row])[0].job,)
    ]
    return throwing_out_wet(cooks, book, TODAY)


def test_the_words_say_how_many_are_which(book: FarmBook) -> None:
    mix, fill = prepared(book, ("block", 18), ("grain", 39))
    assert (mix.count, fill.count) == (57, 57)
    assert mix.what == "units (18 blocks and 39 grain jars): mix oak sawdust, 114 kg wet"
    [alone, _] = prepared(book, ("grain", 39))
    assert alone.what == "grain jars: mix oak sawdust, 78 kg wet"


@pytest.mark.parametrize("first", ["block", "grain"])
def test_what_the_load_takes_is_not_thrown_out(book: FarmBook, lay: LayJob, first: str) -> None:
    counts = [("block", 33), ("grain", 34)]
    if first == "grain":
        counts.reverse()
    jobs = [lay_as_planned(lay, job) for job in prepared(book, *counts)]
    load = lay_load(lay, *counts)
    for job in jobs:
        do(job)
    assert (wet_notes(book, TODAY), thrown_out(book)) == ((), ())
    do(load, at=now_utc())
    assert (wet_notes(book, TODAY), thrown_out(book)) == ((), ())
    assert wet_notes(book, TOMORROW) == ()


def test_what_was_mixed_is_not_asked_for_again_whatever_is_first(
    book: FarmBook, lay: LayJob
) -> None:
    mix, _ = prepared(book, ("block", 17), ("grain", 39))
    do(lay_as_planned(lay, mix))
    assert [job.task for job in prepared(book, ("grain", 38), ("block", 17))] == ["fill"]
    more, _ = prepared(book, ("grain", 40), ("block", 17))
    assert (more.task, more.count) == ("mix", 1)
    assert more.what == "unit (grain jars and blocks): mix oak sawdust, 2 kg wet"


def test_what_no_cook_takes_is_named_by_all_it_may_be(book: FarmBook, lay: LayJob) -> None:
    mix, _ = prepared(book, ("block", 17), ("grain", 3))
    do(lay_as_planned(lay, mix))
    [note] = wet_notes(book, TODAY)
    assert note.startswith("Oak sawdust for 20 grain jars or blocks stands there wet")
    [job] = thrown_out(book)
    assert job.what == "units of oak sawdust, wet and not cooked: throw out"


def test_of_a_part_the_weight_that_is_left_is_said(book: FarmBook, lay: LayJob) -> None:
    _, fill = prepared(book, ("block", 16))
    code = lay_as_planned(lay, fill)
    answer = do(code, recording.part_done, count=9)
    assert answer.sentence.startswith("9 blocks: fill oak sawdust, 18 kg wet: recorded")
    said = "blocks: fill oak sawdust, 32 kg wet in all, 14 kg of it left"
    assert today.job_view(code).what == said
    assert do(code).sentence == "7 blocks: fill oak sawdust, 14 kg wet: recorded."
    assert today.job_view(code).what == "blocks: fill oak sawdust, 32 kg wet"


def test_plugs_are_no_sawdust() -> None:
    step = replace(BOOK.routes[0].step("grain"), code="plugs", stage=Stage.SAWDUST)
    assert step_units(step, 5) == "5 plug spawn bags"
    assert step_units(replace(step, code="spawn", mix="birch plugs"), 1) == "1 plug spawn bag"
    assert step_units(replace(step, code="sawdust"), 5) == "5 sawdust spawn bags"
