"""How many parents a part of a transfer opens: by the units made so far, whole ones, in order."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from pinset.services.jobs.records import LotAmount, PlannedJob

OF_PARENTS = "of_parents"
"""Where the entry of a transfer keeps the units of each parent lot it opened."""


@dataclass(frozen=True, slots=True)
class Before:
    """What earlier parts of a transfer did since its lots were laid."""

    made: int = 0  # units
    used: int = 0  # parents that they opened
    opened: LotAmount | None = None  # the last lot a parent of which was opened, ever
    rest: int = 0  # units that a parent opened before its lots were laid still gives


NOTHING = Before()


def parents_opened(job: PlannedJob, count: int, before: Before = NOTHING) -> tuple[LotAmount, ...]:
    """Return the parents that are opened for units of a transfer.

    All parts together open as many as all their units take, in the proportion of the plan: a part
    may be made of a parent that is open already. Its lot is named with no unit. Beyond the plan
    more of the last lot is opened.

    Parameters
    ----------
    job : PlannedJob
        The transfer, with the parents that were planned for it.
    count : int
        Units made now. [unit]
    before : Before
        What earlier parts made and opened.

    Examples
    --------
    >>> from datetime import date
    >>> from pinset.services.jobs.records import JobKind
    >>> job = PlannedJob("t", JobKind.TRANSFER, "transfer", date(2026, 3, 12), 18, "units", "bags",
    ...                  "laboratory", lots=(LotAmount("7K4MV", 3),))
    >>> [each.units for each in parents_opened(job, 8)]
    [2]
    >>> [each.units for each in parents_opened(job, 4, Before(made=8, used=2))]
    [0]
    """
    total, planned = sum(lot.units for lot in job.lots), job.count - job.laid_after
    if not total or planned < 1:
        return job.lots
    done = max(0, before.made - before.rest)
    owed = -(-total * done // planned)  # parents that those units take
    given = min(before.used, owed)  # one opened beyond them was used up for them
    wanted = max(0, -(-total * max(0, before.made + count - before.rest) // planned) - given)
    used = before.used
    passed = min(used, total - 1) if wanted > total - used else used
    taken = _after(job.lots, passed, wanted) if wanted else ()
    is_begun = before.rest > before.made or given * planned > total * done
    if wanted and not is_begun:
        return taken
    opened = before.opened or _after(job.lots, max(0, used - 1), 1)[0]
    if opened.lot in {lot.lot for lot in taken}:
        return taken
    return (replace(opened, units=0), *taken)


def _after(lots: Sequence[LotAmount], passed: int, wanted: int) -> tuple[LotAmount, ...]:
    """Return so many units after those that are passed over; beyond the end more of the last."""
    taken: list[LotAmount] = []
    for lot in lots:
        over = min(passed, lot.units)
        passed -= over
        units = min(lot.units - over, wanted)
        if units > 0:
            taken.append(replace(lot, units=units))
            wanted -= units
    if wanted > 0 and taken:
        taken[-1] = replace(taken[-1], units=taken[-1].units + wanted)
    elif wanted > 0:
        taken.append(replace(lots[-1], units=wanted))
    return tuple(taken)
