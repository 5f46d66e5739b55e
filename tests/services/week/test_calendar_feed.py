"""The jobs as a calendar: lasting identifiers, revisions counted, hours of the farm, no names."""

from __future__ import annotations

import secrets
from dataclasses import replace
from datetime import date, datetime, timedelta
from typing import Any

import icalendar
import pytest

from farm.small_farm import NOW, TODAY, describe
from pinset.chain.plain import from_plain, to_plain
from pinset.chain.register import FarmBook
from pinset.farm import job_store
from pinset.farm.job_store import JobToLay, PlanRow
from pinset.farm.models import CalendarEvent
from pinset.services import clock
from pinset.services.answers import recording, taking_back
from pinset.services.jobs.records import JobKind, LotAmount, PlannedJob
from pinset.services.week.calendar_feed import calendar_of_jobs
from services.conftest import LayJob
from services.planned import planned

LATER = NOW + timedelta(hours=3)


def events(person: str = "", now: datetime = NOW) -> dict[str, Any]:
    """Return what another program reads, by the job's code."""
    planned()
    data = calendar_of_jobs(person, now, page_of=lambda code: f"http://farm.lan/jobs/{code}/")
    found = icalendar.Calendar.from_ical(data).walk("VEVENT")
    assert not any(event.errors for event in found)
    return {str(event["URL"]).split("/")[-2]: event for event in found if "URL" in event}


def change(code: str, **more: object) -> None:
    """Lay a job anew under its code, as the next plan does."""
    row = job_store.job_by_code(code)
    assert row is not None
    job = replace(from_plain(PlannedJob, row.body), **more)  # type: ignore[arg-type]
    plan = PlanRow(LATER, TODAY, 0, {"plan": {}, "remarks": [], "changes": []}, 0.0, 0.0, "x")
    to_lay = JobToLay(code, job.day, job.kind.value, to_plain(job), count=job.count)
    job_store.lay(plan, [to_lay], [], [])


def test_a_job_with_an_hour_begins_at_it_and_any_other_is_of_its_day(lay: LayJob) -> None:
    """In March Vienna is one hour ahead of UTC (IANA time zones)."""
    timed = lay(JobKind.COOK, key="a", fixed_at="09:30", minutes=33)
    whole = lay(JobKind.TRANSFER, key="b", day=TODAY + timedelta(days=2), due="before 10:30")
    found = events()
    assert found[timed].decoded("DTSTART") == datetime(
        TODAY.year, TODAY.month, TODAY.day, 8, 30, tzinfo=clock.UTC
    )
    assert found[timed].decoded("DURATION") == timedelta(minutes=33)
    start = found[whole].decoded("DTSTART")
    assert type(start) is date
    assert start == TODAY + timedelta(days=2)
    assert "Before 10:30." in found[whole]["DESCRIPTION"]


@pytest.mark.parametrize(
    ("hour", "day_later", "utc"),
    [("02:30", 0, "01:30"), ("03:30", 0, "01:30"), ("09:00", 0, "07:00"), ("05:30", 1, "03:30")],
)
def test_hours_on_the_day_the_clocks_change(
    lay: LayJob, monkeypatch: pytest.MonkeyPatch, hour: str, day_later: int, utc: str
) -> None:
    """On 29 March 2026 Vienna's clocks go from 02:00 to 03:00 (Directive 2000/84/EC; memory)."""
    monkeypatch.setenv(clock.PRETENDED, "2026-03-29")
    words = f"{hour} next day" if day_later else hour
    code = lay(JobKind.OPEN, key="a", day=date(2026, 3, 29), fixed_at=words)
    found = events(now=datetime(2026, 3, 29, 4, 0, tzinfo=clock.UTC))
    start = found[code].decoded("DTSTART")
    assert f"{start:%Y-%m-%d %H:%M}" == f"2026-03-{29 + day_later} {utc}"


