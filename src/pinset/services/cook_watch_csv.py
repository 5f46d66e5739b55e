"""What was read of a watched cook as a logger's file, so that it is judged as every other log."""

from __future__ import annotations

from collections.abc import Iterable

from pinset.services.clock import farm_time
from pinset.services.cook_watch_records import WatchReading
from pinset.services.cook_watch_state import together

COLUMNS = (
    ("chamber_c", "chamber [°C]", "{:.2f}"),
    ("gauge_bar", "chamber pressure [bar gauge]", "{:.3f}"),
    ("core_c", "core [°C]", "{:.2f}"),
)


def csv_of(readings: Iterable[WatchReading], zone: str) -> bytes:
    """Return readings as a table of text: time stamp with its zone, then what was read.

    Parameters
    ----------
    readings : iterable of WatchReading
        In any order.
    zone : str
        The farm's time zone.

    Returns
    -------
    bytes
        UTF-8; columns nothing was read of are left out; times to the second.
    """
    rows = together(readings)
    used = [
        column for column in COLUMNS if any(getattr(row, column[0]) is not None for row in rows)
    ]
    lines = [",".join(("time", *(title for _, title, _ in used)))]
    last = ""
    for row in rows:
        stamp = farm_time(row.at, zone).isoformat(timespec="seconds")
        if stamp == last:
            continue  # a second reading in the same second adds nothing
        last = stamp
        values = (getattr(row, name) for name, _, _ in used)
        cells = (
            "" if value is None else shape.format(value)
            for value, (_, _, shape) in zip(values, used, strict=True)
        )
        lines.append(",".join((stamp, *cells)))
    return ("\n".join(lines) + "\n").encode()
