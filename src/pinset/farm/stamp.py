"""A short stamp that changes whenever something is written: the key of everything remembered.

One statement, whatever the size of the ledger. Written in SQL because it stands before every page
and a query built anew each time would cost more than answering it.
"""

from __future__ import annotations

from typing import NamedTuple

from django.db import connection

_LAST = """
    SELECT (SELECT COALESCE(MAX(id), 0) FROM farm_registerrow),
           (SELECT COALESCE(MAX(id), 0) FROM farm_storedplan),
           (SELECT COUNT(*) FROM farm_job
             WHERE claimed_by_id IS NOT NULL AND closed_at IS NULL AND withdrawn_at IS NULL),
           (SELECT MAX(claimed_at) FROM farm_job
             WHERE closed_at IS NULL AND withdrawn_at IS NULL),
           (SELECT count FROM farm_chainhead ORDER BY id LIMIT 1),
           (SELECT last_hash FROM farm_chainhead ORDER BY id LIMIT 1)
"""
_REGISTER = "SELECT COALESCE(MAX(id), 0) FROM farm_registerrow"
_DESCRIBED = f"{_REGISTER} WHERE kind NOT IN ('pin', 'outlet', 'label', 'chore', 'instruction')"


class Stamp(NamedTuple):
    """What was last written of each kind."""

    register: int
    plan: int
    claimed: int
    claimed_at: str
    entries: int
    last_hash: str


def stamp() -> Stamp:
    """Return the farm's present stamp."""
    with connection.cursor() as cursor:
        cursor.execute(_LAST)
        register, plan, claimed, claimed_at, entries, last_hash = cursor.fetchone()
    return Stamp(register, plan, claimed, str(claimed_at or ""), entries or 0, last_hash or "")


def described_stamp() -> int:
    """Return the same without what leaves the plan as it is: pins, outlets, label paper, upkeep."""
    with connection.cursor() as cursor:
        cursor.execute(_DESCRIBED)
        found: int = cursor.fetchone()[0]
    return found


def register_stamp() -> int:
    """Return the number of the last register version written."""
    with connection.cursor() as cursor:
        cursor.execute(_REGISTER)
        found: int = cursor.fetchone()[0]
    return found
