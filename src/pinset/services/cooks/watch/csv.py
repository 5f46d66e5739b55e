"""What was read of a watched cook as a logger's file, so that it is judged as every other log."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from pinset.services.clock import farm_time
from pinset.services.cooks.watch.columns import title_of
from pinset.services.cooks.watch.records import WatchReading, What
from pinset.services.cooks.watch.state import together

SHAPES = {What.CHAMBER: "{:.2f}", What.GAUGE: "{:.3f}", What.CORE: "{:.2f}"}


def csv_of(
    readings: Iterable[WatchReading], zone: str, titles: Mapping[What, str] | None = None
) -> bytes:
    """Return readings as a table of text: time stamp with its zone, then what was read.

    Parameters
    ----------
    readings : iterable of WatchReading
        In any order.
    zone : str
        The farm's time zone.
    titles : mapping, optional
        Names of the columns, where they are not the usual ones.

    Returns
    -------
    bytes
        UTF-8; columns nothing was read of are left out; times to the second.
    """
    rows = together(readings)
    used = [what for what in What if any(getattr(row, what.value) is not None for row in rows)]
    names = [(titles or {}).get(what) or title_of(what) for what in used]
    lines = [",".join(("time", *names))]
    last = ""
    for row in rows:
        stamp = farm_time(row.at, zone).isoformat(timespec="seconds")
        if stamp == last:
            continue  # a second reading in the same second adds nothing
        last = stamp
        values = (getattr(row, what.value) for what in used)
        cells = (
            "" if value is None else SHAPES[what].format(value)
            for value, what in zip(values, used, strict=True)
        )
        lines.append(",".join((stamp, *cells)))
    return ("\n".join(lines) + "\n").encode()
