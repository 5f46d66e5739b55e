"""A steriliser that still holds an earlier day's load is opened before the next one goes in."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, time, timedelta

import pytest

from farm.small_farm import TODAY, describe
from pinset.chain.register import CookKind, FarmBook
from pinset.services import clock
from pinset.services.answers import putting_off, recording, taking_back
from pinset.services.day import today
from pinset.services.jobs.records import JobKind, LotAmount
from pinset.services.plans import planning_day
from pinset.services.views import JobView
from services.conftest import LayJob
from services.recorded import new_id

ABOUT = {
    "steriliser": "kettle", "place": "Kettle", "cook_kind": "grain", "variety": "", "count": 12,
    "room_kind": "steriliser", "feeds": (LotAmount("", 12, "grain", "oyster-straw"),),
}  # fmt: skip
BEFORE = TODAY - timedelta(days=3)
OLD, NEW = f"kettle:grain:{BEFORE}", f"kettle:grain:{TODAY}"


def at(hour: str, day: object = TODAY) -> datetime:
    return datetime.combine(day, time.fromisoformat(hour), UTC)  # type: ignore[arg-type]


@pytest.fixture
def codes(farm: FarmBook, lay: LayJob, monkeypatch: pytest.MonkeyPatch) -> dict[str, str]:
    """A load of three days ago to open, one to load at 09:15, and 100 min of clean work each."""
    kettle = replace(
        farm.sterilisers[0], cooks=(CookKind("grain", 4.5, 60, 90, 300),), load_at="09:15",
        hours_per_day=9.0,
    )  # fmt: skip
    described = replace(
        farm,
        farm=replace(farm.farm, time_zone="UTC"),
        sterilisers=(kettle,),
    )
    describe(described)
    monkeypatch.setattr(planning_day, "latest", lambda: None)
    old = lay(JobKind.COOK, key=f"cook:{OLD}", task="load", day=BEFORE, **ABOUT)
    monkeypatch.setenv(clock.PRETENDED, at("14:30", BEFORE).isoformat())
    recording.done(old, person="ada", client_id=new_id(), at=at("14:20", BEFORE))
    monkeypatch.setenv(clock.PRETENDED_IN, "UTC")  # as this farm
    monkeypatch.setenv(clock.PRETENDED, TODAY.isoformat())
    for person in ("ada", "ben"):
        lay(JobKind.TRANSFER, key=f"plates:{person}", task="transfer", count=10, minutes=100)
    return {
        "opening": lay(
            JobKind.OPEN, key=f"open:{OLD}", task="open", what="vessels in Kettle: open",
            minutes=25, **ABOUT,
        ),
        "load": lay(
            JobKind.COOK, key=f"cook:{NEW}", task="load", what="grain vessels into Kettle",
            fixed_at="09:15", due="09:15", minutes=20, **ABOUT,
        ),
        "its opening": lay(
            JobKind.OPEN, key=f"open:{NEW}", task="open", what="vessels in Kettle: open",
            fixed_at="13:45", due="after 13:45", minutes=25, **ABOUT,
        ),
    }  # fmt: skip


def jobs_seen() -> dict[str, JobView]:
    return {job.job: job for section in today.day_view().sections for job in section.jobs}


def test_the_old_load_comes_out_at_the_begin_of_work(codes: dict[str, str]) -> None:
    """Work begins at 07:30; 100 min of clean work first would leave none before the load."""
    seen = jobs_seen()
    assert seen[codes["opening"]].at == "07:30"
    assert seen[codes["load"]].at == "09:15"
    assert not today.day_view().warnings


def test_a_load_is_not_before_an_opening_that_is_late(
    codes: dict[str, str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """Nobody opened it by 10:00; 25 min from then on, the load is at 10:25 at the soonest."""
    monkeypatch.setenv(clock.PRETENDED, at("10:00").isoformat())
    seen = jobs_seen()
    opening, load = seen[codes["opening"]], seen[codes["load"]]
    assert opening.at == "10:00"
    assert load.at == "10:25"
    assert today.job_view(codes["load"]).at == "10:25", "its own page, too"
    assert load.detail.endswith("not at 09:15: the load before it is opened first")
    assert seen[codes["its opening"]].at == "14:55"


def test_a_load_whose_opening_is_put_off_has_no_hour_and_says_so(codes: dict[str, str]) -> None:
    done = putting_off.not_today(
        codes["opening"], person="ada", client_id=new_id(), reason="no hands for it"
    )
    load = jobs_seen()[codes["load"]]
    assert (load.at, load.fixed, load.due) == ("", False, "")
    alone = today.job_view(codes["load"])
    assert (alone.at, alone.fixed, alone.due, alone.detail) == ("", False, "", load.detail)
    assert "it waits for the opening of the load before it, which was put off" in load.detail
    assert codes["its opening"] not in jobs_seen()
    assert codes["load"] not in {hour.job for hour in today.day_view().fixed}
    taking_back.undo(done.entry, person="ada", client_id=new_id(), reason="there are")
    assert jobs_seen()[codes["load"]].at == "09:15"
