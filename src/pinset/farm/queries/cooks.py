"""Cooks, what came of them, and which lots they made."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from django.db.models import QuerySet

from pinset.chain.stages import Stage
from pinset.chain.verdicts_together import Said, counting, ruling
from pinset.farm.entries import Account, Kind
from pinset.farm.lineage_walk import above
from pinset.farm.models import Balance, Entry, Lot
from pinset.farm.queries.story import Happened, read

AT_ONCE = 10_000
"""Numbers of lots that one question names."""


@dataclass(frozen=True, slots=True)
class Judged:
    """A verdict on a cook that was not taken back."""

    cook: str
    verdict: str  # pass, fail, unjudged
    at: datetime
    by: str  # name of who judged
    entry: str  # client id
    details: dict[str, Any]

    @property
    def said(self) -> Said:
        """It, as it is taken together with others of its cook."""
        return Said(self.entry, self.verdict, self.details)


def _standing(kind: Kind) -> QuerySet[Entry]:
    return Entry.objects.filter(kind=kind, is_corrected=False, corrects_client="")


def _in_order(found: QuerySet[Entry]) -> list[Entry]:
    """Return entries as they happened, whatever the order of arrival.

    Put in order here: a database that is asked for them in order reads all of a kind for it.
    """
    return sorted(
        found.select_related("person"), key=lambda entry: (entry.happened_at, entry.client_id)
    )


def cook_entries(
    since: datetime, *, offset: int = 0, limit: int = 50
) -> tuple[int, tuple[Happened, ...]]:
    """Return how many cooks there were since a moment, and some of them, the newest first."""
    found = _standing(Kind.COOK).filter(happened_at__gte=since)
    rows = found.select_related("person").order_by("-happened_at", "-client_id")
    return found.count(), read(list(rows[offset : offset + limit]))


def entries_of_cooks(codes: Iterable[str]) -> tuple[Happened, ...]:
    """Return the entries that say these cooks were done, the oldest first.

    A cook has one entry, or several where its load was written down in parts.
    """
    wanted = sorted(set(codes) - {""})
    if not wanted:
        return ()
    return read(_in_order(_standing(Kind.COOK).filter(about__in=wanted)))


def verdict_entries(code: str) -> tuple[Happened, ...]:
    """Return every verdict on a cook, also those taken back, the newest last."""
    return read(_in_order(Entry.objects.filter(kind=Kind.VERDICT, about=code)))


def counting_verdicts(cooks: Iterable[str]) -> dict[str, tuple[Judged, ...]]:
    """Return the verdicts that count together on each of these cooks, the oldest first.

    Those taken back and those set aside are left out, and so are cooks nobody judged.
    """
    wanted = sorted(set(cooks) - {""})
    if not wanted:
        return {}
    by_cook: defaultdict[str, list[Judged]] = defaultdict(list)
    for entry in _in_order(_standing(Kind.VERDICT).filter(about__in=wanted)):
        by_cook[str(entry.details["cook"])].append(_judged(entry))
    return {cook: _counting(said) for cook, said in by_cook.items()}


def _counting(said: Iterable[Judged]) -> tuple[Judged, ...]:
    known = {each.entry: each for each in said}
    return tuple(known[each.entry] for each in counting([each.said for each in known.values()]))


def standing_verdicts(cooks: Iterable[str]) -> dict[str, Judged]:
    """Return how each of these cooks stands by all its verdicts; none of those never judged."""
    return {
        cook: next(each for each in counted if rules and each.entry == rules.entry)
        for cook, counted in counting_verdicts(cooks).items()
        for rules in (ruling([each.said for each in counted]),)
    }


def verdicts_then(cook: str, moments: Iterable[datetime]) -> dict[datetime, str]:
    """Return how a cook stood at each of these moments by the verdicts that stood then.

    Those taken back only later are among them; empty where nobody had judged it.
    """
    entries = _in_order(Entry.objects.filter(kind=Kind.VERDICT, corrects_client="", about=cook))
    undoing = Entry.objects.filter(corrects__in=[each.pk for each in entries])
    undone = dict(undoing.values_list("corrects__client_id", "happened_at"))
    found = {}
    for moment in set(moments):
        then = [
            _judged(each).said
            for each in entries
            if each.happened_at <= moment
            and (each.client_id not in undone or undone[each.client_id] > moment)
        ]
        rules = ruling(counting(then))
        found[moment] = rules.verdict if rules else ""
    return found


def cooks_with_a_fail(among: Iterable[str] | None = None) -> frozenset[str]:
    """Return the cooks with a verdict that they were too short, not taken back.

    ``among`` are the codes to look at; all, if nothing is said.
    """
    found = _standing(Kind.VERDICT).filter(details__verdict="fail")
    if among is not None:
        found = found.filter(about__in=sorted(set(among) - {""}))
    return frozenset(cook for cook in found.values_list("about", flat=True) if cook)


def cooks_of_lots(lots: Iterable[str]) -> frozenset[str]:
    """Return the cooks of those of these lots that are prepared vessels."""
    rows = Lot.objects.filter(code__in=set(lots), stage=Stage.PREPARED.value, is_void=False)
    return frozenset(rows.exclude(cook="").values_list("cook", flat=True))


def cooks_of_what_is_left() -> frozenset[str]:
    """Return the cooks of all vessels that what is alive or in the store came from, or is."""
    here: set[int] = set()
    for account in (Account.ALIVE, Account.STORE):  # each has an index of its own
        standing = Balance.objects.filter(account=account.value, quantity__gt=0)
        here.update(standing.values_list("lot_id", flat=True))
    lots = sorted(above(here))
    rows = Lot.objects.filter(stage=Stage.PREPARED.value, is_void=False).exclude(cook="")
    found: set[str] = set()
    for i in range(0, len(lots), AT_ONCE):
        found.update(rows.filter(id__in=lots[i : i + AT_ONCE]).values_list("cook", flat=True))
    return frozenset(found)


def _judged(entry: Entry) -> Judged:
    return Judged(
        cook=str(entry.details["cook"]),
        verdict=str(entry.details["verdict"]),
        at=entry.happened_at,
        by=str(entry.person) if entry.person else "",
        entry=entry.client_id,
        details=entry.details,
    )


def verdicts_finding(finding: str, since: datetime) -> tuple[Judged, ...]:
    """Return the standing verdicts since a moment with a finding of that id, the newest first."""
    rows = _standing(Kind.VERDICT).filter(
        happened_at__gt=since, details__judged__findings__icontains=finding
    )
    rows = rows.select_related("person")
    found = []
    for entry in rows.order_by("-happened_at", "-client_id"):
        said = entry.details.get("judged") or {}
        if any(each.get("id") == finding for each in said.get("findings", ())):
            found.append(_judged(entry))
    return tuple(found)


def learnt_entries() -> tuple[Happened, ...]:
    """Return what logs taught of loads and was not taken back, the newest first."""
    rows = _standing(Kind.LEARNT).select_related("person")
    return read(list(rows.order_by("-happened_at", "-client_id")))


def cooks_judged_by(digest: str) -> set[str]:
    """Return the codes of cooks that a standing verdict judged by the log of a digest."""
    rows = _standing(Kind.VERDICT).filter(details__log=digest)
    return {str(entry.details["cook"]) for entry in rows}


def lots_of_cooks(cooks: Iterable[str]) -> dict[str, tuple[str, ...]]:
    """Return the prepared lots of each of these cooks that stand in the books, by code of cook."""
    rows = Lot.objects.filter(
        cook__in=set(cooks) - {""}, stage=Stage.PREPARED.value, is_void=False
    ).order_by("id")
    found: defaultdict[str, list[str]] = defaultdict(list)
    for cook, code in rows.values_list("cook", "code"):
        found[cook].append(code)
    return {cook: tuple(codes) for cook, codes in found.items()}
