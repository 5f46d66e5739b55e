"""Readings a sensor sends with the farm's key: who may, how often, and to which cook."""

from __future__ import annotations

import hashlib
import hmac
import secrets
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any
from zoneinfo import ZoneInfo

from pinset.errors import InputError, PinsetError, RefusedError
from pinset.farm import people as attempts
from pinset.farm import watch_store
from pinset.farm.watch_store import WatchRow
from pinset.services.clock import now_utc
from pinset.services.cooks.watch import watching as cook_watching
from pinset.services.cooks.watch.limits import amount_of
from pinset.services.cooks.watch.records import What
from pinset.services.plans import planning_day

NAME = "(sensor)"  # under which wrong keys are counted; no person can have it
MOST_WRONG = 30
WINDOW = timedelta(minutes=15)
MOST_A_MINUTE = 600  # values as they are read
MOST_HELD_A_MINUTE = 3000  # values of before; counted apart, so that they never stop the newest
HELD = "held"  # by whom such a value is noted
NEW = timedelta(minutes=2)  # a reading no older, sent alone, is the newest
MINUTE = timedelta(minutes=1)
MOST_AT_ONCE = 200  # readings
KEY_BYTES = 24
_ACCEPTED = {
    "chamber_c": (What.CHAMBER, "C"),
    "chamber_f": (What.CHAMBER, "F"),
    "core_c": (What.CORE, "C"),
    "core_f": (What.CORE, "F"),
    "gauge_bar": (What.GAUGE, "bar"),
    "gauge_psi": (What.GAUGE, "psi"),
}
_BESIDE = frozenset({"at", "id", "cook", "steriliser"})


class WrongKeyError(PinsetError):
    """The key is missing or is not this farm's."""


class TooManyError(PinsetError):
    """Too many wrong keys from an address, or too many readings in a minute."""

    def __init__(self, message: str, wait_s: int = 60) -> None:
        """Keep after how many seconds it may be tried again."""
        super().__init__(message)
        self.wait_s = wait_s


@dataclass(frozen=True, slots=True)
class Taken:
    """What became of a post."""

    cook: str  # code of the watched cook
    new: int  # values that were not there before


def new_key(worker: str) -> str:
    """Make the farm's key anew and return it; it is shown once and only its digest is kept."""
    key = secrets.token_urlsafe(KEY_BYTES)
    watch_store.set_key(_digest(key), worker, now_utc())
    return key


def no_key(worker: str) -> None:
    """Let no sensor post any more."""
    watch_store.set_key("", worker, now_utc())


def key_since() -> datetime | None:
    """Return since when there is a key, None: there is none."""
    found = watch_store.key()
    return found[1] if found else None


def let_in(key: str, address: str) -> None:
    """Let a sensor in by its key.

    Raises
    ------
    WrongKeyError
        If it is not this farm's.
    TooManyError
        If too many wrong keys came from there.
    """
    now = now_utc()
    _, wrong = attempts.refused_since(NAME, address, now - WINDOW)
    if wrong >= MOST_WRONG:
        raise TooManyError(
            "Too many wrong keys. Nothing was written; wait a quarter of an hour.",
            int(WINDOW.total_seconds()),
        )
    known = watch_store.key()
    if known is None or not hmac.compare_digest(known[0], _digest(key)):
        attempts.note_refusal(NAME, address, now, keep=timedelta(days=1))
        raise WrongKeyError("The key is missing or not this farm's. Nothing was written.")


