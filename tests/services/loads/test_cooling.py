"""What comes out of a cook says when it is cool enough, and setting it out has its minutes."""

from __future__ import annotations

import secrets
from collections.abc import Callable
from dataclasses import replace
from datetime import date, timedelta

import pytest

from farm.small_farm import BOOK, TODAY
from pinset.chain.register import CookKind, Preparation, RoomKind, Steriliser
from pinset.chain.stages import Stage
from pinset.farm import job_store
from pinset.planning.plan import PlannedCook, Start
from pinset.services import clock, memory
from pinset.services.answers import recording
from pinset.services.book_reader import Reader
from pinset.services.day import today
from pinset.services.jobs.of_cooks import cook_jobs, loads_of
from pinset.services.jobs.preparing import preparation_jobs
from pinset.services.jobs.records import JobKind
from pinset.services.jobs.state import stored_jobs
from pinset.services.loads.cooling import with_cooling

LayJob = Callable[..., str]
SET_OUT = Preparation("cool", 16.0, 0.2, 5.0, RoomKind.STERILISER)
COOKED = Preparation("cook", 22.0, 0.0, 0.0, RoomKind.STERILISER)
KINDS = (CookKind("grain", 5, 60, 90, 150),)
TOMORROW = TODAY + timedelta(days=1)


def reader(*preparations: Preparation, cook: str = "grain") -> Reader:
    """Return the small farm with a kettle; its jars need these preparations."""
    route = BOOK.routes[0]
    steps = tuple(
        replace(each, cook=cook, preparations=preparations) if each.code == "grain" else each
        for each in route.steps
    )
    kettle = Steriliser("kettle", "Kettle", "inc", KINDS, 12, 2, 1.4)
    book = replace(BOOK, routes=(replace(route, steps=steps),), sterilisers=(kettle,))
    return Reader(book, TODAY)


def start(count: int, day: date = TOMORROW) -> Start:
    return Start(day, "grey", "grain", Stage.GRAIN, count, (), count, day, (), "why")


def test_setting_out_to_cool_has_its_minutes_in_the_opening() -> None:
    """A third of 60 min to unload; 5 min and 0.2 min for each of 50 jars to set them out."""
    cooks = [PlannedCook(TODAY, "kettle", "grain", 1, 150, 5)]
    plain, cooled = reader(COOKED), reader(COOKED, SET_OUT)
    _, without = cook_jobs(loads_of(cooks, [start(50)], plain)[0], plain)
    _, opening = cook_jobs(loads_of(cooks, [start(30), start(20)], cooled)[0], cooled)
    assert (without.minutes, without.cool_hours) == (20, 22.0 - 5.0), "what the lead leaves"
    assert (opening.minutes, opening.cool_hours) == (20 + 5 + 10, 16.0)
    assert opening.what.endswith("open, unload and set out to cool")


def test_cooling_is_no_second_job_but_where_there_is_no_cook() -> None:
    """Straw that was scalded without a steriliser is cooled as a job of its own."""
    cooked, scalded = reader(COOKED, SET_OUT), reader(SET_OUT, cook="")
    assert preparation_jobs([start(50)], TODAY, "10:30", cooked) == ()
    [job] = preparation_jobs([start(50)], None, "", scalded)
    assert (job.task, job.minutes, job.day) == ("cool", 15, TODAY)


def opening(lay: LayJob, **more: object) -> str:
    given: dict[str, object] = {
        "task": "open", "fixed_at": "15:30", "cool_hours": 16.0, "for_day": TOMORROW,
        "feeds": (), "variety": "", "step": "grain",
    }  # fmt: skip
    return lay(JobKind.OPEN, **(given | more))


@pytest.mark.parametrize(
    ("fixed_at", "said"),
    [
        ("15:30", "Cool enough to inoculate about 07:30 tomorrow, 16 h after unloading"),
        ("01:00 next day", "Cool enough to inoculate about 17:00 tomorrow, 16 h after unloading"),
        ("", "Cool enough to inoculate about 16 h after unloading"),
    ],
)
def test_the_card_says_when_the_load_is_cool_enough(lay: LayJob, fixed_at: str, said: str) -> None:
    detail = today.job_view(opening(lay, fixed_at=fixed_at)).detail
    assert detail.startswith(f"{said}; measure a core first")
    assert ("waits until then" in detail) == ("17:00" in said), "a start is at 09:00"


def test_other_words_stay_and_without_cooling_nothing_is_said(lay: LayJob) -> None:
    agar = today.job_view(opening(lay, detail="Liquids only below 80 °C", count=3)).detail
    assert agar.startswith("Liquids only below 80 °C; cool enough to inoculate about 07:30")
    assert today.job_view(opening(lay, cool_hours=0.0)).detail == ""


def test_on_a_us_farm_liquids_are_opened_by_degrees_fahrenheit(lay: LayJob) -> None:
    stored = job_store.job_by_code(opening(lay, detail="Liquids only below 80 °C", cool_hours=0.0))
    assert stored is not None
    farm = replace(BOOK.farm, units="us")
    us = Reader(replace(BOOK, farm=farm), TODAY)
    assert with_cooling(stored_jobs([stored])[0], us) == "Liquids only below 176 °F"


def test_once_opened_it_counts_from_then(lay: LayJob, monkeypatch: pytest.MonkeyPatch) -> None:
    about = {"steriliser": "kettle", "cook_kind": "grain"}
    load = lay(JobKind.COOK, key="cook:kettle", task="load", variety="", step="grain", **about)
    code = opening(lay, key="open:kettle", **about)
    monkeypatch.setenv(clock.PRETENDED, f"{TODAY}T12:00+01:00")
    recording.done(load, person="ada", client_id=secrets.token_hex(16))
    monkeypatch.setenv(clock.PRETENDED, f"{TODAY}T17:15+01:00")
    memory.forget_all()
    recording.done(code, person="ada", client_id=secrets.token_hex(16))
    said = "Cool enough to inoculate about 09:15 tomorrow, 16 h after unloading"
    assert today.job_view(code).detail.startswith(said)
    assert today.job_view(code).detail.endswith("what it is for waits until then")
