"""`pinset week` and `pinset calendar`: printed, for programs, on paper, for calendar programs."""

from __future__ import annotations

from pathlib import Path

import icalendar
from pypdf import PdfReader

from cli.conftest import Terminal


def test_the_week_for_people(pinset: Terminal) -> None:
    said = pinset("week")
    assert "Thursday 12 March" in said
    assert "Wednesday 18 March" in said
    assert "Thursday 19 March" not in said


def test_the_week_for_programs(pinset: Terminal) -> None:
    week = pinset.json("week")
    assert [day["day"] for day in week["days"]] == [f"2026-03-{n}" for n in range(12, 19)]
    today = {job["job"] for job in pinset.json("today")}
    first = week["days"][0]
    laid = {job["job"] for place in first["places"] for job in place["jobs"]}
    assert laid == today
    assert set(first) == {"day", "title", "is_laid", "is_day_off", "note", "places", "expected"}


def test_the_week_on_paper(pinset: Terminal, tmp_path: Path) -> None:
    file = tmp_path / "week.pdf"
    assert "written" in pinset("week", "--pdf", file, "--paper", "letter")
    page = PdfReader(file).pages[0]
    assert float(page.mediabox.width) == 612.0
    assert "12 March to 18 March" in page.extract_text()
    assert "cannot be written" in pinset("week", "--pdf", tmp_path / "no" / "week.pdf", status=1)


def test_the_calendar(pinset: Terminal, tmp_path: Path) -> None:
    file = tmp_path / "jobs.ics"
    assert "written" in pinset("calendar", file)
    events = icalendar.Calendar.from_ical(file.read_bytes()).walk("VEVENT")
    days = pinset.json("week")["days"]
    assert len(events) == sum(len(place["jobs"]) for day in days for place in day["places"])
    assert "cannot be written" in pinset("calendar", tmp_path / "no" / "jobs.ics", status=1)
