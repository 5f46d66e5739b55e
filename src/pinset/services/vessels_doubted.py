"""What stands against a job as it was laid out: vessels of a cook that failed or is not judged."""

from __future__ import annotations

from collections.abc import Mapping

from pinset.services.job_records import PlannedJob
from pinset.services.vessels import Sound, standing_vessels
from pinset.services.words import joined


def doubted_vessels() -> dict[str, str]:
    """Return how the cook of each prepared lot stands that is used only with a reason."""
    return {
        each.lot.code: each.words for each in standing_vessels() if each.sound is not Sound.PASSED
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
