"""On one page a load never stands before the filling of its vessels."""

from __future__ import annotations

from dataclasses import replace

import pytest

from farm.small_farm import TODAY, describe
from pinset.chain.register import CookKind, FarmBook, Preparation, RoomKind, Worker
from pinset.farm import job_store
from pinset.services.day import today
from pinset.services.jobs.matching import Matching
from pinset.services.jobs.records import JobKind, LotAmount
from pinset.services.jobs.state import stored_jobs
from pinset.services.loads.loads_after_filling import with_loads_after_filling
from pinset.services.plans import planning_day
from pinset.services.views import DayView
from services.conftest import LayJob

FILL = Preparation("fill", 97.0, 0.5, 5.0, RoomKind.PREPARATION)
COOK = Preparation("cook", 96.0, 0.0, 0.0, RoomKind.STERILISER)


@pytest.fixture
def book(farm: FarmBook, monkeypatch: pytest.MonkeyPatch) -> FarmBook:
    """The farm with one person, where jars of rye are filled before a cook of four hours."""
    route = farm.routes[0]
    steps = tuple(
        replace(step, cook="grain", mix="rye", preparations=(FILL, COOK))
        if step.code == "grain"
        else step
        for step in route.steps
    )
    kettle = replace(farm.sterilisers[0], cooks=(CookKind("grain", 4.5, 60, 90, 300),))
    changed = replace(
        farm,
        routes=(replace(route, steps=steps),),
        sterilisers=(replace(kettle, hours_per_day=8.0, load_at="09:35"),),
        workers=(Worker("ada", "Ada", (8.0,) * 7),),
    )
    describe(changed)
    monkeypatch.setattr(planning_day, "latest", lambda: None)
    return changed


def lay_day(lay: LayJob, *, minutes: int) -> dict[str, str]:
    """Lay a load at 09:35, its filling of so many minutes and its opening; codes by task."""
    about = {
        "steriliser": "kettle", "cook_kind": "grain", "variety": "", "count": 18,
        "feeds": (LotAmount("", 18, "grain", "oyster-straw"),),
    }  # fmt: skip
    key = f"kettle:grain:{TODAY}"
    return {
        "fill": lay(
            JobKind.PREPARE, key="fill", task="fill", count=18, variety="", stage="grain",
            step="grain", mix="rye jar", lead_hours=97.0, for_day=TODAY, minutes=minutes,
            what="grain jars: fill rye", due="before 09:35", room_kind="preparation",
        ),
        "load": lay(
            JobKind.COOK, key=f"cook:{key}", task="load", fixed_at="09:35", due="09:35",
            minutes=40, what="grain vessels into Kettle", room_kind="steriliser", **about,
        ),
        "open": lay(
            JobKind.OPEN, key=f"open:{key}", task="open", fixed_at="14:05", due="after 14:05",
            minutes=20, what="vessels in Kettle: open", room_kind="steriliser", **about,
        ),
    }  # fmt: skip


def hours(day: DayView, codes: dict[str, str]) -> dict[str, str]:
    at = {job.job: job.at for section in day.sections for job in section.jobs}
    return {task: at[code] for task, code in codes.items()}


@pytest.mark.usefixtures("book")
def test_what_is_filled_in_time_is_loaded_at_its_hour(lay: LayJob) -> None:
    codes = lay_day(lay, minutes=60)
    day = today.day_view()
    assert hours(day, codes) == {"fill": "07:30", "load": "09:35", "open": "14:05"}


@pytest.mark.usefixtures("book")
def test_a_load_waits_until_its_vessels_are_filled(lay: LayJob) -> None:
    """From 07:30 on, 160 min take until 10:10."""
    codes = lay_day(lay, minutes=160)
    day = today.day_view()
    assert hours(day, codes) == {"fill": "07:30", "load": "10:10", "open": "14:40"}
    assert not [text for text in day.warnings if "later than" in text]
    jobs = {job.job: job for section in day.sections for job in section.jobs}
    assert jobs[codes["load"]].detail.endswith("not at 09:35: filling takes until then")
    assert jobs[codes["fill"]].due == "before 10:10"


@pytest.mark.usefixtures("book")
def test_where_no_later_hour_holds_it_what_gives_is_said(lay: LayJob) -> None:
    """Filled at 14:10 it would end at 18:40, and the kettle's hours end at 17:35."""
    codes = lay_day(lay, minutes=400)
    day = today.day_view()
    assert hours(day, codes)["load"] == "09:35"
    [said] = [text for text in day.warnings if text.startswith("Load at 09:35: 18 grain vessels")]
    assert said.endswith(
        "Load what is filled by then, or put the load off: no later hour today holds it."
    )


def test_a_plan_that_is_laid_has_the_same_hours(lay: LayJob, book: FarmBook) -> None:
    codes = lay_day(lay, minutes=160)
    stored = {each.row.code: each for each in stored_jobs(job_store.open_jobs())}
    kept = tuple((code, each.job) for code, each in stored.items())
    laid = with_loads_after_filling(Matching(kept, (), ()), [], book, TODAY, None)
    hours = {code: (job.fixed_at, job.due) for code, job in laid.kept}
    assert hours[codes["load"]] == ("10:10", "10:10")
    assert hours[codes["open"]] == ("14:40", "after 14:40")
    assert hours[codes["fill"]] == ("", "before 10:10")
    again = with_loads_after_filling(laid, [], book, TODAY, None)
    assert again == laid, "what moved once stays"
