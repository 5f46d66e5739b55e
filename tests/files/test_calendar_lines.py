"""A calendar against RFC 5545, section by section, and against the icalendar library."""

from __future__ import annotations

import re
from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

import icalendar
import pytest
from hypothesis import given
from hypothesis import strategies as st

from pinset.files.calendar_lines import Event, calendar_bytes, folded

HOUR = timedelta(hours=1)
MADE = datetime(2026, 3, 12, 6, 0, tzinfo=UTC)
CHANGED = datetime(2026, 3, 12, 9, 30, tzinfo=UTC)
VIENNA = ZoneInfo("Europe/Vienna")
TRICKY = "12 jars; rye, \\ and a\nsecond line"
EVENT = Event(
    uid="93350ac5-64c6-49fa-bdb0-8e69dd031c24",
    sequence=3,
    made_at=MADE,
    changed_at=CHANGED,
    begins=datetime(2026, 7, 1, 9, 30, tzinfo=VIENNA),
    lasts=timedelta(minutes=33),
    summary=TRICKY,
    description="Łódź 🍄 " * 20,
    location="Kettle",
    category="Steriliser, hot",
    url="http://farm.lan:8000/jobs/J17/",
    is_busy=True,
)
ANY_TEXT = st.text(st.characters(exclude_categories=("Cs",)), max_size=200)


def written(*events: Event) -> bytes:
    return calendar_bytes("A farm", events, refresh=HOUR)


def lines(data: bytes) -> list[str]:
    """Unfold as section 3.1 says: a line break with a blank behind it is taken out."""
    text = data.replace(b"\r\n ", b"").replace(b"\r\n\t", b"").decode("utf-8")
    assert text.endswith("\r\n")
    return text.removesuffix("\r\n").split("\r\n")


def test_3_1_lines_end_with_crlf_and_are_no_longer_than_75_octets() -> None:
    data = written(EVENT)
    assert data.count(b"\n") == data.count(b"\r\n") == data.count(b"\r")
    for line in data.split(b"\r\n"):
        assert len(line) <= 75
        line.decode("utf-8")  # no sign is cut in two


def test_3_1_an_octet_more_than_75_is_folded() -> None:
    assert folded("X" * 75) == b"X" * 75 + b"\r\n"
    assert folded("X" * 76) == b"X" * 75 + b"\r\n X\r\n"
    assert folded("X" * 74 + "é") == b"X" * 74 + b"\r\n \xc3\xa9\r\n"


def test_3_3_11_text_is_escaped() -> None:
    [summary] = [line for line in lines(written(EVENT)) if line.startswith("SUMMARY:")]
    assert summary == r"SUMMARY:12 jars\; rye\, \\ and a\nsecond line"


def test_3_4_and_3_6_the_object_is_one_calendar_with_its_two_required_properties() -> None:
    said = lines(written(EVENT))
    assert (said[0], said[-1]) == ("BEGIN:VCALENDAR", "END:VCALENDAR")
    before = said[: said.index("BEGIN:VEVENT")]
    assert [line for line in before if line.startswith("PRODID:")] == ["PRODID:-//pinset//jobs//EN"]
    assert before.count("VERSION:2.0") == 1
    assert not any(line.startswith("METHOD") for line in said), "3.7.2: none is asked for"


def test_3_6_1_an_event_has_each_property_once() -> None:
    said = lines(written(EVENT))
    inside = said[said.index("BEGIN:VEVENT") + 1 : said.index("END:VEVENT")]
    names = [re.split("[:;]", line)[0] for line in inside]
    assert len(set(names)) == len(names)
    assert {"UID", "DTSTAMP", "DTSTART"} <= set(names)
    assert not {"DTEND", "DURATION"} <= set(names)


def test_3_3_5_hours_are_in_utc_also_in_summer() -> None:
    """In July Vienna is two hours ahead of UTC, in January one (IANA time zones)."""
    winter = Event("w", 0, MADE, MADE, datetime(2026, 1, 7, 9, 30, tzinfo=VIENNA), HOUR, "x")
    said = lines(written(EVENT, winter))
    assert "DTSTART:20260701T073000Z" in said
    assert "DTSTART:20260107T083000Z" in said
    assert "DURATION:PT33M" in said


def test_3_6_1_a_day_has_a_date_and_no_end() -> None:
    said = lines(written(Event("d", 0, MADE, MADE, date(2026, 3, 13), timedelta(), "x")))
    assert "DTSTART;VALUE=DATE:20260313" in said
    assert not any(line.startswith(("DTEND", "DURATION")) for line in said)
    assert "TRANSP:TRANSPARENT" in said


def test_3_8_7_what_says_when_it_changed() -> None:
    said = lines(written(EVENT))
    assert "SEQUENCE:3" in said
    assert "DTSTAMP:20260312T093000Z" in said, "3.8.7.2: without METHOD the last revision"
    assert "LAST-MODIFIED:20260312T093000Z" in said
    assert "CREATED:20260312T060000Z" in said


def test_another_program_reads_the_same() -> None:
    calendar = icalendar.Calendar.from_ical(written(EVENT))
    [event] = calendar.walk("VEVENT")
    assert event["SUMMARY"] == TRICKY
    assert event["DESCRIPTION"] == EVENT.description
    assert event["UID"] == EVENT.uid
    assert event["SEQUENCE"] == 3
    assert event.decoded("DTSTART") == EVENT.begins
    assert event.decoded("DURATION") == timedelta(minutes=33)
    assert event["CATEGORIES"].cats == ["Steriliser, hot"]
    assert event["URL"] == EVENT.url
    assert not event.errors


def test_the_same_events_are_the_same_bytes() -> None:
    assert written(EVENT) == written(EVENT)


@given(ANY_TEXT)
def test_any_text_comes_back_without_its_controls(text: str) -> None:
    data = written(Event("u", 0, MADE, MADE, date(2026, 3, 13), timedelta(), text))
    assert all(len(line) <= 75 for line in data.split(b"\r\n"))
    [event] = icalendar.Calendar.from_ical(data).walk("VEVENT")
    plain = text.replace("\r\n", "\n").replace("\r", "\n")
    wanted = "".join(s for s in plain if s in "\n\t" or not (ord(s) < 0x20 or ord(s) == 0x7F))
    assert str(event["SUMMARY"]) == wanted


@pytest.mark.parametrize("minutes", [0.0, 0.4, 1.0, 90.0])
def test_3_3_6_a_length_is_never_nothing(minutes: float) -> None:
    begins = datetime(2026, 7, 1, 9, 30, tzinfo=UTC)
    said = lines(written(Event("u", 0, MADE, MADE, begins, timedelta(minutes=minutes), "x")))
    assert f"DURATION:PT{max(1, round(minutes))}M" in said
