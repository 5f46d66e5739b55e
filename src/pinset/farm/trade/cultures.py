"""Entries of cultures that are kept: a plate measured, a tube woken. They move nothing."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import datetime, timedelta
from typing import Any

from pinset.chain.vigour import TOLD_WITHIN, Radius
from pinset.errors import InputError
from pinset.farm.entries import Kind, NewEntry, NewMention
from pinset.farm.trade.looking import Verdict
from pinset.farm.trade.parts import Tap

MEASURED = "measured"
"""The role of a lot of which a plate was measured."""


def measured(
    tap: Tap,
    lot: str,
    radii: Sequence[Radius],
    *,
    plate: int = 1,
    details: Mapping[str, Any] | None = None,
) -> NewEntry:
    """A plate was measured: one radius, or two, each in mm with its moment.

    Where that is right to more or less than usual, the hours either way stand beside it.
    """
    if not radii:
        raise InputError("radius", "", "one radius at least")
    said = {"radii": [_said(radius) for radius in radii], "plate": plate, **(details or {})}
    return tap.entry(Kind.LOOK, mentions=(NewMention(lot, MEASURED, 1),), details=said)


def _said(radius: Radius) -> list[str | float]:
    hours = radius.within / timedelta(hours=1)
    known = [] if radius.within == TOLD_WITHIN else [hours]
    return [radius.at.isoformat(), radius.mm, *known]


def radius_of(said: Sequence[Any]) -> Radius:
    """Return a radius as its entry keeps it."""
    within = timedelta(hours=float(said[2])) if len(said) > len(("at", "mm")) else TOLD_WITHIN
    return Radius(datetime.fromisoformat(said[0]), float(said[1]), within)


def woken(
    tap: Tap, lot: str, words: str, *, of: int, grew: int, days: int | None, is_clean: bool
) -> NewEntry:
    """A kept culture was woken: pieces set on plates, and what grew; ``words`` say it."""
    said: dict[str, Any] = {"pieces": of, "grew": grew, "clean": is_clean}
    if days is not None:
        said["days"] = days
    mention = NewMention(lot, Verdict.WOKEN.value, of, words)
    return tap.entry(Kind.JUDGE, mentions=(mention,), details={"woken": said})


def cleared(tap: Tap, lots: Sequence[str], reason: str, details: Mapping[str, Any]) -> NewEntry:
    """A clone is cleared for use: its plates are no longer held back."""
    mentions = tuple(NewMention(lot, Verdict.CLEARED.value, value=reason) for lot in lots)
    return tap.entry(Kind.JUDGE, mentions=mentions, details=details)
