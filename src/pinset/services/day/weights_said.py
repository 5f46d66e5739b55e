"""What is weighed of a job, in the unit the farm weighs in.

Jobs count their weight in whole kilograms, everywhere; on a farm that weighs in pounds their count
and the unit before their words are turned into pounds where somebody reads them. What weighs less
than one of them, or of which less than one is done so far, is read in grams or ounces.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from pinset.farm.entries import Kind
from pinset.farm.job_store import JobEntry
from pinset.services.jobs.records import PlannedJob
from pinset.services.jobs.state import done_count
from pinset.services.words import GRAMS, kilograms, weighed_in
from pinset.units import Quantity, convert

KG = "kg"
SMALL = {"kg": ("g", 1000), "lb": ("oz", 16)}
"""The smaller unit, and how many of it make one of the larger."""

OR_SO = f"{KG} or so "
"""How the words of what is only expected begin."""

EXPECTED_TO = 10
"""Grams to which little of what is only expected is said."""


@dataclass(frozen=True, slots=True)
class Counted:
    """The count of a job and what of it is done, as the farm reads them."""

    count: int
    unit: str
    what: str  # the words beside the count
    done_count: int
    done_said: str  # "6.61 lb", "12"

    @property
    def words(self) -> str:
        """Return the whole line: ``13 lb or so to pick in grow room 2``."""
        return f"{self.count} {self.what}"


def counted(job: PlannedJob, system: str, entries: Iterable[JobEntry] = ()) -> Counted:
    """Return count, unit and words of a job, weights in the farm's unit.

    Parameters
    ----------
    job : PlannedJob
        Its count is units, or kilograms where its unit is ``kg``.
    system : str
        The farm's choice of units, ``metric`` or ``us``.
    entries : iterable of JobEntry
        Those that answer the job.
    """
    told = tuple(entries)
    done = done_count(told)
    if job.unit != KG:
        return Counted(job.count, job.unit, job.what, done, str(done or job.count))
    done_g = _done_g(job, told)
    said = kilograms(done_g or _whole_g(job), system)
    unit = _unit_of(job, system)
    is_small = unit == weighed_in(system) and _count_in(job, unit) <= 1
    if is_small and done_g and done < job.count:  # some of it, and the rest is left
        unit = SMALL[unit][0]
    if unit == KG and (done >= job.count or not done_g):
        return Counted(job.count, KG, job.what, done, said)
    count = job.count if unit == KG else _count_in(job, unit)
    so_far = _in_units(done_g, unit) if done_g else 0
    if done < job.count:
        so_far = min(so_far, count - 1)  # something is left of it
    what = f"{unit}{job.what.removeprefix(KG)}" if job.what.startswith(f"{KG} ") else job.what
    return Counted(count, unit, what, so_far, said)


def _unit_of(job: PlannedJob, system: str) -> str:
    """Return the unit a job is read in: the smaller for less than one of the larger."""
    unit = weighed_in(system)
    small, whole = SMALL[unit]
    return small if 0 < _count_in(job, small) < whole else unit


def _count_in(job: PlannedJob, unit: str) -> int:
    """Return what a job weighs in a unit; grams that are only expected not to the last one."""
    whole = _whole_g(job)
    if unit == "g" and job.what.startswith(OR_SO):
        return max(EXPECTED_TO, round(whole / EXPECTED_TO) * EXPECTED_TO)
    return _in_units(whole, unit) if whole else 0


def _whole_g(job: PlannedJob) -> int:
    return job.grams or job.count * GRAMS


def _in_units(grams: int, unit: str) -> int:
    return max(1, round(convert(Quantity.MASS, grams / GRAMS, unit)))


def _done_g(job: PlannedJob, entries: Iterable[JobEntry]) -> int:
    """Return the grams that entries say were done; by their count where none was weighed."""
    total = 0
    for entry in entries:
        if entry.kind in {Kind.PUT_OFF, Kind.DROP}:
            continue
        by_count = _whole_g(job) if entry.count >= job.count else entry.count * GRAMS
        total += int(entry.details.get("grams") or by_count)
    return total
