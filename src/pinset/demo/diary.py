"""The entries of the simulated days, written as people at the farm would write them."""

from __future__ import annotations

from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

from pinset.demo.nature import Nature
from pinset.services.answers.history import NewEntry, Sheet, Tap

WRITTEN_DOWN_AT = (time(12, 45), time(19, 0))
"""Local times at which the day's entries reach the ledger: tablets send when they have a signal."""


def minute_of(text: str) -> int:
    """Return the minute of the day of a clock time such as ``10:30``."""
    hours, minutes = text.split(":")
    return int(hours) * 60 + int(minutes)


class Diary:
    """Collects one day's entries and hands them over in the order they were written down."""

    def __init__(self, nature: Nature, time_zone: str) -> None:
        self.nature = nature
        self.zone = ZoneInfo(time_zone)
        self.day = date.min
        self._entries: list[tuple[datetime, int, NewEntry]] = []
        self._logs: dict[str, tuple[str, bytes]] = {}  # by the entry that speaks of it

    def moment(self, minute: float) -> datetime:
        """Return a moment of the day, given as a minute of local time."""
        clock = time(int(minute) // 60 % 24, int(minute) % 60)
        second = timedelta(seconds=self.nature.whole(0, 59))
        return datetime.combine(self.day, clock, self.zone).astimezone(UTC) + second

    def tap(self, minute: float, person: str, note: str = "") -> Tap:
        """Return who writes something down, and when it happened."""
        return Tap(self.nature.client_id(), self.moment(minute), person, note=note)

    def quiet_tap(self, clock: time, person: str, client_id: str) -> Tap:
        """Return a tap at a clock time that leaves the draws of everything else as they are."""
        moment = datetime.combine(self.day, clock, self.zone).astimezone(UTC)
        return Tap(client_id, moment, person)

    def add(self, entry: NewEntry) -> str:
        """Keep an entry of the day and return its client id."""
        self._entries.append((entry.happened_at, len(self._entries), entry))
        return entry.client_id

    def add_with_log(self, entry: NewEntry, name: str, content: bytes) -> str:
        """Keep an entry of the day that speaks of a logger's file, and the file."""
        self._logs[entry.client_id] = (name, content)
        return self.add(entry)

    def close(self) -> tuple[Sheet, ...]:
        """Return the day's entries in sheets and begin an empty day."""
        waiting = [entry for _, _, entry in sorted(self._entries, key=lambda each: each[:2])]
        self._entries = []
        sheets = []
        for clock in WRITTEN_DOWN_AT:
            at = datetime.combine(self.day, clock, self.zone).astimezone(UTC)
            sent = tuple(entry for entry in waiting if entry.happened_at < at)
            if sent:
                logs = tuple(self._logs.pop(e.client_id) for e in sent if e.client_id in self._logs)
                sheets.append(Sheet(at, sent, logs))
                waiting = waiting[len(sent) :]
        return tuple(sheets)
