"""Which of the farm's instruments wrote the columns of a log whose names do not say it."""

from __future__ import annotations

from pinset.files.logger.records import ColumnRole, CookLog
from pinset.services.cooks.judge.judged import Instrument
from pinset.services.cooks.setting import as_column
from pinset.services.cooks.watch.instruments import instruments_of
from pinset.services.cooks.watch.records import What
from pinset.services.plans import planning_day
from pinset.services.upkeep.compared import compared

ROLES = {
    What.CHAMBER: ColumnRole.CHAMBER,
    What.CORE: ColumnRole.CORE,
    What.GAUGE: ColumnRole.PRESSURE,
}


def matched(read: CookLog, known: tuple[Instrument, ...]) -> tuple[Instrument, ...]:
    """Return the instruments of columns that none is known of by name, found as in a watched cook.

    Only where one column of a log stood in that place, and it can be told which instrument of the
    farm reads there: by its name, or as the only one of its kind.
    """
    book, today = planning_day.farm_book()
    book = compared(book)
    named = {each.column for each in known}
    found = []
    for what, used in instruments_of(book, {}).items():
        columns = read.of_role(ROLES[what])
        if used.instrument is None or len(columns) != 1 or columns[0].name in named:
            continue
        found.append(as_column(used.instrument, columns[0].name, today, used.why))
    return tuple(found)
