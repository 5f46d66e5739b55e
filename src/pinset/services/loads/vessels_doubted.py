"""What stands against a job as it was laid out, on the side of the cooks that it rests on.

Vessels not judged, too short or not cool yet; and spawn made in vessels of a short cook, of which
nobody has decided whether it is kept.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import datetime

from pinset.farm import job_store
from pinset.services.cooks.judge.short_cooks import undecided
from pinset.services.jobs.records import JobKind, PlannedJob
from pinset.services.jobs.state import stored_jobs
from pinset.services.loads.unopened import not_to_be_used_yet
from pinset.services.loads.vessels import Sound, standing_vessels
from pinset.services.words import joined

USING = frozenset({JobKind.TRANSFER, JobKind.PACK, JobKind.DELIVER})
"""Kinds of work that use up the lots they name, so that what lived through a cook goes on."""


def doubted_vessels(at: datetime, time_zone: str) -> dict[str, str]:
    """Return how the cook of each prepared lot stands that is used only with a reason.

    With them those made in such vessels that wait to be decided on.
    """
    standing = standing_vessels()
    too_soon = not_to_be_used_yet(standing, at, time_zone)
    waiting = {each.lot: each.words for each in undecided()}
    return waiting | {
        each.lot.code: too_soon.get(each.lot.cook, each.words)
        for each in standing
        if each.sound is not Sound.PASSED or each.lot.cook in too_soon
    }


def stop_words(job: PlannedJob, doubted: Mapping[str, str]) -> str:
    """Return why what a job was laid out to use is not to be used; empty: nothing is known.

    Parameters
    ----------
    job : PlannedJob
        As it was laid out, perhaps before the cook was judged.
    doubted : mapping
        Of :func:`doubted_vessels`.
    """
    named = [code for code in job.vessels if code in doubted]
    lots = [lot.lot for lot in job.lots if lot.lot in doubted] if job.kind in USING else []
    said = []
    if named:
        said.append(f"Vessels {joined(named)}, {_why(named, doubted)}: not to be used without a "
                    "reason.")  # fmt: skip
    if lots:
        said.append(
            f"Of {joined(list(dict.fromkeys(lots)))}, by {_why(lots, doubted)}, nobody has decided "
            "yet: look them over and hold them back or keep them first, on the page of that cook."
        )
    return " ".join(said)


def of_job(code: str) -> str:
    """Return :func:`stop_words` of an open job that uses up lots; empty: nothing is known."""
    row = job_store.job_by_code(code)
    if row is None or row.is_closed or row.kind not in {each.value for each in USING}:
        return ""
    [stored] = stored_jobs((row,))
    waiting = {each.lot: each.words for each in undecided()}
    return stop_words(replace(stored.job, vessels=()), waiting)


def _why(codes: Sequence[str], doubted: Mapping[str, str]) -> str:
    return joined(list(dict.fromkeys(doubted[code] for code in codes)))
