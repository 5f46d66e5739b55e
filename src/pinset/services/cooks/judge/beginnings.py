"""Logs kept with a cook that are the beginning of another: the same readings at the same stamps.

A log handed in before its cook was over says less than the whole one, which takes its place. All
limits are the code's own choice: no source.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from math import isnan

from pinset.errors import InputError
from pinset.farm import log_store
from pinset.farm.queries.cooks import Judged
from pinset.files.logger.corrections import corrected
from pinset.files.logger.reader import read_log
from pinset.files.logger.records import CookLog, LogLayout, Use

FEWEST = 10  # readings that are the same
LAST = 3  # at the end of the shorter one, that may have been written in halves
SAME_K, SAME_S = 0.02, 1.0
MOVES_K = 5.0  # through which they go: probes that stand still are alike
MOSTLY = 0.9  # of the readings of a column are there in both


def beginnings_of(
    log: CookLog, digest: str, others: Iterable[Judged], changes: Mapping[str, str]
) -> tuple[Judged, ...]:
    """Return those of the verdicts on a cook whose log is the beginning of this one.

    Parameters
    ----------
    log, digest : CookLog, str
        The log as it was read, and the SHA-256 of its file.
    others : iterable of Judged
        Verdicts on its cook.
    changes : mapping
        What is said by hand of how its file is to be read; the others are read in the same way.
    """
    return tuple(
        each
        for each in others
        if (kept := str(each.details.get("log", "")))
        and kept != digest
        and (begun := _read(kept, changes)) is not None
        and is_beginning(begun, log)
    )


def _read(digest: str, changes: Mapping[str, str]) -> CookLog | None:
    """Return a kept log, None if it is not there or cannot be read in that way."""
    found = log_store.stored(digest)
    if found is None:
        return None
    name, data = found
    try:
        return read_log(data, name, layout=corrected(LogLayout(), changes))
    except InputError:
        return None  # another kind of file: no beginning of this one


def is_beginning(begun: CookLog, whole: CookLog) -> bool:
    """Return whether a log holds what a longer one begins with, probe by probe."""
    count = len(begun.seconds) - LAST
    if count < FEWEST or len(whole.seconds) <= len(begun.seconds) or begun.start != whole.start:
        return False
    stamps = zip(begun.seconds[:count].tolist(), whole.seconds[:count].tolist(), strict=True)
    if any(abs(a - b) > SAME_S for a, b in stamps):
        return False
    own = {(each.index, each.name): each for each in whole.columns}
    moved = 0.0
    for column in begun.columns:
        if column.use is not Use.TEMPERATURE:
            continue
        other = own.get((column.index, column.name))
        if other is None:
            return False
        pairs = list(
            zip(column.values[:count].tolist(), other.values[:count].tolist(), strict=True)
        )
        both = [(a, b) for a, b in pairs if not isnan(a) and not isnan(b)]
        if len(both) < MOSTLY * sum(not isnan(a) for a, _ in pairs):
            return False
        if any(abs(a - b) > SAME_K for a, b in both):
            return False
        read = [a for a, _ in both]
        moved = max(moved, max(read, default=0.0) - min(read, default=0.0))
    return moved >= MOVES_K
