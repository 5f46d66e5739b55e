"""What was found and mended of suspects of losses."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from pinset.farm.entries import Kind
from pinset.farm.models import Entry
from pinset.farm.queries.story import read


@dataclass(frozen=True, slots=True)
class WasMended:
    """One note of what was found and mended."""

    entry: str  # client id
    kind: str  # of the suspect
    level: str
    at: datetime
    by: str  # name of who wrote it
    words: str


def mended() -> tuple[WasMended, ...]:
    """Return what was found and mended and stands, the newest first."""
    found = Entry.objects.filter(
        kind=Kind.NOTE, about__isnull=False, is_corrected=False, corrects_client=""
    ).select_related("person")
    rows = sorted(found, key=lambda entry: (entry.happened_at, entry.client_id), reverse=True)
    told = []
    for each in read(rows):
        kind, _, level = str(each.details["mended"]).partition(" ")
        told.append(
            WasMended(each.client_id, kind, level, each.happened_at, each.person_name, each.note)
        )
    return tuple(told)
