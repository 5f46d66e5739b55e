"""What a job says that would use units which were seen contaminated and stand there still."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from pinset.chain.seen_contaminated import said, what_to_do, words_of
from pinset.farm.queries.seen_bad import SeenBad, seen_bad
from pinset.services.jobs.records import JobKind, LotAmount, PlannedJob, units_by_lot
from pinset.services.jobs.state import StoredJob

USING = frozenset({JobKind.TRANSFER, JobKind.MOVE, JobKind.PACK, JobKind.DELIVER})
"""Kinds of work with which units go on or away as sound ones."""


def bad_of(stored: Iterable[StoredJob]) -> dict[str, SeenBad]:
    """Return what was seen contaminated of the lots that open jobs would use."""
    lots = {
        lot.lot
        for each in stored
        if each.job.kind in USING and not each.row.is_closed
        for lot in each.job.lots
    }
    return seen_bad(lots) if lots else {}


def bad_words(job: PlannedJob, lots: Iterable[LotAmount], bad: Mapping[str, SeenBad]) -> str:
    """Return of which lots a job would use units seen contaminated; empty: of none.

    Parameters
    ----------
    job : PlannedJob
        As it was laid out.
    lots : iterable of LotAmount
        What is left of it to be used.
    bad : mapping of str to SeenBad
        Of :func:`bad_of`.
    """
    if job.kind not in USING:
        return ""
    found = []
    for code, units in units_by_lot(lots).items():
        seen = bad.get(code)
        if seen is not None and seen.alive - seen.units < max(1, units):
            words = said(seen.units, seen.alive, words_of(seen.signs))
            found.append(f"Lot {code}: {words}: {what_to_do(seen.units)}")
    return " ".join(found)
