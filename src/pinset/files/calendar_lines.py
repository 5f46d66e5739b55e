"""Writes a calendar as RFC 5545 has it: content lines, folded, escaped, ended by CRLF.

Section numbers here are those of RFC 5545; names and how often to look again are RFC 7986, with the
older names that programs read as well.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta

MOST_OCTETS = 75
"""Of a line, without its line break; section 3.1."""

PRODUCT = "-//pinset//jobs//EN"
_ESCAPED = str.maketrans({"\\": "\\\\", ";": "\\;", ",": "\\,", "\n": "\\n"})


@dataclass(frozen=True, slots=True)
class Event:
    """One thing in a calendar."""

    uid: str
    sequence: int
    made_at: datetime  # aware
    changed_at: datetime  # aware
    begins: datetime | date  # aware; a date: all of that day
    lasts: timedelta  # of an hour; nothing of a day
    summary: str
    description: str = ""
    location: str = ""
    category: str = ""
    url: str = ""
    is_busy: bool = False


def calendar_bytes(
    name: str, events: Iterable[Event], *, description: str = "", refresh: timedelta
) -> bytes:
    r"""Return a calendar; the same events give the same bytes.

    Parameters
    ----------
    name : str
        What programs call it.
    events : iterable of Event
        At least one: a calendar without any component is none (section 3.6).
    refresh : timedelta
        How long a program is asked to wait before it looks again.

    Examples
    --------
    >>> from datetime import UTC, date, datetime, timedelta
    >>> noon = datetime(2026, 3, 12, 11, tzinfo=UTC)
    >>> event = Event("u", 0, noon, noon, date(2026, 3, 13), timedelta(), "12 jars, rye")
    >>> lines = calendar_bytes("Farm", [event], refresh=timedelta(hours=1)).split(b"\r\n")
    >>> [line for line in lines if line.startswith((b"DTSTART", b"SUMMARY"))]
    [b'DTSTART;VALUE=DATE:20260313', b'SUMMARY:12 jars\\, rye']
    """
    lines = [
        "BEGIN:VCALENDAR",
        f"PRODID:{PRODUCT}",
        "VERSION:2.0",
        "CALSCALE:GREGORIAN",
        f"NAME:{_text(name)}",
        f"X-WR-CALNAME:{_text(name)}",
        *([f"DESCRIPTION:{_text(description)}"] if description else []),
        f"REFRESH-INTERVAL;VALUE=DURATION:{_duration(refresh)}",
        f"X-PUBLISHED-TTL:{_duration(refresh)}",
        *(line for event in events for line in _event(event)),
        "END:VCALENDAR",
    ]
    return b"".join(folded(line) for line in lines)


def _event(event: Event) -> Iterator[str]:
    yield "BEGIN:VEVENT"
    yield f"UID:{_text(event.uid)}"
    yield f"DTSTAMP:{_moment(event.changed_at)}"  # no METHOD: when it was last revised, 3.8.7.2
    yield f"CREATED:{_moment(event.made_at)}"
    yield f"LAST-MODIFIED:{_moment(event.changed_at)}"
    yield f"SEQUENCE:{event.sequence}"
    if isinstance(event.begins, datetime):
        yield f"DTSTART:{_moment(event.begins)}"
        yield f"DURATION:{_duration(event.lasts)}"
    else:
        yield f"DTSTART;VALUE=DATE:{event.begins:%Y%m%d}"  # without an end: that day, 3.6.1
    yield f"SUMMARY:{_text(event.summary)}"
    for name, text in (("DESCRIPTION", event.description), ("LOCATION", event.location)):
        if text:
            yield f"{name}:{_text(text)}"
    if event.category:
        yield f"CATEGORIES:{_text(event.category)}"
    if event.url:
        yield f"URL:{event.url}"
    yield f"TRANSP:{'OPAQUE' if event.is_busy else 'TRANSPARENT'}"
    yield "END:VEVENT"


def _moment(at: datetime) -> str:
    """Return a moment in UTC, form 2 of section 3.3.5: it needs no time zone of its own."""
    return f"{at.astimezone(UTC):%Y%m%dT%H%M%SZ}"


def _duration(lasts: timedelta) -> str:
    """Return a length of time, section 3.3.6, in whole minutes and at least one."""
    return f"PT{max(1, round(lasts.total_seconds() / 60))}M"


def _text(text: str) -> str:
    """Return a text as a value, section 3.3.11; controls cannot stand in it (section 3.1)."""
    lines = text.replace("\r\n", "\n").replace("\r", "\n").translate(_ESCAPED)
    return "".join(sign for sign in lines if sign == "\t" or not _is_control(sign))


def _is_control(sign: str) -> bool:
    return ord(sign) < 0x20 or ord(sign) == 0x7F  # noqa: PLR2004  (CONTROL of section 3.1)


def folded(line: str) -> bytes:
    r"""Return a content line in octets, folded between signs, with its line break.

    Examples
    --------
    >>> folded("SUMMARY:Łódź")
    b'SUMMARY:\xc5\x81\xc3\xb3d\xc5\xba\r\n'
    >>> folded("X" * 76)[-7:]
    b'X\r\n X\r\n'
    """
    parts, part = list[bytes](), b""
    for sign in line:
        octets = sign.encode("utf-8", errors="replace")
        if len(part) + len(octets) > MOST_OCTETS:
            parts.append(part)
            part = b" "
        part += octets
    return b"\r\n".join((*parts, part)) + b"\r\n"
