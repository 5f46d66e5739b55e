"""The same tap sent again is the same entry; with other numbers it is another answer."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from pinset.errors import RefusedError
from pinset.farm.entries import NewEntry

ANSWER = "answer"
"""Where an entry keeps what was said by the tap that wrote it."""

WAYS = {
    "lose": "lost",
    "cull": "taken out",
    "move": "moved",
    "hold": "held back",
    "release": "offered again",
    "ready": "expected ready",
    "use by": "to be used first",
    "watch": "to be looked at again",
    "recount": "counted",
    "note": "noted",
    "part": "part done",
}
"""How ways of answering are called, where that is not the word itself."""


def keep_answer(entry: NewEntry, said: Mapping[str, Any]) -> None:
    """Keep beside an entry what was said, so that the tap is known again by more than its id."""
    entry.details[ANSWER] = dict(said)


def refuse_another(details: Mapping[str, Any], said: Mapping[str, Any]) -> None:
    """Refuse an answer that comes under the id of one that said something else.

    Entries written before answers were kept are taken for the same.

    Raises
    ------
    RefusedError
        If what was said before differs.
    """
    before = details.get(ANSWER)
    if before is None or before == dict(said):
        return
    raise RefusedError(
        f"This was sent before and written down: {_words(before)}; now it says: {_words(said)}. "
        "Nothing more was written.",
        "If the first was wrong, take that entry back; for another answer open the form anew.",
    )


def _words(said: Mapping[str, Any]) -> str:
    how = str(said.get("how", ""))
    parts = [f"{name} {_value(value)}" for name, value in said.items() if name != "how"]
    return ", ".join((WAYS.get(how, how), *parts))


def _value(value: object) -> str:
    if isinstance(value, Mapping):
        return " and ".join(f"{key} {number}" for key, number in value.items())
    return str(value)
