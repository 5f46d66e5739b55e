"""A person's hours on one weekday, as they are written: a number, or from when until when.

A number counts from the hour at which the farm's day begins. A span says both ends by the clock,
``17:00-20:30``; several stand behind commas, ``07:00-11:00, 16:00-18:00``.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import cache
from itertools import pairwise

from pinset.errors import InputError

HOUR = 60
WHOLE_DAY = 24 * HOUR
MOST_SPANS = 4
NEARLY = 1e-6
ACCEPTED = (
    "hours from 0 to 24, counted from the beginning of the farm's day, or from when until when, "
    "such as 17:00-20:30 or 07:00-11:00, 16:00-18:00"
)
_SPAN = re.compile(r"(\d{1,2})[:.](\d{2})\s*[-\u2013]\s*(\d{1,2})[:.](\d{2})")

DayHours = float | str
"""Hours on one weekday: a number [h], or spans in words."""


@dataclass(frozen=True, slots=True, order=True)
class Span:
    """A time of one day, in minutes from its midnight. [min]."""

    begins: int
    ends: int

    @property
    def minutes(self) -> int:
        """How long it is. [min]."""
        return self.ends - self.begins

    def holds(self, begin: int, minutes: float) -> bool:
        """Say whether work that begins then lies within it."""
        return self.begins <= begin and begin + minutes <= self.ends + NEARLY


def clock_words(minute: int) -> str:
    """Return a minute of the day as a clock time: ``07:30``; the end of the day is ``24:00``."""
    return f"{minute // HOUR:02}:{minute % HOUR:02}"


def clock_minute(clock: str) -> int:
    """Return the minute of the day of a clock time such as ``10:30``."""
    hours, minutes = (int(part) for part in clock.split(":")[:2])
    return hours * HOUR + minutes


def is_in_spans(text: str) -> bool:
    """Say whether a text is meant as spans and not as a number."""
    return ":" in text or bool(_SPAN.search(text))


def read_spans(text: str, field: str = "hours") -> tuple[Span, ...]:
    """Return the spans that a text tells, earliest first.

    Raises
    ------
    InputError
        If it is no span by the clock, ends before it begins (as over midnight), or one overlaps
        another.
    """
    parts = [part.strip() for part in text.split(",")]
    if len(parts) > MOST_SPANS:
        raise InputError(field, text, f"at most {MOST_SPANS} times of one day")
    spans = tuple(sorted(_span(part, text, field) for part in parts))
    for first, second in pairwise(spans):
        if second.begins < first.ends:
            said = " and ".join(f"{clock_words(e.begins)}-{clock_words(e.ends)}" for e in spans)
            raise InputError(
                field,
                text,
                "times of one day that do not overlap",
                f"{said} overlap: write them as one, from the first begin to the last end.",
            )
    return spans


def _span(part: str, text: str, field: str) -> Span:
    found = _SPAN.fullmatch(part)
    if found is None:
        raise InputError(field, text, ACCEPTED)
    first, first_minute, last, last_minute = (int(each) for each in found.groups())
    begins, ends = first * HOUR + first_minute, last * HOUR + last_minute
    if max(first_minute, last_minute) >= HOUR or begins >= WHOLE_DAY or ends > WHOLE_DAY:
        raise InputError(field, text, "clock times from 00:00 to 24:00")
    if ends < begins:
        raise InputError(
            field,
            text,
            "a time that ends on its own day",
            f"{part} goes past midnight: write {clock_words(begins)}-24:00 here and "
            f"00:00-{clock_words(ends)} on the next day.",
        )
    if ends == begins:
        raise InputError(field, text, "a time that ends later than it begins")
    return Span(begins, ends)


def spans_text(text: str, field: str = "hours") -> str:
    """Return spans in the one form in which they are kept: ``07:00-11:00, 16:00-18:00``.

    Raises
    ------
    InputError
        As :func:`read_spans`.
    """
    spans = read_spans(text, field)
    return ", ".join(f"{clock_words(each.begins)}-{clock_words(each.ends)}" for each in spans)


@cache
def spans_of(hours: DayHours, day_begins: int) -> tuple[Span, ...]:
    """Return from when until when somebody works on a day; none: not at all.

    ``day_begins`` is the minute from which a number counts. [min]
    """
    if isinstance(hours, str):
        return read_spans(hours)
    minutes = round(hours * HOUR)
    return (Span(day_begins, day_begins + minutes),) if minutes > 0 else ()


@cache
def hours_count(hours: DayHours) -> float:
    """Return how many hours they are. [h]."""
    if isinstance(hours, str):
        return sum(each.minutes for each in read_spans(hours)) / HOUR
    return hours
