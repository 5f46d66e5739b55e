"""Readings of a watched cook taken from the file its data logger writes into."""

from __future__ import annotations

import hashlib
from dataclasses import dataclass
from datetime import UTC, datetime
from functools import lru_cache
from pathlib import Path

from django.conf import settings

from pinset.errors import InputError, PinsetError, Severity
from pinset.farm import watch_store
from pinset.farm.watch_store import ReadingRow, WatchRow
from pinset.files.logger.growing_log import MOST_BYTES, Grown, newest_file, read_growing
from pinset.science.steam.gauge import atmosphere
from pinset.services.clock import as_shown
from pinset.services.cooks.watch.file_clock import AHEAD, clock_off, heated_by
from pinset.services.cooks.watch.limits import checked
from pinset.services.cooks.watch.records import What

SOURCE = "file"
MOST = 4  # problems that are said


@dataclass(frozen=True, slots=True)
class Feed:
    """The file a cook is watched by."""

    folder: str
    file: str  # name; empty: there is none
    last_at: datetime | None  # its last reading
    problems: tuple[str, ...]
    is_clock_off: bool = False  # of its logger: no end is promised by it
    heated_since: datetime | None = None  # by the file, before what counts; None: nothing of it


def folder_of(steriliser: str) -> Path:
    """Return where the logger of a steriliser writes: its own folder if there is one."""
    base = Path(settings.LOGGER_FOLDER)
    own = base / steriliser
    return own if steriliser and own.is_dir() else base


def take_in(row: WatchRow, now: datetime, *, zone: str, altitude_m: float) -> Feed:
    """Keep what a logger wrote since the last look, and return how its file stands."""
    folder = folder_of(row.steriliser)
    path: Path | None = None
    try:
        path = newest_file(folder)
        if path is None:
            return Feed(str(folder), "", None, ())
        grown = _grown(path, zone, float(atmosphere(altitude_m)))
        written = _written_at(path)
    except (InputError, OSError) as problem:
        name = path.name if path else ""
        why = (problem.strerror if isinstance(problem, OSError) else None) or str(problem)
        return Feed(str(folder), name, None, (f"The logger's file cannot be read: {why}",))
    problems = [each.sentence for each in grown.findings if each.severity is not Severity.NOTE]
    last = grown.rows[-1].at if grown.rows else None
    off = clock_off(grown, row, min(now, as_shown(written)))
    if off:
        problems.insert(0, off)
    if last is not None and last > now + AHEAD:
        return Feed(str(folder), grown.file, last, tuple(problems[:MOST]), is_clock_off=True)
    new, refused = _new(grown, row, watch_store.span_from(row.code, SOURCE, grown.file))
    problems += refused
    if new:
        try:
            watch_store.add(row.code, new, now)
        except PinsetError as problem:
            problems.append(str(problem))
    return Feed(
        str(folder),
        grown.file,
        last,
        tuple(problems[:MOST]),
        is_clock_off=bool(off),
        heated_since=None if off else heated_by(grown.rows, row),
    )


def _written_at(path: Path) -> datetime:
    return datetime.fromtimestamp(path.stat().st_mtime, UTC)


def _new(
    grown: Grown, row: WatchRow, known: tuple[datetime, datetime] | None
) -> tuple[list[ReadingRow], tuple[str, ...]]:
    new: list[ReadingRow] = []
    refused: dict[str, str] = {}
    for each in grown.rows:
        if each.at < row.began_at or (known is not None and known[0] <= each.at <= known[1]):
            continue
        stamp = f"{grown.file}\0{each.at.isoformat()}".encode()
        client_id = hashlib.sha256(stamp).hexdigest()[:32]
        for what in What:
            value = getattr(each, what.value)
            if value is None:
                continue
            try:
                checked(what, value)
            except InputError as problem:
                refused[what.value] = f"A reading is left out. {problem}"
                continue
            new.append(ReadingRow(client_id, each.at, what.value, value, SOURCE, grown.file))
    return new, tuple(refused.values())


def _grown(path: Path, zone: str, atmosphere_kpa: float) -> Grown:
    state = path.stat()
    if state.st_size > MOST_BYTES:
        most = f"up to {MOST_BYTES / 1e6:.0f} MB: let the logger begin a new file for a cook"
        raise InputError(path.name, f"{state.st_size / 1e6:.0f} MB", most)
    return _read(path, state.st_mtime_ns, state.st_size, zone, atmosphere_kpa)


@lru_cache(maxsize=8)
def _read(path: Path, written_ns: int, size: int, zone: str, atmosphere_kpa: float) -> Grown:
    """Return a file as it was when it was written last; remembered until it grows."""
    del size
    return read_growing(
        path.read_bytes(),
        path.name,
        zone=zone,
        written_at=datetime.fromtimestamp(written_ns / 1e9, UTC),
        atmosphere_kpa=atmosphere_kpa,
    )
