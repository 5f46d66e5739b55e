"""How many parents a part of a transfer opens: by the units made so far, whole ones, in order."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from pinset.services.job_records import LotAmount, PlannedJob


def parents_opened(
    job: PlannedJob, count: int, *, made: int = 0, used: int = 0
) -> tuple[LotAmount, ...]:
    """Return the parents that are opened for units of a transfer.

    All parts together open as many as all their units take, in the proportion of the plan. Beyond
    the plan more of the last lot is opened; a part takes one parent at least.

    Parameters
    ----------
    job : PlannedJob
        The transfer, with the parents that were planned for it.
    count : int
        Units made now. [unit]
    made, used : int
        Units that earlier parts made, and parents that they opened. [unit]

    Examples
    --------
    >>> from datetime import date
    >>> from pinset.services.job_records import JobKind
    >>> job = PlannedJob("t", JobKind.TRANSFER, "transfer", date(2026, 3, 12), 18, "units", "bags",
    ...                  "laboratory", lots=(LotAmount("7K4MV", 3),))
    >>> [each.units for each in parents_opened(job, 12)]
    [2]
    >>> [each.units for each in parents_opened(job, 12, made=12, used=2)]
    [2]
    """
    total = sum(lot.units for lot in job.lots)
    if not total or not job.count:
        return job.lots
    if _are_for_the_rest(job, total, made, used):
        planned, made, used = job.count - made, 0, 0
    else:
        planned = job.count
    wanted = max(1, -(-total * (made + count) // planned) - used)
    passed = min(used, total - 1) if wanted > total - used else used
    return _after(job.lots, passed, wanted)


def _are_for_the_rest(job: PlannedJob, total: int, made: int, used: int) -> bool:
    """Say whether a later plan laid the parents anew, for what was left only.

    Then they are in the proportion of the units that are left, and with those that were opened
    before they are as many as all units take.
    """
    if not made or not used or made >= job.count or used == -(-total * made // job.count):
        return False
    per_parent = made / used
    as_whole = abs(job.count / total - per_parent)
    return abs((job.count - made) / total - per_parent) < as_whole


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
