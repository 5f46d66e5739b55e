"""The chain of hashes, recomputed from the rows: no row changed, lost, added or swapped."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass, field

from django.db import connections

from pinset.errors import Finding, Severity
from pinset.farm import canonical
from pinset.farm.about import about
from pinset.farm.models import ChainHead, Entry, Link, Lot, Mention, Posting

AT_ONCE = 2_000
"""Entries read together."""

_HINT = "Keep the file as it is and take the last backup that checks: pinset restore FILE."
_Rows = defaultdict[int, list[canonical.Row]]


def _no_rows() -> _Rows:
    return defaultdict(list)


@dataclass(slots=True)
class _Parts:
    """The rows that belong to entries, by entry number."""

    lots: _Rows = field(default_factory=_no_rows)
    postings: _Rows = field(default_factory=_no_rows)
    links: _Rows = field(default_factory=_no_rows)
    mentions: _Rows = field(default_factory=_no_rows)


def check_hashes(using: str) -> Iterator[Finding]:
    """Yield what is wrong with the chain, entry by entry."""
    previous, last = canonical.FIRST_HASH, 0
    while True:
        entries = list(
            Entry.objects.using(using)
            .filter(id__gt=last)
            .order_by("id")
            .select_related("person")[:AT_ONCE]
        )
        if not entries:
            break
        parts = read_parts(using, entries[0].pk, entries[-1].pk)
        for entry in entries:
            if entry.pk != last + 1:
                yield _lost(last + 1, entry.pk - 1)
            if entry.previous_hash != previous:
                yield _broken(entry.pk, "does not follow the entry before it")
            if entry.hash != recomputed(entry, parts):
                yield _broken(entry.pk, "was changed after it was written")
            if entry.about != about(entry.kind, entry.details):
                yield _broken(entry.pk, "is filed under another thing than it speaks of")
            previous, last = entry.hash, entry.pk
    yield from _check_head(using, last, previous)
    yield from _check_strays(using)


def read_parts(using: str, first: int, last: int) -> _Parts:
    """Return the rows that belong to the entries from one number to another."""
    parts = _Parts()
    between = {"entry_id__gte": first, "entry_id__lte": last}
    postings = Posting.objects.using(using).filter(**between)
    for number, *row in postings.values_list(
        "entry_id", "lot__code", "account", "place__code", "measure", "quantity"
    ):
        parts.postings[number].append(tuple(row))
    links = Link.objects.using(using).filter(**between)
    for number, *row in links.values_list(
        "entry_id", "parent__code", "child__code", "units", "amount", "measure"
    ):
        parts.links[number].append(tuple(row))
    mentions = Mention.objects.using(using).filter(**between)
    for number, *row in mentions.values_list(
        "entry_id", "lot__code", "role", "place__code", "count", "value"
    ):
        parts.mentions[number].append(tuple(row))
    lots = Lot.objects.using(using).filter(made_by_id__gte=first, made_by_id__lte=last)
    for lot in lots.select_related("route").defer("route__body"):
        if lot.made_by_id is not None:
            parts.lots[lot.made_by_id].append(_facts(lot))
    return parts


def _facts(lot: Lot) -> canonical.Row:
    """Return a lot's facts as :func:`pinset.farm.door.lot_facts` hashed them."""
    return (
        lot.code,
        lot.stage,
        lot.variety,
        lot.step,
        lot.route.code if lot.route else "",
        lot.route.version if lot.route else 0,
        lot.made_on.isoformat() if lot.made_on else "",
        lot.culture,
        lot.cook,
        lot.session,
        lot.generation,
        lot.transfers,
        lot.bought_from,
        lot.made_in_demo,
    )


def recomputed(entry: Entry, parts: _Parts) -> str:
    """Return the hash an entry has to carry, from its rows."""
    whole = canonical.Canonical(
        number=entry.pk,
        previous=entry.previous_hash,
        client=entry.client_id,
        kind=entry.kind,
        person=entry.person.key if entry.person else "",
        happened_at=entry.happened_at,
        recorded_at=entry.recorded_at,
        job=entry.job,
        details=entry.details,
        note=entry.note,
        corrects=entry.corrects_client,
        lots=tuple(parts.lots[entry.pk]),
        postings=tuple(parts.postings[entry.pk]),
        links=tuple(parts.links[entry.pk]),
        mentions=tuple(parts.mentions[entry.pk]),
    )
    return canonical.entry_hash(whole)


def _check_head(using: str, last: int, last_hash: str) -> Iterator[Finding]:
    head = ChainHead.objects.using(using).filter(pk=1).first()
    count, head_hash = (head.count, head.last_hash) if head else (0, "")
    if count > last:
        yield _lost(last + 1, count)
    elif count < last:
        yield _broken(last, f"stands behind the end of the chain, which is entry {count}")
    elif last and head_hash != last_hash:
        yield _broken(last, "is not the entry that was written last")


def _check_strays(using: str) -> Iterator[Finding]:
    """Yield rows that belong to no entry."""
    with connections[using].cursor() as cursor:
        for table in ("farm_posting", "farm_link", "farm_mention"):
            cursor.execute(
                f"SELECT DISTINCT t.entry_id FROM {table} t "  # noqa: S608 - our own names
                "LEFT JOIN farm_entry e ON e.id = t.entry_id WHERE e.id IS NULL LIMIT 20"
            )
            for (number,) in cursor.fetchall():
                yield _broken(number, "is gone, but rows of it are left")


def _lost(first: int, last: int) -> Finding:
    which = f"Entry {first} is" if first == last else f"Entries {first} to {last} are"
    return Finding(
        "ledger.entries-lost", Severity.WRONG, f"entry {first}", f"{which} missing.", _HINT
    )


def _broken(number: int, what: str) -> Finding:
    return Finding(
        "ledger.chain-broken", Severity.WRONG, f"entry {number}", f"Entry {number} {what}.", _HINT
    )
