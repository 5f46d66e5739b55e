"""Balances rebuilt from the postings and compared; every unit accounted for."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from django.db import connections
from django.db.backends.utils import CursorWrapper

from pinset.errors import Finding, Severity

MOST = 50
"""Findings of one kind that are listed; more would hide the others."""

_BACKUP = "Take the last backup that checks: pinset restore FILE."

# A taking back that waits or does not fit, one that came before its entry, and that entry.
_UNCOUNTED = (
    "SELECT id FROM farm_entry "
    "WHERE corrects_client <> '' AND (corrects_id IS NULL OR corrects_id > id) "
    "UNION ALL SELECT corrects_id FROM farm_entry WHERE corrects_id > id"
)
_COUNTED = f"entry_id NOT IN ({_UNCOUNTED})"
_REBUILT = (
    "SELECT lot_id, account, place_id, measure, SUM(quantity) FROM farm_posting "  # noqa: S608
    f"WHERE {_COUNTED} GROUP BY lot_id, account, place_id, measure HAVING SUM(quantity) <> 0"
)
_STORED = (
    "SELECT lot_id, account, place_id, measure, quantity FROM farm_balance WHERE quantity <> 0"
)
_KEY = "WHERE lot_id = %s AND account = %s AND place_id = %s AND measure = %s"

_UNBALANCED = """
SELECT p.entry_id, l.code, p.measure, SUM(p.quantity)
FROM farm_posting p JOIN farm_lot l ON l.id = p.lot_id
GROUP BY p.entry_id, p.lot_id, l.code, p.measure HAVING SUM(p.quantity) <> 0 LIMIT 50
"""
_UNACCOUNTED = """
SELECT l.code, b.measure, SUM(b.quantity)
FROM farm_balance b JOIN farm_lot l ON l.id = b.lot_id
GROUP BY b.lot_id, l.code, b.measure HAVING SUM(b.quantity) <> 0 LIMIT 50
"""
_NEGATIVE = """
SELECT l.code, p.code, b.account, b.quantity
FROM farm_balance b JOIN farm_lot l ON l.id = b.lot_id JOIN farm_place p ON p.id = b.place_id
WHERE b.account IN ('alive', 'store') AND b.quantity < 0 LIMIT 50
"""
_WRONG_SIGN = """
SELECT l.code, p.code, b.account, b.measure, b.quantity
FROM farm_balance b JOIN farm_lot l ON l.id = b.lot_id JOIN farm_place p ON p.id = b.place_id
WHERE b.account NOT IN ('made', 'grown', 'received', 'alive', 'store', 'unexplained')
AND b.quantity < 0 ORDER BY l.code, b.account LIMIT 50
"""
_UNEXPLAINED = """
SELECT l.code, p.code, b.measure, b.quantity
FROM farm_balance b JOIN farm_lot l ON l.id = b.lot_id JOIN farm_place p ON p.id = b.place_id
WHERE b.account = 'unexplained' AND b.quantity < 0 ORDER BY l.code, p.code LIMIT 50
"""
_PAST = """
WITH said AS (
  SELECT p.lot_id, p.place_id, p.measure, e.happened_at, p.entry_id, SUM(p.quantity) AS quantity
  FROM farm_posting p JOIN farm_entry e ON e.id = p.entry_id
  WHERE p.account IN ('alive', 'store', 'unexplained')
    AND NOT e.is_corrected AND e.corrects_client = ''
  GROUP BY p.lot_id, p.place_id, p.measure, e.happened_at, p.entry_id
), told AS (
  SELECT lot_id, place_id, measure, happened_at, SUM(quantity) OVER (
    PARTITION BY lot_id, place_id, measure ORDER BY happened_at, entry_id
  ) AS standing FROM said
), lowest AS (
  SELECT lot_id, place_id, measure, MIN(standing) AS least, MIN(happened_at) AS since
  FROM told WHERE standing < 0 GROUP BY lot_id, place_id, measure
)
SELECT l.code, s.code, o.measure, o.least, o.since FROM lowest o
JOIN farm_lot l ON l.id = o.lot_id JOIN farm_place s ON s.id = o.place_id
LEFT JOIN farm_balance b ON b.lot_id = o.lot_id AND b.place_id = o.place_id
  AND b.measure = o.measure AND b.account = 'unexplained' AND b.quantity < 0
