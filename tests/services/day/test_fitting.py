"""The day's jobs on the clock: picked, then packed, then handed over."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, datetime, time, timedelta

from pinset.chain.register import Farm, FarmBook, Worker
from pinset.services.day.fitting import clock_of, fit_jobs, packing_begins, what_follows
from pinset.services.jobs.records import JobKind, LotAmount, PlannedJob

TODAY = date(2026, 3, 12)
BOOK = FarmBook(Farm("Test", 400, "Europe/Vienna"), workers=(Worker("a", "Ada", (8.0,) * 7),))


def job(kind: JobKind, room: str, minutes: int, **more: str) -> PlannedJob:
    return PlannedJob(
        key=kind.value,
        kind=kind,
        task=kind.value,
        day=TODAY,
        count=5,
        unit="kg",
        what="things",
        room_kind=room,
        variety="grey",
        minutes=minutes,
        **more,  # type: ignore[arg-type]
    )


def test_picked_then_packed_then_handed_over() -> None:
    jobs = [
        ("J1", job(JobKind.DELIVER, "packing", 5, fixed_at="14:00"), 5),
        ("J2", job(JobKind.PACK, "packing", 40, due="before 14:00"), 40),
        ("J3", job(JobKind.PICK, "growing", 60, due="before 14:00"), 60),
    ]
    fitted = fit_jobs(jobs, BOOK, TODAY)
    assert fitted.at["J1"] == "14:00"
    assert fitted.at["J2"] == "12:50"
    assert fitted.at["J3"] < fitted.at["J2"]
    assert fitted.warnings == ()


def test_what_the_store_holds_is_packed_without_waiting_for_the_picking() -> None:
    """The van takes of the store; what is picked is for another day, and takes its time."""
    jobs = [
        ("J1", job(JobKind.DELIVER, "packing", 5, fixed_at="14:00"), 5),
        ("J2", job(JobKind.PACK, "packing", 40, due="before 14:00"), 40),
        ("J3", job(JobKind.PICK, "growing", 300), 300),
    ]
    assert "J2" not in what_follows(jobs)
    fitted = fit_jobs(jobs, BOOK, TODAY)
    assert fitted.at["J2"] == "12:50"
    assert fitted.unplaced == ()


def test_vessels_are_out_of_the_steriliser_before_they_are_thrown_out() -> None:
    """They may be of the load of yesterday, not of that of today."""
    grain = {"step": "grain", "stage": "prepared"}
    feeds = (LotAmount("", 5, "grain", "route"),)
    out = replace(job(JobKind.DISCARD, "steriliser", 5), **grain)
    for loaded, after in ((TODAY - timedelta(days=1), ("J1",)), (TODAY, None)):
        key = f"open:kettle:grain:{loaded}"
        opening = replace(job(JobKind.OPEN, "steriliser", 30), key=key, feeds=feeds)
        assert what_follows([("J1", opening, 30), ("J2", out, 5)]).get("J2") == after


def test_packing_never_begins_before_the_day() -> None:
    assert packing_begins("00:20", 90) == time(0)
    assert packing_begins("soon", 90) is None
    assert packing_begins("14:00", 150, 11 * 60 + 30) == time(9)


def test_clock_times() -> None:
    assert clock_of("10:30") == time(10, 30)
    assert [clock_of(text) for text in ("", "25:00", "10:61", "10", "a:b")] == [None] * 5


def prepare(task: str, lead: float, **more: object) -> PlannedJob:
    return replace(
        job(JobKind.PREPARE, "preparation", 60, due="before 13:00"),
        task=task,
        lead_hours=lead,
        mix="rye jar",
        for_day=TODAY,
        **more,  # type: ignore[arg-type]
    )


def test_soak_boil_fill_in_that_order_whoever_is_free() -> None:
    book = replace(BOOK, workers=(*BOOK.workers, Worker("b", "Ben", (8.0,) * 7)))
    jobs = [
        ("J1", prepare("fill", 26), 60),
        ("J2", prepare("soak", 27.5), 60),
        ("J3", prepare("boil", 27), 60),
    ]
    fitted = fit_jobs(jobs, book, TODAY)
    assert [fitted.at[code] for code in ("J2", "J3", "J1")] == ["07:30", "08:30", "09:30"]


def test_what_must_soak_has_its_hours() -> None:
    jobs = [("J1", prepare("fill", 26), 30), ("J2", prepare("soak", 30), 20)]
    fitted = fit_jobs(jobs, BOOK, TODAY)
    assert [fitted.at[code] for code in ("J2", "J1")] == ["07:30", "11:30"]
    chopped = [("J1", prepare("soak", 26), 30), ("J2", prepare("chop", 30), 20)]
    assert fit_jobs(chopped, BOOK, TODAY).at["J1"] == "07:50", "dry straw need not wait"


def test_a_day_that_cannot_hold_the_soak_says_so() -> None:
    jobs = [("J1", prepare("boil", 28), 30), ("J2", prepare("soak", 40), 20)]
    fitted = fit_jobs(jobs, BOOK, TODAY)
    assert (fitted.at.get("J1"), fitted.unplaced) == (None, ("J1",))
    said = "Not today: 5 things: 12 h 00 min must pass after the begin of 5 things at 07:30."
    assert said in fitted.warnings


def test_what_was_soaked_before_goes_on_soaking() -> None:
    jobs = [("J1", prepare("fill", 26), 30)]
    until = datetime(2026, 3, 12, 11, 40)  # noqa: DTZ001  (by the farm's clock)
    assert fit_jobs(jobs, BOOK, TODAY, soaked={"J1": until}).at["J1"] == "11:40"
    tomorrow = until + timedelta(days=1)
    assert fit_jobs(jobs, BOOK, TODAY, soaked={"J1": tomorrow}).unplaced == ("J1",)


def test_another_recipe_does_not_wait() -> None:
    book = replace(BOOK, workers=(*BOOK.workers, Worker("b", "Ben", (8.0,) * 7)))
    jobs = [
        ("J1", prepare("fill", 26, moisture=0.62), 60),
        ("J2", prepare("mix", 28, moisture=0.68), 60),
    ]
    fitted = fit_jobs(jobs, book, TODAY)
    assert {fitted.at["J1"], fitted.at["J2"]} == {"07:30"}


def test_spent_units_leave_before_new_ones_come() -> None:
    jobs = [
        ("J1", replace(job(JobKind.MOVE, "growing", 90), to_room="west"), 90),
        ("J2", replace(job(JobKind.CLEAR, "growing", 30), room="west"), 30),
    ]
    fitted = fit_jobs(jobs, BOOK, TODAY)
    assert (fitted.at["J2"], fitted.at["J1"]) == ("07:30", "08:00")


def test_a_cook_is_judged_where_nobody_may_work_in_the_laboratory() -> None:
    book = replace(BOOK, workers=(Worker("b", "Ben", (8.0,) * 7, laboratory=False),))
    for room in ("steriliser", "laboratory"):  # the latter: laid before it was paper work
        fitted = fit_jobs([("J1", job(JobKind.JUDGE, room, 5), 5)], book, TODAY)
        assert (fitted.at, fitted.who) == ({"J1": "07:30"}, {"J1": "Ben"})
        assert (fitted.warnings, fitted.unplaced) == ((), ())


def test_a_full_laboratory_leaves_a_cook_to_whoever_is_free() -> None:
    book = replace(
        BOOK,
        workers=(Worker("a", "Ada", (2.0,) * 7), Worker("b", "Ben", (8.0,) * 7, laboratory=False)),
    )
    jobs = [
        ("J1", job(JobKind.TRANSFER, "laboratory", 120), 120),
        ("J2", job(JobKind.JUDGE, "steriliser", 5), 5),
    ]
    fitted = fit_jobs(jobs, book, TODAY)
    assert (fitted.who["J2"], fitted.unplaced) == ("Ben", ())


def test_a_cook_the_laboratory_waits_for_is_judged_before_dirtier_work() -> None:
    feeds = (LotAmount("AAAAA", 5, "grain"),)
    jobs = [
        ("J1", replace(job(JobKind.TRANSFER, "laboratory", 60), step="grain"), 60),
        ("J2", replace(job(JobKind.JUDGE, "steriliser", 5), feeds=feeds), 5),
        ("J3", prepare("soak", 48), 60),
    ]
    fitted = fit_jobs(jobs, BOOK, TODAY)
    assert [fitted.at[code] for code in ("J2", "J1", "J3")] == ["07:30", "07:35", "08:35"]


def test_an_hour_that_has_passed_lacks_nobody() -> None:
    jobs = [("J1", job(JobKind.COOK, "steriliser", 30, fixed_at="17:00"), 30)]
    assert any("17:00" in text for text in fit_jobs(jobs, BOOK, TODAY).warnings)
    assert fit_jobs(jobs, BOOK, TODAY, time(17, 5)).warnings == ()


def test_vessels_that_are_hot_until_tomorrow_are_not_for_today() -> None:
    jobs = [("J1", replace(job(JobKind.TRANSFER, "laboratory", 30), vessels=("AAAAA",)), 30)]
    cool = datetime(2026, 3, 12, 14, 0)  # noqa: DTZ001  (by the farm's clock)
    assert fit_jobs(jobs, BOOK, TODAY, cool={"AAAAA": cool}).at["J1"] == "14:00"
    tomorrow = cool + timedelta(days=1)
    assert fit_jobs(jobs, BOOK, TODAY, cool={"AAAAA": tomorrow}).unplaced == ("J1",)
