"""Photos of looks: shown with their lot, and forgotten when an owner asks for it."""

from __future__ import annotations

from pinset.farm import forgetting, photo_store
from pinset.farm.queries.looks import looks_of_photo
from pinset.farm.stamp import Stamp, stamp
from pinset.services.looking.asked import past_looks
from pinset.services.looking.media import medium_of
from pinset.services.looking.views import PastLook
from pinset.services.memory import remembered
from pinset.services.plans import planning_day


def photos_of(lot: str, stage: str, step: str) -> tuple[PastLook, ...]:
    """Return the looks at a lot whose photos can be shown, oldest first."""
    taken = _taken(stamp(), lot, stage, step)
    there = photo_store.there(look.photo for look in taken) if taken else frozenset()
    return tuple(look for look in taken if look.photo in there)


@remembered
def _taken(_stamp: Stamp, lot: str, stage: str, step: str) -> tuple[PastLook, ...]:
    book, _ = planning_day.farm_book()
    found = past_looks(lot, book, medium_of(stage, step, book))
    return tuple(look for look in found if look.photo)


def photo(digest: str) -> bytes | None:
    """Return a photo as JPEG, or None if there is none of that digest or it was forgotten."""
    return photo_store.stored(digest)


def forget(digest: str) -> str:
    """Blank a photo for good and return the code of the lot it belonged to; empty: of none.

    Raises
    ------
    InputError
        If there is no such photo.
    """
    lots = looks_of_photo(digest)
    forgetting.forget_photo(digest)
    return lots[0] if lots else ""