WHERE b.id IS NULL ORDER BY l.code, s.code LIMIT 50
"""


def check_sums(using: str) -> Iterator[Finding]:
    """Yield what is wrong with postings and balances."""
    with connections[using].cursor() as cursor:
        yield from _entries_balance(cursor)
        yield from _balances_hold(cursor)
        yield from _units_accounted(cursor)
        yield from _nothing_negative(cursor)
        yield from _wrong_sign(cursor)
        yield from _unexplained(cursor)
        yield from _past_negative(cursor)


def _entries_balance(cursor: CursorWrapper) -> Iterator[Finding]:
    cursor.execute(_UNBALANCED)
    for number, code, measure, total in cursor.fetchall():
        yield Finding(
            "ledger.entry-unbalanced",
            Severity.WRONG,
            f"entry {number}",
            f"The postings of entry {number} for lot {code} sum to {total} {measure}s, "
            "not to zero.",
            _BACKUP,
        )


def _balances_hold(cursor: CursorWrapper) -> Iterator[Finding]:
    differing: set[tuple[Any, ...]] = set()
    for one, other in ((_REBUILT, _STORED), (_STORED, _REBUILT)):
        cursor.execute(f"SELECT * FROM ({one} EXCEPT {other}) AS d LIMIT {MOST}")  # noqa: S608
        differing |= {tuple(row[:4]) for row in cursor.fetchall()}
    for key in sorted(differing, key=str):
        cursor.execute(
            f"SELECT COALESCE(SUM(quantity), 0) FROM farm_posting {_KEY} AND {_COUNTED}",  # noqa: S608
            key,
        )
        (rebuilt,) = cursor.fetchone()
        cursor.execute(f"SELECT COALESCE(SUM(quantity), 0) FROM farm_balance {_KEY}", key)  # noqa: S608
        (stored,) = cursor.fetchone()
        cursor.execute("SELECT code FROM farm_lot WHERE id = %s", key[:1])
        code = (cursor.fetchone() or (f"number {key[0]}",))[0]
        yield Finding(
            "ledger.balance-wrong",
            Severity.WRONG,
            f"lot {code}",
            f"The stored sum of {key[1]} of lot {code} is {stored} {key[3]}s; "
            f"the entries say {rebuilt}.",
            _BACKUP,
        )


def _units_accounted(cursor: CursorWrapper) -> Iterator[Finding]:
    cursor.execute(_UNACCOUNTED)
    for code, measure, total in cursor.fetchall():
        yield Finding(
            "ledger.units-unaccounted",
            Severity.WRONG,
            f"lot {code}",
            f"Lot {code}: what was made differs from where it went by {total} {measure}s.",
            _BACKUP,
        )


def _nothing_negative(cursor: CursorWrapper) -> Iterator[Finding]:
    cursor.execute(_NEGATIVE)
    for code, place, account, quantity in cursor.fetchall():
        yield Finding(
            "ledger.negative",
            Severity.WRONG,
            f"lot {code}",
            f"Lot {code} has {quantity} {account}{_at(place)}; less than nothing cannot stand.",
            _BACKUP,
        )


def _wrong_sign(cursor: CursorWrapper) -> Iterator[Finding]:
    """Yield accounts units and grams only go to, from which more came back than went there."""
    cursor.execute(_WRONG_SIGN)
    for code, place, account, measure, quantity in cursor.fetchall():
        yield Finding(
            "ledger.wrong-sign",
            Severity.WARNING,
            f"lot {code}",
            f"Lot {code} has {quantity} {_noun(measure, quantity)} {account}{_at(place)}; "
            "an entry has a slip in a sign.",
            "Look through the lot's life, take that entry back and write it down anew.",
        )


def _unexplained(cursor: CursorWrapper) -> Iterator[Finding]:
    cursor.execute(_UNEXPLAINED)
    for code, place, measure, quantity in cursor.fetchall():
        yield Finding(
            "ledger.unexplained",
            Severity.WARNING,
            f"lot {code}",
            f"{-quantity} {_noun(measure, -quantity)} more left lot {code}{_at(place)} than the "
            "ledger knew.",
            "Count what stands there, or look whether an entry is missing or was written twice.",
        )


def _past_negative(cursor: CursorWrapper) -> Iterator[Finding]:
    """Yield lots that stand well today, but whose entries do not fit in the order of the clock."""
    cursor.execute(_PAST)
    for code, place, measure, least, since in cursor.fetchall():
        yield Finding(
            "ledger.past-negative",
            Severity.NOTE,
            f"lot {code}",
            f"In the order of the clock lot {code}{_at(place)} once stood at {least} "
            f"{_noun(measure, least)} (first on {str(since)[:10]}).",
            "An entry has a wrong time, or was written down late; the sums of today are right.",
        )


def _at(place: str) -> str:
    return f" at {place}" if place else ""


def _noun(measure: str, quantity: int) -> str:
    return measure if quantity == 1 else f"{measure}s"
