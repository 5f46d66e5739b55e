"""The day's jobs by kind of room, cleanest first; last what no hour of today is left for."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence
from datetime import timedelta

from pinset.chain.register import CLEANLINESS, RoomKind
from pinset.services.book_reader import Reader
from pinset.services.promises.late_deliveries import next_working_day
from pinset.services.views import JobView, Section
from pinset.services.words import near_day

TITLES = {
    RoomKind.LABORATORY: ("Laboratory", "first, before any other room"),
    RoomKind.INCUBATION: ("Shelves", ""),
    RoomKind.COLD: ("Cold store", ""),
    RoomKind.STERILISER: ("Steriliser", ""),
    RoomKind.PREPARATION: ("Preparation", ""),
    RoomKind.PACKING: ("Packing", ""),
    RoomKind.GROWING: ("Grow rooms", "last; not back to the laboratory after this"),
}


def by_room(jobs: Sequence[JobView]) -> Iterator[Section]:
    """Yield a section for each kind of room that has jobs."""
    found: dict[RoomKind, list[JobView]] = defaultdict(list)
    for job in jobs:
        found[RoomKind(job.room_kind)].append(job)
    for kind in sorted(found, key=CLEANLINESS.__getitem__):
        yield _section(*TITLES[kind], found[kind])


def passed_on(jobs: Sequence[JobView], reader: Reader) -> tuple[Section, ...]:
    """Return one section for the jobs that pass to the next day of work, if there are any."""
    if not jobs:
        return ()
    return (_section(f"For {next_day(reader)}", "no hours are left for it today", jobs),)


def next_day(reader: Reader) -> str:
    """Return the next day of work as one says it from today: ``tomorrow``, ``Monday``."""
    return near_day(next_working_day(reader.today + timedelta(days=1), reader), reader.today)


def _section(title: str, note: str, jobs: Sequence[JobView]) -> Section:
    said = dict.fromkeys(caution for job in jobs for caution in job.cautions)
    return Section(title, note, tuple(jobs), tuple(said))
