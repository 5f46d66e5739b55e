"""A job as it was done, with the lots that were really worked on."""

from __future__ import annotations

from collections.abc import Sequence

from pinset.farm.entries import NewEntry
from pinset.services.day.weights_said import KG, counted
from pinset.services.jobs.records import ON_ITS_LOTS, JobKind, PlannedJob, units_by_lot
from pinset.services.words import amount, joined, sentences


def as_done(job: PlannedJob, lots: Sequence[tuple[str, int]]) -> str:
    """Return the words beside the count of a job, naming the lots given instead of those planned.

    Parameters
    ----------
    job : PlannedJob
        The job as it was planned.
    lots : sequence of (lot code, units)
        Lots that a person named; none if it was done as planned.
    """
    used: dict[str, int] = {}
    for code, units in lots:
        used[code] = used.get(code, 0) + units
    planned = units_by_lot(job.lots)
    is_same = set(used) == set(planned) if job.kind in ON_ITS_LOTS else used == planned
    if not used or is_same:
        return job.what
    if job.kind is JobKind.TRANSFER and " from " in job.what:
        of_each = joined([f"{units} of {code}" for code, units in used.items()])
        return f"{job.what.partition(' from ')[0]} from {of_each}"
    named = _named(used)
    codes = joined(list(planned))
    if codes and codes in job.what:
        return job.what.replace(codes, named, 1)
    return f"{job.what}, {named}"


def said_of(
    job: PlannedJob,
    entry: NewEntry,
    lots: Sequence[tuple[str, int]],
    units: str,
    *,
    finish: bool,
) -> str:
    """Return what was written down, as the answer to a tap.

    Parameters
    ----------
    job, entry : PlannedJob, NewEntry
        What was planned, and what was written down.
    lots : sequence of (lot code, units)
        Lots that a person named.
    units : str
        The farm's choice of units.
    finish : bool
        Whether the job is finished by it.
    """
    grams = int(entry.details.get("grams", 0))
    if job.kind is JobKind.DECIDE:
        codes = joined([mention.lot for mention in entry.mentions])
        role = entry.mentions[0].role if entry.mentions else ""
        what = f"{codes}: {'held back' if role == 'held' else 'kept all the same'}"
    elif grams:
        what = amount(grams, "gram", system=units)
    elif job.unit == KG:
        what = counted(job, units).words
    else:
        what = f"{int(entry.details.get('count', 0))} {as_done(job, lots)}".strip()
    word = "recorded" if finish else "recorded, the rest stays open"
    if job.kind is JobKind.RECEIVE and not finish:
        word = "recorded, the rest is still expected; say “not at all” if it does not come"
    return sentences([f"{what}: {word}"])


def _named(used: dict[str, int]) -> str:
    if len(used) == 1:
        return next(iter(used))
    return f"({joined([f'{units} of {code}' for code, units in used.items()])})"
