"""What a look says, in words: nothing seen yet, or how many show what and where."""

from __future__ import annotations

from collections.abc import Sequence

from pinset.services.words import joined, plural
from pinset.tables.signs import Medium, shown_by, sign_places, signs


def names_of(keys: Sequence[str], where: str = "") -> str:
    """Return signs with their place: ``green dust and black heads at the filter``.

    What is no longer in the table is named by its key.
    """
    known, places = signs(), sign_places()
    said = joined([known[key].name if key in known else key for key in keys])
    place = places[where].name if where in places else where
    return f"{said} {place}" if place else said


def nothing_seen(age_days: int | None, medium: Medium) -> str:
    """Return what it says that nothing was seen at an age.

    While the slowest sign has not had its time it is not seen *yet*; it is never called clean.
    """
    if age_days is None:
        return "nothing seen"
    if age_days < 0:
        return f"nothing seen{at_age(age_days)}"
    early = "yet " if age_days < shown_by(medium) else ""
    return f"nothing seen {early}at day {age_days}"


def seen_in_words(
    of: int, seen: int, keys: Sequence[str], where: str, age_days: int | None, medium: Medium
) -> str:
    """Return what a look found on one lot, in words."""
    if not seen:
        return f"{plural(of, 'unit')} looked over, {nothing_seen(age_days, medium)}"
    shows = "shows" if seen == 1 else "show"
    day = "" if age_days is None else at_age(age_days)
    found = names_of(keys, where) or "something"
    return f"{seen} of {plural(of, 'unit')} {shows} {found}{day}"


def at_age(days: int) -> str:
    """Return an age behind what was seen then, and of what cannot be that it cannot.

    Examples
    --------
    >>> at_age(12), at_age(-1)
    (', day 12', ', dated 1 day before the lot was made')
    """
    return (
        f", day {days}" if days >= 0 else f", dated {plural(-days, 'day')} before the lot was made"
    )
