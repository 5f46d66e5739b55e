"""Jobs that follow from what is alive and what is promised today, whatever the plan says."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Collection, Mapping, Sequence
from datetime import date

from pinset.chain.living import LivingLot
from pinset.chain.looks_wanted import is_unheard_of
from pinset.planning.building.from_book import Picked
from pinset.planning.plan import ExpectedPick, KeptCold, Short
from pinset.services.book_reader import Reader
from pinset.services.jobs.in_grow_rooms import clearing, morning_round, picking
from pinset.services.jobs.into_store import into_store
from pinset.services.jobs.maybe_ready import early_looks
from pinset.services.jobs.of_failed_cooks import is_of_failed_cook, of_failed_cooks
from pinset.services.jobs.of_selling import handing_over, packing, setting_ready
from pinset.services.jobs.of_store import throwing_out
from pinset.services.jobs.on_shelves import NOTHING, arrivals, by_age, past_their_time
from pinset.services.jobs.records import JobKind, PlannedJob
from pinset.services.promises.allotment import Allotment
from pinset.services.promises.due_deliveries import DueDelivery
from pinset.services.promises.units_there import units_given, units_there
from pinset.services.upkeep.jobs import due_jobs


def jobs_from_state(
    reader: Reader,
    living: Sequence[LivingLot],
    picks: Sequence[ExpectedPick],
    due: Sequence[DueDelivery],
    keeps_until: Callable[[LivingLot], date | None],
    *,
    allotted: Allotment,
    store: Sequence[Picked] = (),
    looked: Collection[str] = (),
    counted_on: Mapping[str, int] = NOTHING,
    used_soon: Mapping[str, int] = NOTHING,
    declined: Collection[str] = (),
    seen_today: Collection[str] = (),
    kept_cold: Sequence[KeptCold] = (),
    short: Sequence[Short] = (),
    settled: Collection[str] = (),
) -> tuple[PlannedJob, ...]:
    """Return the jobs of ``reader.today`` that need no plan.

    Parameters
    ----------
    living : sequence of LivingLot
        Everything alive now.
    picks : sequence of ExpectedPick
        What the plan expects from today on; empty without a plan.
    due : sequence of DueDelivery
        Promises that fall due today, before it or in the next days.
    keeps_until : callable
        The last usable day of a lot, or None where there is none.
    allotted : Allotment
        What each promise gets of the store and of what is picked.
    store : sequence of Picked
        What was picked before and stands in the cold store.
    looked : collection of str
        Lots that may be ready and were looked at since they may be.
    counted_on : mapping of lot code to units
        What the plan still moves or uses, past its time or not.
    used_soon : mapping of lot code to units
        What of it the plan uses in the next days: it is not carried into the cold store.
    declined : collection of str
        Lots that are not to be carried there at all.
    kept_cold : sequence of KeptCold
        Blocks that the plan keeps there until it has a use for them.
    seen_today : collection of str
        Lots that were looked over today without being asked for.
    short : sequence of Short
        What the plan does not give to promises.
    settled : collection of str
        Keys of jobs that were answered and are not laid again.
    """
    offered = [lot for lot in living if lot.alive > 0]
    past = past_their_time(
        [lot for lot in offered if not is_of_failed_cook(lot)], reader, keeps_until, counted_on
    )
    gone = thrown_out_whole(past, offered, settled)
    unseen = [lot for lot in offered if lot.code not in seen_today and lot.code not in gone]
    looks = by_age(unseen, reader, JobKind.LOOK)
    units = units_there(due, offered, reader)
    seen = {*looked, *seen_today, *gone, *(lot.lot for job in looks for lot in job.lots)}
    asked = {lot.code for lot in offered if is_unheard_of(lot, reader.today)} - seen
    return (
        *by_age(offered, reader, JobKind.SHAKE),
        *looks,
        *early_looks(offered, reader, seen),
        *morning_round(offered, reader),
        *due_jobs(reader),
        *picking(picks, offered, reader, due, allotted),
        *packing(due, reader, allotted),
        *setting_ready(due, reader, units),
        *handing_over(due, reader, allotted, units, units_given(units, due, short)),
        *throwing_out(store, reader),
        *into_store(offered, reader, used_soon, declined, kept_cold),
        *clearing(offered, reader, {s.lot for pick in picks for s in pick.lots} | asked),
        *arrivals(offered, reader),
        *of_failed_cooks(offered, reader),
        *past,
    )


def thrown_out_whole(
    jobs: Sequence[PlannedJob], living: Sequence[LivingLot], settled: Collection[str]
) -> frozenset[str]:
    """Return the lots of which all is to be judged and thrown out today: no second look is asked.

    Parameters
    ----------
    jobs : sequence of PlannedJob
        What is to be thrown out.
    living : sequence of LivingLot
        Everything alive now.
    settled : collection of str
        Keys of jobs that were answered: lots judged good are looked at as any.
    """
    left: dict[str, int] = defaultdict(int)
    for lot in living:
        left[lot.code] += lot.alive
    named = [each for job in jobs if job.key not in settled for each in job.lots]
    for each in named:
        left[each.lot] -= each.units
    return frozenset(each.lot for each in named if left[each.lot] <= 0)
