"""Cooks that still stand in their steriliser, or whose vessels were taken out and are not cool."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime, timedelta

from pinset.farm import job_store
from pinset.farm.queries.cooks import entries_of_cooks
from pinset.services.clock import farm_time, hour_is_known
from pinset.services.jobs.records import JobKind
from pinset.services.jobs.state import StoredJob, done_count, stored_jobs
from pinset.services.loads.vessels import Vessels
from pinset.services.words import near_day

COOL_SHARE = 0.9
"""Of the hours a route gives for cooling: then nothing is asked. Common practice, no source."""


def not_to_be_used_yet(vessels: Iterable[Vessels], at: datetime, time_zone: str) -> dict[str, str]:
    """Return why prepared vessels are not to be inoculated at a moment, by code of their cook.

    Those of a cook whose opening nobody was asked for are taken as taken out and cool.

    Parameters
    ----------
    vessels : iterable of Vessels
        That stand prepared.
    at : datetime
        When they would be inoculated.
    time_zone : str
        The farm's.
    """
    found = {}
    for cook, opening in openings_of(vessels):
        if not done_count(opening.entries):
            found[cook] = f"cook {cook}: not opened yet, as far as the books know"
            continue
        opened = max(each.happened_at for each in opening.entries)
        cool = opened + timedelta(hours=opening.job.cool_hours)
        if hour_is_known() and at < opened + COOL_SHARE * (cool - opened):
            local = farm_time(cool, time_zone)
            day = near_day(local.date(), farm_time(at, time_zone).date())
            found[cook] = f"cook {cook}: cool enough about {local:%H:%M} {day}; measure a core"
    return found


def openings_of(vessels: Iterable[Vessels]) -> Iterable[tuple[str, StoredJob]]:
    """Return the cooks of prepared vessels, each with the job of its opening if one was laid.

    A cook that was loaded in parts comes once for each.
    """
    lots = [each.lot for each in vessels if each.lot.cook]
    for entry in entries_of_cooks(lot.cook for lot in lots):
        opening = opening_of(entry.job)
        if opening is not None:
            yield str(entry.details["cook"]), opening


def opening_of(load: str) -> StoredJob | None:
    """Return the job of opening what the job of a cook loaded, None if none was laid."""
    row = job_store.job_by_code(load) if load else None
    if row is None:
        return None
    [stored] = stored_jobs((row,))
    key = stored.job.key.replace("cook:", "open:", 1)
    rows = job_store.jobs_by_key(JobKind.OPEN.value, key)
    return stored_jobs(rows[-1:])[0] if rows else None


def still_full(steriliser: str, loading: str) -> tuple[str, ...]:
    """Return the kinds of the loads a steriliser still holds when another is put in.

    Parameters
    ----------
    steriliser : str
        Code.
    loading : str
        Key of the job of the cook that is put in; more of one load is no other load.
    """
    return tuple(
        opening.job.cook_kind
        for key, opening in _shut()
        if opening.job.steriliser == steriliser and key != loading
    )


def still_shut() -> frozenset[str]:
    """Return the keys of the loads that are in and not opened, however long ago they went in."""
    return frozenset(key for key, _ in _shut())


def _shut() -> Iterable[tuple[str, StoredJob]]:
    """Return the openings that nobody began of loads that are in, with the keys of their loads."""
    rows = [row for row in job_store.open_jobs() if row.kind == JobKind.OPEN.value]
    for each in stored_jobs(rows):
        key = each.job.key.replace("open:", "cook:", 1)
        if done_count(each.entries):
            continue
        loads = stored_jobs(job_store.jobs_by_key(JobKind.COOK.value, key))
        if any(done_count(load.entries) for load in loads):
            yield key, each
