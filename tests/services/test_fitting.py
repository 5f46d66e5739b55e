"""The day's jobs on the clock: picked, then packed, then handed over."""

from __future__ import annotations

from datetime import date, time

from pinset.chain.register import Farm, FarmBook, Worker
from pinset.services.fitting import clock_of, fit_jobs, packing_begins
from pinset.services.job_records import JobKind, PlannedJob

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
        ("J3", job(JobKind.PICK, "growing", 60), 60),
    ]
    fitted = fit_jobs(jobs, BOOK, TODAY)
    assert fitted.at["J1"] == "14:00"
    assert fitted.at["J2"] == "12:50"
    assert fitted.at["J3"] < fitted.at["J2"]
    assert fitted.warnings == ()


def test_packing_never_begins_before_the_day() -> None:
    assert packing_begins("00:20", 90) == time(0)
    assert packing_begins("soon", 90) is None
    assert packing_begins("14:00", 150, 11 * 60 + 30) == time(9)


def test_clock_times() -> None:
    assert clock_of("10:30") == time(10, 30)
    assert [clock_of(text) for text in ("", "25:00", "10:61", "10", "a:b")] == [None] * 5
