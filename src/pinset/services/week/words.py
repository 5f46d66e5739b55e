"""What the paper and the calendar say of a job, each in one line."""

from __future__ import annotations

from pinset.services import cautions
from pinset.services.views import JobView
from pinset.services.words import first_upper, joined

MOST_LOTS = 8
"""More lots than these are counted, not named; the job's page names them all."""


def due_words(job: JobView) -> str:
    """Return by when a job is to be done; empty if its own hour says it."""
    if not job.due or job.due.removeprefix("after ") == job.at:
        return ""
    return first_upper(job.due_said)


def lots_line(job: JobView) -> str:
    """Return from which lots, with units and the place where they stand."""
    if not job.from_lots:
        return ""
    named = [
        f"{lot.units} of {lot.lot}" + (f" ({lot.place})" if lot.place else "")
        for lot in job.from_lots[:MOST_LOTS]
    ]
    more = len(job.from_lots) - MOST_LOTS
    return f"Lots: {joined([*named, f'{more} more'] if more > 0 else named)}"


def caution_line(job: JobView) -> str:
    """Return the hazards of a job, in a word or two each."""
    hazards = [cautions.hazard_of(sentence) or sentence for sentence in job.cautions]
    return f"Caution: {', '.join(hazards)}" if hazards else ""
