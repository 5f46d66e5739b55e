"""Answers to jobs, and what they leave in the books."""

from __future__ import annotations

import secrets
from collections.abc import Callable

from pinset.farm.queries.lots import lot_by_code, rows_of
from pinset.services.answers import recording
from pinset.services.jobs.records import JobKind, LotAmount

LayJob = Callable[..., str]


def counts(code: str) -> dict[str, int]:
    """Return the units of a lot by what became of them, those that are not none."""
    [row] = rows_of([lot_by_code(code)])
    names = ("made", "alive", "used", "lost", "culled", "spent", "sold", "unexplained")
    return {name: getattr(row.counts, name) for name in names if getattr(row.counts, name)}


def new_id() -> str:
    """Return the random id of a tap."""
    return secrets.token_hex(16)


def do(job: str, **more: object) -> recording.Done:
    """Record that a job is done."""
    return recording.done(job, person="ada", client_id=new_id(), **more)  # type: ignore[arg-type]


def transfer(lay: LayJob, stock: dict[str, str], count: int = 24, parents: int = 3) -> str:
    """Lay a transfer from plates to grain and return its code."""
    return lay(
        JobKind.TRANSFER,
        step="grain",
        stage="grain",
        count=count,
        lots=(LotAmount(stock["plate"], parents, "plate"),),
    )
