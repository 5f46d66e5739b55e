"""What stands against a job as it was laid out: vessels not judged, too short, or not cool yet."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime

from pinset.services.job_records import PlannedJob
from pinset.services.unopened import not_to_be_used_yet
from pinset.services.vessels import Sound, standing_vessels
from pinset.services.words import joined


def doubted_vessels(at: datetime, time_zone: str) -> dict[str, str]:
    """Return how the cook of each prepared lot stands that is used only with a reason."""
    standing = standing_vessels()
    too_soon = not_to_be_used_yet(standing, at, time_zone)
    return {
        each.lot.code: too_soon.get(each.lot.cook, each.words)
        for each in standing
        if each.sound is not Sound.PASSED or each.lot.cook in too_soon
    }


def stop_words(job: PlannedJob, doubted: Mapping[str, str]) -> str:
    """Return why vessels a job was laid out to fill are not to be filled; empty: nothing is known.

    Parameters
    ----------
    job : PlannedJob
        As it was laid out, perhaps before the cook was judged.
    doubted : mapping
        Of :func:`doubted_vessels`.
    """
    named = [code for code in job.vessels if code in doubted]
    if not named:
        return ""
    why = joined(list(dict.fromkeys(doubted[code] for code in named)))
    return f"Vessels {joined(named)}, {why}: not to be used without a reason."
