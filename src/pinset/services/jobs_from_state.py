"""Jobs that follow from what is alive and what is promised today, whatever the plan says."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import date

from pinset.chain.living import LivingLot
from pinset.planning.plan import ExpectedPick
from pinset.services.book_reader import Reader
from pinset.services.job_records import JobKind, PlannedJob
from pinset.services.jobs_in_grow_rooms import clearing, morning_round, picking
from pinset.services.jobs_of_selling import DueDelivery, handing_over, packing
from pinset.services.jobs_on_shelves import arrivals, by_age, past_their_time


def jobs_from_state(
    reader: Reader,
    living: Sequence[LivingLot],
    picks: Sequence[ExpectedPick],
    due: Sequence[DueDelivery],
    keeps_until: Callable[[LivingLot], date | None],
) -> tuple[PlannedJob, ...]:
    """Return the jobs of ``reader.today`` that need no plan.

    Parameters
    ----------
    living : sequence of LivingLot
        Everything alive now.
    picks : sequence of ExpectedPick
        What the plan expects from today on; empty without a plan.
    due : sequence of DueDelivery
        Promises that fall due today.
    keeps_until : callable
        The last usable day of a lot, or None where there is none.
    """
    offered = [lot for lot in living if lot.alive > 0]
    return (
        *by_age(offered, reader, JobKind.SHAKE),
        *by_age(offered, reader, JobKind.LOOK),
        *morning_round(offered, reader),
        *picking(picks, offered, reader),
        *packing(due, reader),
        *handing_over(due, reader),
        *clearing(offered, reader, {s.lot for pick in picks for s in pick.lots}),
        *arrivals(offered, reader),
        *past_their_time(offered, reader, keeps_until),
    )
