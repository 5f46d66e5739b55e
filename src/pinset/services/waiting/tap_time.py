"""When a tap happened that waited on a device whose clock may be wrong.

The device says what its clock showed at the tap and what it shows while sending. The farm's clock
is the one that counts: how long the tap waited is the difference of the device's two readings.

A tap that is refused goes back with a note of its times; opened and sent again it carries the note,
so that it still happened when it was tapped.
"""

from __future__ import annotations

from contextlib import AbstractContextManager
from datetime import UTC, datetime, timedelta

from pinset.errors import InputError
from pinset.farm import waited
from pinset.farm.waited import Waited
from pinset.services.answers.when_said import refuse_ahead_of
from pinset.services.clock import as_shown, farm_time, machine_now, now_utc
from pinset.services.words import plural

LONGEST_WAIT = timedelta(days=60)
"""A tap that waited longer is not believed; the pages ask about what is longer ago, too."""

SAID_ABOVE = timedelta(minutes=2)
"""A difference between the clocks above this is said."""

ROUNDING = timedelta(seconds=2)
"""Between two readings of the same clock."""

HINT = "Open the form again and say when it happened."

UNKNOWN = "-"
"""In a note, in place of the moment by the farm's clock: the readings do not tell it."""

Tap = Waited
"""When a tap happened that waited, by both clocks."""


def read_tap(tapped: str, sent: str) -> Waited:
    """Return when a tap happened by the farm's clock.

    Parameters
    ----------
    tapped, sent : str
        What the device's clock showed at the tap and while sending: ISO 8601 with an offset.

    Raises
    ------
    InputError
        If one of them is no moment, the tap lies ahead of its sending, or waited too long.
    """
    now = machine_now()
    by_device, sending = _moment("tapped", tapped), _moment("sent", sent)
    waiting = sending - by_device
    if waiting < -ROUNDING:
        raise InputError(
            "moment of the tap",
            tapped,
            "a moment before it was sent: this device's clock was set back meanwhile",
            HINT,
        )
    if waiting > LONGEST_WAIT:
        raise InputError(
            "moment of the tap",
            tapped,
            f"at most {plural(LONGEST_WAIT.days, 'day')} before it was sent",
            HINT,
        )
    at = as_shown(now - max(waiting, timedelta(0)))
    return Waited(at, by_device, sending, ahead=sending - now)


def note_of(tap: Waited, time_zone: str) -> str:
    """Return a note of a tap's times, for a device whose tap was refused.

    Four words: the tap and its sending by the device's clock, how many seconds that ran ahead of
    the farm's, and the tap by the farm's clock.
    """
    return _note(tap.tapped, tap.sent, tap.ahead, farm_time(tap.at, time_zone).isoformat())


def note_without_moment(tapped: str, sent: str) -> str:
    """Return a note of a tap whose moment is refused: somebody has to say when it was.

    Empty if one of the readings is no moment.
    """
    try:
        by_device, sending = _moment("tapped", tapped), _moment("sent", sent)
    except InputError:
        return ""
    return _note(by_device, sending, sending - machine_now(), UNKNOWN)


def read_note(note: str, typed: datetime | None, time_zone: str) -> Waited:
    """Return the times of a tap that was refused and is sent again.

    Parameters
    ----------
    note : str
        What :func:`note_of` or :func:`note_without_moment` gave.
    typed : datetime or None
        When it happened, if somebody said so. To the minute: within the minute of the tap it is the
        tap.
    time_zone : str
        The farm's.

    Raises
    ------
    InputError
        If the note is not readable, or the moment is unknown or lies ahead.
    """
    words = note.split()
    if len(words) != len(("tapped", "sent", "ahead", "at")):
        raise InputError("note of the tap", note[:40], "as the farm gave it", HINT)
    by_device, sending = _moment("tapped", words[0]), _moment("sent", words[1])
    at = typed
    if words[3] != UNKNOWN:
        tapped_at = _moment("at", words[3])
        if typed is None or typed == tapped_at.replace(second=0, microsecond=0):
            at = tapped_at
    if at is None:
        raise InputError("at", "", "the day and time at which it happened", HINT)
    refuse_ahead_of(at, now_utc(), time_zone)
    return Waited(at, by_device, sending, ahead=_seconds(words[2]))


def _note(tapped: datetime, sent: datetime, ahead: timedelta, at: str) -> str:
    readings = (each.isoformat(timespec="milliseconds") for each in (tapped, sent))
    return " ".join((*readings, str(round(ahead.total_seconds())), at))


def _seconds(given: str) -> timedelta:
    try:
        return timedelta(seconds=int(given))
    except (ValueError, OverflowError):
        raise InputError("seconds ahead", given[:40], "a whole number of seconds") from None


def tapped_before(tap: Waited) -> AbstractContextManager[None]:
    """Take what is recorded meanwhile for what was tapped then."""
    return waited.tapped_before(tap)


def tap_said(tap: Waited, time_zone: str) -> str:
    """Return for when a tap that was sent again is written down."""
    return f"Written down for {farm_time(tap.at, time_zone):%Y-%m-%d %H:%M}, when it was tapped."


def clock_said(tap: Waited, time_zone: str) -> str:
    """Return what there is to say of the device's clock; empty if it is right enough."""
    if abs(tap.ahead) <= SAID_ABOVE:
        return ""
    way = "ahead of" if tap.ahead > timedelta(0) else "behind"
    return (
        f"The clock of this device is {_long(abs(tap.ahead))} {way} the farm's. "
        f"What was tapped here is written down by the farm's clock, the last for "
        f"{farm_time(tap.at, time_zone):%Y-%m-%d %H:%M}. Set the clock of the device right."
    )


def _moment(field: str, given: str) -> datetime:
    try:
        moment = datetime.fromisoformat(given)
        return _aware(moment).astimezone(UTC)
    except (ValueError, OverflowError):
        raise InputError(
            f"moment {field}", given[:40], "a moment such as 2026-03-12T07:40:00Z"
        ) from None


def _aware(moment: datetime) -> datetime:
    if moment.tzinfo is None:
        raise ValueError("without an offset")
    return moment


def _long(span: timedelta) -> str:
    minutes = round(span.total_seconds() / 60)
    hours, rest = divmod(minutes, 60)
    days, hours = divmod(hours, 24)
    if days:
        return f"{plural(days, 'day')} {plural(hours, 'hour')}"
    return f"{plural(hours, 'hour')} {plural(rest, 'minute')}" if hours else plural(rest, "minute")
