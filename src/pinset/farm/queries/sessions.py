"""What was written down of bench sessions, and of the transfers made in them."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from datetime import datetime, timedelta

from pinset.farm.entries import Kind
from pinset.farm.models import Entry
from pinset.farm.queries.story import Happened, happened_between
from pinset.farm.trade.benchwork import Word

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


def plates_counted() -> dict[str, Happened]:
    """Return the newest count of colonies of every session of which there is one."""
    rows = Entry.objects.filter(
        kind=Kind.SESSION, is_corrected=False, corrects_client="", details__word=Word.COUNTED.value
    )
    moments = [row.happened_at for row in rows]
    if not moments:
        return {}
    wanted = {row.client_id for row in rows}
    kinds = [Kind.SESSION.value]
    found = happened_between(min(moments), max(moments) + timedelta(seconds=1), kinds=kinds)
    return {str(each.details.get(SESSION, "")): each for each in found if each.client_id in wanted}


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
