"""Cooks, what came of them, and which lots they made."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from typing import Any

from django.db.models import QuerySet

from pinset.chain.stages import Stage
from pinset.chain.verdicts_together import Said, counting, ruling
from pinset.farm.entries import Kind
from pinset.farm.models import Entry, Lot
from pinset.farm.queries.story import Happened, read

EVER = datetime(1970, 1, 1, tzinfo=UTC)


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


def cook_entries(
    since: datetime, *, offset: int = 0, limit: int = 50
) -> tuple[int, tuple[Happened, ...]]:
    """Return how many cooks there were since a moment, and some of them, the newest first."""
    found = _standing(Kind.COOK).filter(happened_at__gte=since)
    rows = found.select_related("person").order_by("-happened_at", "-client_id")
    return found.count(), read(list(rows[offset : offset + limit]))


def made_since(days: Iterable[date]) -> datetime:
    """Return a moment before all that was made on these days was cooked, whatever the time zone."""
    first = min(days, default=date.max)
    return datetime.combine(first, time.min, UTC) - timedelta(days=1) if first < date.max else EVER


def entries_of_cooks(codes: Iterable[str], since: datetime = EVER) -> tuple[Happened, ...]:
    """Return the entries that say these cooks were done, the oldest first.

    A cook has one entry, or several where its load was written down in parts. ``since`` is a moment
    before all of them, if one is known: then a long past costs nothing.
    """
    wanted = sorted(set(codes) - {""})
    if not wanted:
        return ()
    found = _standing(Kind.COOK).filter(happened_at__gte=since, details__cook__in=wanted)
    rows = found.select_related("person")
    return read(list(rows.order_by("happened_at", "client_id")))


def verdict_entries(code: str) -> tuple[Happened, ...]:
    """Return every verdict on a cook, also those taken back, the newest last."""
    rows = Entry.objects.filter(kind=Kind.VERDICT, details__cook=code).select_related("person")
    return read(list(rows.order_by("happened_at", "client_id")))


def counting_verdicts(
    cooks: Iterable[str], since: datetime = EVER
) -> dict[str, tuple[Judged, ...]]:
    """Return the verdicts that count together on each of these cooks, the oldest first.

    Those taken back and those set aside are left out, and so are cooks nobody judged. ``since`` as
    of :func:`entries_of_cooks`.
    """
    wanted = sorted(set(cooks) - {""})
    if not wanted:
        return {}
    found = _standing(Kind.VERDICT).filter(happened_at__gte=since, details__cook__in=wanted)
    rows = found.select_related("person")
    by_cook: defaultdict[str, list[Judged]] = defaultdict(list)
    for entry in rows.order_by("happened_at", "client_id"):  # whatever the order of arrival
        by_cook[str(entry.details["cook"])].append(_judged(entry))
    return {cook: _counting(said) for cook, said in by_cook.items()}


def _counting(said: Iterable[Judged]) -> tuple[Judged, ...]:
    known = {each.entry: each for each in said}
    return tuple(known[each.entry] for each in counting([each.said for each in known.values()]))


def standing_verdicts(cooks: Iterable[str], since: datetime = EVER) -> dict[str, Judged]:
    """Return how each of these cooks stands by all its verdicts; none of those never judged.

    ``since`` as of :func:`entries_of_cooks`.
    """
    return {
        cook: next(each for each in counted if rules and each.entry == rules.entry)
        for cook, counted in counting_verdicts(cooks, since).items()
        for rules in (ruling([each.said for each in counted]),)
    }


def verdicts_then(cook: str, moments: Iterable[datetime]) -> dict[datetime, str]:
    """Return how a cook stood at each of these moments by the verdicts that stood then.

    Those taken back only later are among them; empty where nobody had judged it.
    """
    rows = Entry.objects.filter(kind=Kind.VERDICT, corrects_client="", details__cook=cook)
    entries = list(rows.select_related("person").order_by("happened_at", "client_id"))
    undoing = Entry.objects.filter(corrects_client__in=[each.client_id for each in entries])
    undone = dict(undoing.values_list("corrects_client", "happened_at"))
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
        found = found.filter(details__cook__in=sorted(set(among) - {""}))
    return frozenset(found.values_list("details__cook", flat=True))


def cooks_of_lots(lots: Iterable[str]) -> frozenset[str]:
    """Return the cooks of those of these lots that are prepared vessels."""
    rows = Lot.objects.filter(code__in=set(lots), stage=Stage.PREPARED.value, is_void=False)
    return frozenset(rows.exclude(cook="").values_list("cook", flat=True))


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
