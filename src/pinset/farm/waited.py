"""Entries that waited on a device: when they were tapped, and what the two clocks said.

While :func:`tapped_before` holds, every entry that a person writes through the door happened at the
moment of the tap, unless another moment was said; its details keep both clocks.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from contextvars import ContextVar
from dataclasses import dataclass, replace
from datetime import datetime, timedelta

from pinset.farm.entries import NewEntry

WAITED = "waited"
"""Where an entry's details keep the times of a tap that waited."""


@dataclass(frozen=True, slots=True)
class Waited:
    """A tap that waited for the network."""

    at: datetime  # the tap by the farm's clock; aware
    tapped: datetime  # the tap by the device's clock; aware
    sent: datetime  # when it was sent, by the device's clock; aware
    ahead: timedelta  # how far the device's clock ran ahead of the farm's when it was sent


_waited: ContextVar[Waited | None] = ContextVar("waited", default=None)


@contextmanager
def tapped_before(tap: Waited) -> Iterator[None]:
    """Take what is written meanwhile for what was tapped then."""
    token = _waited.set(tap)
    try:
        yield
    finally:
        _waited.reset(token)


def as_tapped(entries: Sequence[NewEntry], now: datetime) -> Sequence[NewEntry]:
    """Return entries with the moment of a tap that waited, and its times in their details.

    What the program writes beside it (no person) happened now.
    """
    tap = _waited.get()
    if tap is None:
        return entries
    times = {
        "tapped": tap.tapped.isoformat(timespec="seconds"),
        "sent": tap.sent.isoformat(timespec="seconds"),
        "ahead_s": round(tap.ahead.total_seconds()),
    }
    return [
        replace(
            entry,
            happened_at=tap.at if entry.happened_at == now else entry.happened_at,
            details={**entry.details, WAITED: times},
        )
        if entry.person
        else entry
        for entry in entries
    ]
