"""Entries of cultures that are kept: a plate measured, a tube woken. They move nothing."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import datetime
from typing import Any

from pinset.errors import InputError
from pinset.farm.entries import Kind, NewEntry, NewMention
from pinset.farm.trade.looking import Verdict
from pinset.farm.trade.parts import Tap

MEASURED = "measured"
"""The role of a lot of which a plate was measured."""


def measured(
    tap: Tap,
    lot: str,
    radii: Sequence[tuple[datetime, float]],
    *,
    plate: int = 1,
    details: Mapping[str, Any] | None = None,
) -> NewEntry:
    """A plate was measured: one radius, or two, each in mm with its moment."""
    if not radii:
        raise InputError("radius", "", "one radius at least")
    said = {"radii": [[at.isoformat(), mm] for at, mm in radii], "plate": plate, **(details or {})}
    return tap.entry(Kind.LOOK, mentions=(NewMention(lot, MEASURED, 1),), details=said)


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