def take(sent: Any) -> Taken:
    """Keep what a sensor sent: one reading, or a list of them.

    Parameters
    ----------
    sent : mapping or list of mappings
        Each with one or more of ``chamber_c``, ``core_c``, ``gauge_bar`` (or ``chamber_f``,
        ``core_f``, ``gauge_psi``); if wanted ``at`` (ISO 8601), ``id`` (32 hexadecimal signs, so
        that a reading sent again counts once), ``cook`` or ``steriliser``.

    Raises
    ------
    InputError
        If it is none of that, or a value is out of range. Readings before it in a list are kept.
    RefusedError
        If no cook is watched, or it is not clear which.
    TooManyError
        If too many readings came within a minute. Those of before are counted apart.
    """
    readings = sent if isinstance(sent, list) else [sent]
    if not 0 < len(readings) <= MOST_AT_ONCE:
        raise InputError("readings", len(readings), f"1 to {MOST_AT_ONCE} at once")
    by = HELD if len(readings) > 1 or _is_old(readings[0]) else ""
    _not_too_many(by)
    cook, new = "", 0
    for each in readings:
        if not isinstance(each, dict):
            raise InputError("reading", type(each).__name__, "an object with names and numbers")
        cook = _cook(each).code
        values = _values(each)
        at = _moment(each.get("at"))
        new += cook_watching.post(cook, _client_id(each, at), values, at=at, by=by)
    return Taken(cook, new)


def _is_old(sent: Any) -> bool:
    at = _moment(sent.get("at")) if isinstance(sent, dict) else None
    return at is not None and at < now_utc() - NEW


def _not_too_many(by: str) -> None:
    came = watch_store.recorded_since(cook_watching.SENSOR, now_utc() - MINUTE, by)
    if by == HELD and came >= MOST_HELD_A_MINUTE:
        raise TooManyError(
            f"More than {MOST_HELD_A_MINUTE} values of before within a minute. Nothing of these "
            "was written: keep them, send the newest reading alone as before, and these again in "
            "a minute."
        )
    if by != HELD and came >= MOST_A_MINUTE:
        raise TooManyError(
            f"More than {MOST_A_MINUTE} values within a minute. Nothing was written; one reading "
            "every ten seconds is plenty."
        )


def _cook(sent: Mapping[str, Any]) -> WatchRow:
    going = watch_store.going_on()
    if cook := str(sent.get("cook", "")):
        going = tuple(row for row in going if row.code == cook)
    if steriliser := str(sent.get("steriliser", "")):
        going = tuple(row for row in going if row.steriliser == steriliser)
    if not going:
        raise RefusedError("No such cook is watched now.", "Begin one on the Heat page.")
    if len(going) > 1:
        codes = ", ".join(sorted(row.code for row in going))
        raise RefusedError(f"Several cooks are watched: {codes}.", "Say which with cook.")
    return going[0]


def _values(sent: Mapping[str, Any]) -> dict[What, float]:
    found: dict[What, float] = {}
    for name, value in sent.items():
        if name in _BESIDE or value is None:
            continue
        if name not in _ACCEPTED:
            raise InputError(name, value, ", ".join([*_ACCEPTED, *sorted(_BESIDE)]))
        what, unit = _ACCEPTED[name]
        if isinstance(value, bool) or not isinstance(value, (int, float, str)):
            raise InputError(name, value, "a number")
        found[what] = amount_of(what, str(value), unit, name)
    return found


def _moment(given: Any) -> datetime | None:
    if given is None:
        return None
    try:
        at = datetime.fromisoformat(str(given))
    except ValueError:
        raise InputError("at", given, "such as 2026-03-12T10:30:00+01:00") from None
    if at.tzinfo is None:
        at = at.replace(tzinfo=ZoneInfo(planning_day.farm_book()[0].farm.time_zone))
    return at


def _client_id(sent: Mapping[str, Any], at: datetime | None) -> str:
    """Return the id a sensor gave, else one of its moment: sent again it is the same."""
    given = sent.get("id")
    if given is None:
        return _digest(f"sensor {at.isoformat()}")[:32] if at else secrets.token_hex(16)
    text = str(given)
    if len(text) != 32 or set(text) - set("0123456789abcdef"):  # noqa: PLR2004
        raise InputError("id", given, "32 hexadecimal signs, lower case")
    return text


def _digest(key: str) -> str:
    return hashlib.sha256(key.encode()).hexdigest()
