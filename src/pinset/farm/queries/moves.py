"""Where the moves of jobs carried their lots."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection

from pinset.farm.models import Mention

ROLES = ("moved", "step")


def moved_to(jobs: Collection[str]) -> dict[tuple[str, str], tuple[str, ...]]:
    """Return the shelves that standing entries of these jobs carried to, by job and lot.

    The one that most units came to stands first.
    """
    if not jobs:
        return {}
    rows = Mention.objects.filter(entry__job__in=list(jobs), role__in=ROLES, is_cancelled=False)
    units: dict[tuple[str, str], dict[str, int]] = defaultdict(dict)
    for job, lot, place, count in rows.values_list(
        "entry__job", "lot__code", "place__code", "count"
    ):
        if place:
            at = units[job, lot]
            at[place] = at.get(place, 0) + count
    return {
        key: tuple(sorted(at, key=lambda place: (-at[place], place))) for key, at in units.items()
    }