def test_an_identifier_lasts_and_a_change_is_counted(lay: LayJob) -> None:
    code, other = lay(JobKind.TRANSFER, key="a"), lay(JobKind.TRANSFER, key="b")
    first, same = events(), events(now=LATER)
    for each in (code, other):
        assert same[each].to_ical() == first[each].to_ical(), "nothing changed"
    change(code, day=TODAY + timedelta(days=1))
    moved = events(now=LATER)
    assert moved[code]["UID"] == first[code]["UID"]
    assert (first[code]["SEQUENCE"], moved[code]["SEQUENCE"]) == (0, 1)
    assert moved[code].decoded("LAST-MODIFIED") == LATER.replace(microsecond=0)
    assert moved[code].decoded("DTSTAMP") == moved[code].decoded("LAST-MODIFIED")
    assert moved[code].decoded("CREATED") == first[code].decoded("CREATED")
    assert moved[other].to_ical() == first[other].to_ical()
    change(code, count=13, day=TODAY + timedelta(days=1))
    assert events(now=LATER)[code]["SEQUENCE"] == 2
    uids = [str(event["UID"]) for event in moved.values()]
    assert len(set(uids)) == len(uids)


def test_a_done_job_leaves_and_keeps_its_identifier_if_it_is_taken_back(
    stock: dict[str, str], lay: LayJob
) -> None:
    lots = (LotAmount(stock["grain"], 20, "grain"),)
    code = lay(JobKind.SHAKE, count=20, lots=lots, stage="grain", step="grain",
               room_kind="incubation")  # fmt: skip
    uid = events()[code]["UID"]
    done = recording.done(code, person="ada", client_id=secrets.token_hex(16))
    assert code not in events(now=LATER)
    taking_back.undo(done.entry, person="ada", client_id=secrets.token_hex(16), reason="a slip")
    assert events(now=LATER)[code]["UID"] == uid


def test_a_calendar_without_jobs_still_is_one(farm: FarmBook) -> None:  # noqa: ARG001
    """RFC 5545, section 3.6: an iCalendar object holds one component or more."""
    [event] = icalendar.Calendar.from_ical(calendar_of_jobs(now=NOW)).walk("VEVENT")
    assert event["SUMMARY"] == "No jobs are laid out for these days"
    assert event.decoded("DTSTART") == TODAY


def test_nobodys_name_is_in_it_and_only_their_own_claims_are_told(lay: LayJob) -> None:
    code = lay(JobKind.COOK, fixed_at="09:30", serves=("4 kg for A secret kitchen",),
               why="Because of A secret kitchen.")  # fmt: skip
    planned()
    free = calendar_of_jobs("ben", NOW)
    assert job_store.claim(code, "ben", NOW)
    bens, adas = events("ben", LATER)[code], events("ada", LATER)[code]
    assert "You do it" in bens["DESCRIPTION"]
    assert bens["TRANSP"] == "OPAQUE"
    assert "Somebody does it already" in adas["DESCRIPTION"]
    assert adas["TRANSP"] == "TRANSPARENT"
    assert bens["SEQUENCE"] == adas["SEQUENCE"] == 1
    for data in (free, calendar_of_jobs("ada", LATER), calendar_of_jobs("", LATER)):
        for word in (b"Ben", b"Ada", b"secret"):
            assert word not in data.replace(b"\r\n ", b"")


def test_names_with_signs_of_the_format_come_back_whole(lay: LayJob, farm: FarmBook) -> None:
    describe(replace(farm, farm=replace(farm.farm, name="Łódź; \\ farm, north")))
    what = "jars; 3 \\ 4, and\nmore"
    code = lay(JobKind.TRANSFER, what=what, count=12)
    planned()
    name = r"Łódź\; \\ farm\, north: jobs"  # section 3.3.11
    unfolded = calendar_of_jobs(now=NOW).replace(b"\r\n ", b"").decode().split("\r\n")
    assert {f"NAME:{name}", f"X-WR-CALNAME:{name}"} <= set(unfolded)
    assert events()[code]["SUMMARY"] == f"12 {what}"


def test_a_caution_stands_in_it(lay: LayJob) -> None:
    code = lay(JobKind.COOK, cautions=("steam", "carbon-monoxide"))
    assert "Caution: steam, carbon monoxide." in events()[code]["DESCRIPTION"]


def test_what_is_gone_for_long_is_forgotten(lay: LayJob) -> None:
    code = lay(JobKind.TRANSFER, key="a")
    events()
    job_store.withdraw([code], NOW)
    lay(JobKind.TRANSFER, key="b")
    events(now=NOW + timedelta(minutes=1))
    assert CalendarEvent.objects.count() == 2
    CalendarEvent.objects.filter(job=code).update(changed_at=NOW - timedelta(days=91))
    lay(JobKind.TRANSFER, key="c")
    events(now=NOW + timedelta(minutes=2))
    assert not CalendarEvent.objects.filter(job=code).exists()
