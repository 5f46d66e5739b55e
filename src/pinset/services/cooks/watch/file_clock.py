"""The clock of a logger that writes on, and since when its file says a cook is heated.

All limits are the code's own choice: no source.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime, timedelta
from itertools import pairwise
from statistics import median

from pinset.farm.watch_store import WatchRow
from pinset.files.logger.growing_log import Grown, GrownRow
from pinset.science.watching.before import FAR_K

AHEAD = timedelta(minutes=5)  # a logger's clock may be so far ahead
BEHIND = timedelta(minutes=10)  # and a file's last row so far behind when it was written
ONE_COOK = timedelta(hours=12)  # a file that begins earlier may hold a clock changed long ago
LEFT_OUT = timedelta(minutes=5)  # longer than usual between two rows: a clock set, or not written
STEAM_BAR = 0.05
SET_BACK = frozenset({"log.joined", "log.clock-unclear", "log.rows-repeated"})
WENT_BACK = "log.time-back"
START_C = 20.0
MINUTE = 60.0


def clock_off(grown: Grown, row: WatchRow, written_at: datetime) -> str:
    """Return what is wrong with the clock of a logger, empty: nothing that shows.

    Parameters
    ----------
    grown : Grown
        What it wrote.
    row : WatchRow
        The cook that is watched by it.
    written_at : datetime
        When it wrote last, by the farm's clock, with its zone.
    """
    if not grown.rows:
        return ""
    first, last = grown.rows[0].at, grown.rows[-1].at
    if last > written_at + AHEAD:
        minutes = (last - written_at).total_seconds() / MINUTE
        return f"The logger's clock is {minutes:.0f} min ahead; set it right."
    if last < written_at - BEHIND - 2 * _usual(grown.rows) and written_at >= row.began_at:
        minutes = (written_at - last).total_seconds() / MINUTE
        return (
            f"The logger's clock is {minutes:.0f} min behind, or it writes so late: set it right. "
            "Its readings count at the times it gives them."
        )
    said = {each.id for each in grown.findings}
    if said & SET_BACK or (WENT_BACK in said and first >= row.began_at - ONE_COOK):
        return "The logger's clock was set while it wrote: when its readings were is not known."
    return ""


def heated_by(rows: Sequence[GrownRow], row: WatchRow) -> datetime | None:
    """Return since when a file shows a cook heated that was hot when it began to count.

    None where it shows nothing of that: it was cold then, or the file begins with it; or more
    lies between two of its rows than usual, which may be a clock that was set.
    """
    begin = next((n for n, each in enumerate(rows) if each.at >= row.began_at), len(rows))
    limit = float(row.load.get("start_c", START_C)) + FAR_K
    if begin == len(rows) or begin == 0 or not _is_hot(rows[begin], limit):
        return None
    place = begin
    most = _usual(rows[: begin + 1]) + LEFT_OUT
    while place > 0 and _is_hot(rows[place], limit):
        if rows[place].at - rows[place - 1].at > most:
            return None
        place -= 1
    return rows[place].at if place < begin else None


def _is_hot(row: GrownRow, limit_c: float) -> bool:
    if row.chamber_c is not None:
        return row.chamber_c > limit_c
    if row.gauge_bar is not None:
        return row.gauge_bar > STEAM_BAR
    return row.core_c is not None and row.core_c > limit_c


def _usual(rows: Sequence[GrownRow]) -> timedelta:
    """Return the usual time between the last rows."""
    late = [each.at for each in rows[-20:]]
    steps = [(b - a).total_seconds() for a, b in pairwise(late)]
    return timedelta(seconds=median(steps)) if steps else timedelta(0)
