"""The chain of seals over the registers: no version changed, lost, added or swapped.

The seal of a register row is the SHA-256 of its text in UTF-8, and that text holds the seal of the
row written before it. The text is JSON as in :mod:`~pinset.farm.canonical`, of these values:

``previous``    seal of the row written before; 64 zeros for the first
``kind``, ``version``, ``position``, ``valid_from``, ``is_retired``
``code``        the record's code; of a worker the opaque key of the person
``recorded_at`` UTC, microseconds
``recorded_by`` the opaque key of the person; empty for the program
``body``        the record; of a worker without code and name

So a person can be forgotten and the chain still holds.
"""

from __future__ import annotations

import hashlib
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any

from pinset.farm.canonical import FIRST_HASH, encoded, instant, plain_numbers

AT_ONCE = 500
WHO = frozenset({"code", "name"})
"""Fields of a worker that say who somebody is."""


@dataclass(frozen=True, slots=True)
class Sealed:
    """Everything of one register row that its seal covers."""

    kind: str
    code: str  # as it stands in the row
    version: int
    position: int
    valid_from: date
    recorded_at: datetime
    recorded_by: str  # key
    body: Any
    is_retired: bool
    worker: str = ""  # key of the person a worker's row is about


def seal_of(row: Sealed, previous: str) -> str:
    """Return the seal of a row that follows the row with the seal ``previous``."""
    is_worker = row.kind == "worker"
    body = row.body
    if is_worker and isinstance(body, dict):
        body = {name: value for name, value in body.items() if name not in WHO}
    text = encoded(
        {
            "previous": previous or FIRST_HASH,
            "kind": row.kind,
            "code": row.worker if is_worker else row.code,
            "version": row.version,
            "position": row.position,
            "valid_from": row.valid_from.isoformat(),
            "recorded_at": instant(row.recorded_at),
            "recorded_by": row.recorded_by,
            "body": plain_numbers(body),
            "is_retired": row.is_retired,
        }
    )
    return hashlib.sha256(text.encode("ascii")).hexdigest()


def sealed(row: Any, keys_by_code: dict[str, str]) -> Sealed:
    """Return what the seal of a stored row covers.

    Parameters
    ----------
    row : RegisterRow
        With ``recorded_by`` read along.
    keys_by_code : dict
        Key of every person, by code.
    """
    return Sealed(
        kind=row.kind,
        code=row.code,
        version=row.version,
        position=row.position,
        valid_from=row.valid_from,
        recorded_at=row.recorded_at,
        recorded_by=row.recorded_by.key if row.recorded_by else "",
        body=row.body,
        is_retired=row.is_retired,
        worker=keys_by_code.get(row.code, "") if row.kind == "worker" else "",
    )


def seal_everything(rows: Any, people: Any, heads: Any) -> None:
    """Seal registers that were written before there were seals.

    Parameters
    ----------
    rows, people, heads : QuerySet
        All register rows, people and chain heads of one database.
    """
    keys = dict(people.values_list("code", "key"))
    written = list(rows.select_related("recorded_by").order_by("id"))
    previous = ""
    for row in written:
        row.seal = previous = seal_of(sealed(row, keys), previous)
    if written:
        rows.bulk_update(written, ["seal"], batch_size=AT_ONCE)
        head, _ = heads.get_or_create(pk=1)
        head.registers, head.last_seal = len(written), previous
        head.save(update_fields=["registers", "last_seal"])
