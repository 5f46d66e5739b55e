"""Vessels are not inoculated in a full steriliser or warm, and no load goes on top of another."""

from __future__ import annotations

import secrets
from dataclasses import replace
from datetime import date, timedelta

import pytest

from farm.small_farm import CODES, NOW, TODAY, Taps, lot
from pinset.chain.register import FarmBook, Room, RoomKind, Shelf
from pinset.chain.stages import Stage
from pinset.errors import RefusedError
from pinset.farm import door, trade
from pinset.farm.models import Entry
from pinset.planning.building.step_numbers import cold_store_of
from pinset.services import clock
from pinset.services.answers import recording
from pinset.services.cooks.judge import verdict_entries as cook_verdict_entries
from pinset.services.day.fitting import what_follows
from pinset.services.day.today import job_view
from pinset.services.jobs.records import JobKind, LotAmount, PlannedJob
from pinset.services.loads.unopened import still_full
from pinset.services.views import Done
from services.conftest import LayJob

COOK = "kettle-20260311-1000"
KEY = f"kettle:grain:{TODAY - timedelta(days=1)}"
MADE = CODES[30]


def do(job: str, **more: object) -> Done:
    return recording.done(job, person="ada", client_id=secrets.token_hex(16), **more)  # type: ignore[arg-type]


@pytest.fixture
def laid(
    lay: LayJob, stock: dict[str, str], tap: Taps, monkeypatch: pytest.MonkeyPatch
) -> dict[str, str]:
    """Yesterday's load of twelve jars, passed and not opened, and a transfer into them."""
    about = {"steriliser": "kettle", "cook_kind": "grain", "variety": "", "cool_hours": 14.0,
             "feeds": (LotAmount("", 12, "grain"),)}  # fmt: skip
    load = lay(JobKind.COOK, key=f"cook:{KEY}", **{**about, "cool_hours": 0.0})
    opening = lay(JobKind.OPEN, key=f"open:{KEY}", **about)
    made = lot(
        MADE, Stage.PREPARED, "grain", variety="", culture="", made_on=TODAY - timedelta(days=1)
    )
    entry = trade.cook(
        replace(tap(hours=-23), job=load), COOK, [(made, 12)], "bay-1",
        steriliser="kettle", cook_kind="grain", hold_minutes=92, details={"count": 12},
    )  # fmt: skip
    door.record([entry], now=NOW)
    cook_verdict_entries.judge_by_hand(
        secrets.token_hex(16), "ada", COOK, "pass", "gauge and clock"
    )
    monkeypatch.setenv(clock.PRETENDED, NOW.isoformat())
    parents = (LotAmount(stock["plate"], 3, "plate"),)
    transfer = lay(JobKind.TRANSFER, step="grain", stage="grain", lots=parents, vessels=(MADE,))
    return {"load": load, "opening": opening, "transfer": transfer}


def test_vessels_that_nobody_took_out_are_asked_about(laid: dict[str, str]) -> None:
    assert "not opened yet" in job_view(laid["transfer"]).stop
    before = Entry.objects.count()
    with pytest.raises(RefusedError, match=f"cook {COOK}: not opened yet"):
        do(laid["transfer"])
    assert Entry.objects.count() == before
    assert "not opened yet" in do(laid["transfer"], reason="nobody wrote it down").findings[0]


@pytest.mark.parametrize(
    ("hours", "is_warm"), [(0.5, True), (12.0, True), (12.7, False), (18.0, False)]
)
def test_vessels_that_are_not_cool_are_asked_about(
    laid: dict[str, str], *, hours: float, is_warm: bool
) -> None:
    do(laid["opening"], at=NOW - timedelta(hours=hours))
    stop = job_view(laid["transfer"]).stop
    assert ("cool enough about" in stop) is is_warm
    if is_warm:
        with pytest.raises(RefusedError, match=r"cool enough about .* kills the spawn"):
            do(laid["transfer"])
    else:
        assert do(laid["transfer"]).findings == ()


def test_a_full_steriliser_takes_no_other_load(laid: dict[str, str]) -> None:
    assert still_full("kettle", f"cook:{KEY}") == (), "more of the same load"
    assert still_full("kettle", "cook:kettle:grain:2026-03-12") == ("grain",)
    assert still_full("steamer", "") == ()
    do(laid["opening"], at=NOW - timedelta(hours=1))
    assert still_full("kettle", "cook:kettle:grain:2026-03-12") == ()


def planned(kind: JobKind, key: str, day: date = TODAY, **more: object) -> PlannedJob:
    given = {"variety": "", "steriliser": "kettle", **more}
    return PlannedJob(
        key,
        kind,
        kind.value,
        day,
        12,
        "units",
        "x",
        RoomKind.STERILISER.value,
        **given,  # type: ignore[arg-type]
    )


def test_an_earlier_load_is_out_before_a_new_one_and_before_its_transfer() -> None:
    feeds = (LotAmount("", 12, "grain"),)
    jobs = [
        ("O1", planned(JobKind.OPEN, f"open:{KEY}", feeds=feeds), 10),
        ("C2", planned(JobKind.COOK, f"cook:kettle:block:{TODAY}"), 30),
        ("O2", planned(JobKind.OPEN, f"open:kettle:block:{TODAY}", feeds=feeds), 10),
        ("T", planned(JobKind.TRANSFER, "t", step="grain"), 30),
    ]
    after = what_follows(jobs)
    assert after["C2"] == ("O1",)
    assert after["T"] == ("O1",)
    assert "O1" not in after


def test_bought_spawn_is_not_put_where_it_dies(farm: FarmBook) -> None:
    cold = [Room(f"c{t}", "C", RoomKind.COLD, t, (Shelf(f"c{t}-1", 50),)) for t in (4.0, 12.0)]
    step = replace(farm.routes[0].step("grain"), keeps_days_cold=30.0, cold_min_c=10.0)
    book = replace(farm, rooms=tuple(cold))
    assert cold_store_of(book, step) == cold[1]
    assert cold_store_of(replace(farm, rooms=(cold[0],)), step) is None
