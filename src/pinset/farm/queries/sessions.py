"""What was written down of bench sessions, and of the transfers made in them."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from datetime import datetime, timedelta

from pinset.farm.entries import Kind
from pinset.farm.queries.story import Happened, happened_between

SESSION = "session"
"""Where an entry keeps the code of the bench session it belongs to."""

AROUND = timedelta(days=2)
"""How far from the entries of a session one of its transfers may be dated."""

MADE_IN = (Kind.INOCULATE.value, Kind.CLONE.value)


def said_of_sessions(since: datetime, until: datetime) -> dict[str, tuple[Happened, ...]]:
    """Return what was said of sessions themselves between two moments, by session."""
    found: defaultdict[str, list[Happened]] = defaultdict(list)
    for each in happened_between(since, until, kinds=[Kind.SESSION.value]):
        found[str(each.details.get(SESSION, ""))].append(each)
    return {code: tuple(said) for code, said in found.items()}


def made_in_sessions(
    sessions: Iterable[str], since: datetime, until: datetime
) -> dict[str, tuple[Happened, ...]]:
    """Return the transfers of sessions that stand, in the order in which they happened.

    Parameters
    ----------
    sessions : iterable of str
        Codes.
    since, until : datetime
        When the sessions lasted, all together.
    """
    found: dict[str, list[Happened]] = {code: [] for code in sessions}
    for each in happened_between(since - AROUND, until + AROUND, kinds=MADE_IN):
        code = str(each.details.get(SESSION, ""))
        if code in found:
            found[code].append(each)
    return {code: tuple(made) for code, made in found.items()}
