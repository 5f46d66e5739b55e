"""Entries of a bench session itself; what is made in it are transfers like any other."""

from __future__ import annotations

from collections.abc import Mapping
from enum import StrEnum
from typing import Any

from pinset.errors import InputError
from pinset.farm.entries import Kind, NewEntry
from pinset.farm.trade.parts import Tap


class Word(StrEnum):
    """What an entry says of a session."""

    BEGUN = "begun"
    JOINED = "joined"  # somebody else came to the bench, or took it over
    PLATES = "plates"  # settle plates were set out or taken away
    ENDED = "ended"
    COUNTED = "counted"  # colonies on its settle plates, days later


def session(
    tap: Tap, word: Word, code: str, bench: str, *, details: Mapping[str, Any] | None = None
) -> NewEntry:
    """Something was said of a bench session.

    Raises
    ------
    InputError
        If it names no session.
    """
    if not code:
        raise InputError("session", code, "the code of a bench session")
    said = {"session": code, "word": word.value, "bench": bench, **(details or {})}
    return tap.entry(Kind.SESSION, details=said)
