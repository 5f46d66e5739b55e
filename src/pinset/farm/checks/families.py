"""Lots and corrections: no loops, nothing announced for ever, nothing used once taken back."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from django.db import connections
from django.db.models import F

from pinset.errors import Finding, Severity
from pinset.farm.lineage_walk import below
from pinset.farm.models import Link, Lot, Mention, RegisterRow
from pinset.farm.models.register import RegisterKind
from pinset.farm.reversal import does_not_count

MOST = 50

_BACKUP = "Take the last backup that checks: pinset restore FILE."
_VOID_USED = """
SELECT l.code FROM farm_lot l JOIN farm_link k ON k.parent_id = l.id AND NOT k.is_cancelled
WHERE l.is_void
UNION
SELECT l.code FROM farm_lot l JOIN farm_balance b ON b.lot_id = l.id
WHERE l.is_void AND b.quantity <> 0
ORDER BY 1 LIMIT 50
"""
_DIFFERS = """EXISTS (
  SELECT 1 FROM farm_posting p WHERE p.entry_id IN (c.id, e.id)
  GROUP BY p.lot_id, p.place_id, p.measure,
    CASE WHEN p.account IN ('alive', 'store', 'unexplained') THEN 'standing' ELSE p.account END
  HAVING SUM(p.quantity) <> 0
)"""
_TARGET = "FROM farm_entry c JOIN farm_entry e ON e.client_id = c.corrects_client "
_WRONG_MARKS = (
    (  # it takes an entry back, but may not
        f"SELECT e.id {_TARGET}WHERE c.corrects_id IS NOT NULL AND "
        f"(c.corrects_id <> e.id OR e.corrects_client <> '' OR NOT e.is_corrected OR {_DIFFERS}) "
        "LIMIT 50"
    ),
    (  # it takes nothing back, but should
        f"SELECT e.id {_TARGET}WHERE c.corrects_client <> '' AND c.corrects_id IS NULL "
        f"AND e.corrects_client = '' AND NOT e.is_corrected AND NOT {_DIFFERS} LIMIT 50"
    ),
    (
        "SELECT corrects_id FROM farm_entry WHERE corrects_id IS NOT NULL "
        "GROUP BY corrects_id HAVING COUNT(*) > 1 LIMIT 50"
    ),
    (
        "SELECT e.id FROM farm_entry e WHERE e.is_corrected AND NOT EXISTS "
        "(SELECT 1 FROM farm_entry c WHERE c.corrects_id = e.id) LIMIT 50"
    ),
    (
        "SELECT e.id FROM farm_link k JOIN farm_entry e ON e.id = k.entry_id "
        "WHERE e.is_corrected <> k.is_cancelled LIMIT 50"
    ),
    (
        "SELECT e.id FROM farm_mention m JOIN farm_entry e ON e.id = m.entry_id "
        "WHERE e.is_corrected <> m.is_cancelled LIMIT 50"
    ),
    (
        "SELECT e.id FROM farm_lot l JOIN farm_entry e ON e.id = l.made_by_id "
        "WHERE e.is_corrected <> l.is_void LIMIT 50"
    ),
)


def check_families(using: str) -> Iterator[Finding]:
    """Yield what is wrong with lots, their lineage, and what was taken back."""
    yield from _loops(using)
    yield from _announced(using)
    yield from _void_used(using)
    yield from _wrong_marks(using)
    yield from _unknown_steps(using)
    yield from _waiting(using)
    yield from _counting_for_nothing(using)


def _loops(using: str) -> Iterator[Finding]:
    """A loop needs a link whose parent was written down after its child; look below those only."""
    late = Link.objects.using(using).filter(is_cancelled=False, parent_id__gte=F("child_id"))
    for link in late.select_related("parent", "child").iterator(2_000):
        if link.parent_id in below([link.child_id], using=using):
            yield Finding(
                "ledger.loop",
                Severity.WRONG,
                f"lot {link.child.code}",
                f"Lot {link.child.code} came from {link.parent.code}, which came from it.",
                _BACKUP,
            )


def _announced(using: str) -> Iterator[Finding]:
    for lot in Lot.objects.using(using).filter(is_announced=True).order_by("code")[:MOST]:
        yield Finding(
            "ledger.announced",
            Severity.WARNING,
            f"lot {lot.code}",
            f"Lot {lot.code} is named by entries, but nothing says how it was made.",
            "An entry may still wait on a tablet without network; else write down how it was made.",
        )


def _void_used(using: str) -> Iterator[Finding]:
    with connections[using].cursor() as cursor:
        cursor.execute(_VOID_USED)
        codes = [row[0] for row in cursor.fetchall()]
    for code in codes:
        yield Finding(
            "ledger.void-lot",
            Severity.WARNING,
            f"lot {code}",
            f"The entry that made lot {code} was taken back, but the lot is still used.",
            "Write down anew how it was made, under a new code, or take back what used it.",
        )


def _wrong_marks(using: str) -> Iterator[Finding]:
    numbers: set[int] = set()
    with connections[using].cursor() as cursor:
        for query in _WRONG_MARKS:
            cursor.execute(query)
            numbers |= {row[0] for row in cursor.fetchall()}
    for number in sorted(numbers):
        yield Finding(
            "ledger.correction-mark",
            Severity.WRONG,
            f"entry {number}",
            f"Whether entry {number} was taken back is marked otherwise than the entries say.",
            _BACKUP,
        )


def _unknown_steps(using: str) -> Iterator[Finding]:
    said = (
        Mention.objects.using(using)
        .filter(role="step", is_cancelled=False, lot__route__isnull=False)
        .order_by("lot__route_id", "value")
        .values_list("lot__route_id", "value")
        .distinct()
    )
    steps = {row.pk: {step["code"] for step in row.body["steps"]} for row in _routes(using)}
    wrong = [(route, value) for route, value in said if value not in steps.get(route or 0, set())]
    for route, value in wrong:
        lots = Mention.objects.using(using).filter(
            role="step", is_cancelled=False, value=value, lot__route_id=route
        )
        for code in lots.order_by("lot__code").values_list("lot__code", flat=True)[:MOST]:
            yield Finding(
                "ledger.unknown-step",
                Severity.WARNING,
                f"lot {code}",
                f"Lot {code} was moved into step {value!r}, which its route does not have; "
                f"its steps are {', '.join(sorted(steps.get(route or 0, set())))}.",
                "Take that move back and write it down with the right step.",
            )


def _routes(using: str) -> Iterator[RegisterRow]:
    yield from RegisterRow.objects.using(using).filter(kind=RegisterKind.ROUTE)


def _waiting(using: str) -> Iterator[Finding]:
    with connections[using].cursor() as cursor:
        cursor.execute(
            "SELECT c.id FROM farm_entry c "
            "LEFT JOIN farm_entry e ON e.client_id = c.corrects_client "
            "WHERE c.corrects_client <> '' AND e.id IS NULL ORDER BY c.id LIMIT 50"
        )
        numbers = [row[0] for row in cursor.fetchall()]
    for number in numbers:
        yield Finding(
            "ledger.correction-waits",
            Severity.WARNING,
            f"entry {number}",
            f"Entry {number} takes back an entry that has not arrived.",
            "It may still wait on a tablet without network.",
        )


def _counting_for_nothing(using: str) -> Iterator[Finding]:
    """Yield takings back that do not fit, as long as their entry still stands."""
    with connections[using].cursor() as cursor:
        cursor.execute(
            f"SELECT c.id, e.id {_TARGET}WHERE c.corrects_client <> '' "
            "AND c.corrects_id IS NULL AND NOT e.is_corrected ORDER BY c.id LIMIT 50"
        )
        pairs = cursor.fetchall()
    for correction, target in pairs:
        yield replace(does_not_count(correction, target), severity=Severity.NOTE)
