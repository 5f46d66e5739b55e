"""What earlier verdicts on a cook say where another is written down beside them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from pinset.chain.verdicts_together import (
    BECAUSE,
    FAIL,
    PASS,
    REPLACES,
    SET_ASIDE,
    Said,
    counting,
    ruling,
)
from pinset.errors import InputError
from pinset.farm.entries import NewEntry
from pinset.farm.queries.cooks import Judged, counting_verdicts
from pinset.services.clock import farm_time
from pinset.services.cooks.words import verdict_in_words
from pinset.services.frame import frame
from pinset.services.texts import LONGEST_REASON, written
from pinset.services.words import joined


def counted_on(cook: str) -> tuple[Judged, ...]:
    """Return the verdicts that count together on a cook, the oldest first."""
    return counting_verdicts([cook]).get(cook, ())


def earlier_in_words(earlier: Sequence[Judged]) -> str:
    """Return earlier verdicts by their logs: ``a.csv says too short (2026-03-12 09:10, Ada)``."""
    return joined([_in_words(each) for each in earlier])


def _in_words(judged: Judged) -> str:
    by = str(judged.details.get("log_name") or "") or "a verdict without a log"
    at = farm_time(judged.at, frame().time_zone)
    said = verdict_in_words(judged.verdict, judged.details)
    who = f", {judged.by}" if judged.by else ""
    return f"{by} says {said} ({at:%Y-%m-%d %H:%M}{who})"


@dataclass(frozen=True, slots=True)
class Aside:
    """Earlier verdicts that somebody expressly says do not count any more."""

    reason: str = ""  # why; empty: none is set aside
    entries: tuple[str, ...] | None = None  # client ids; None: all that stand against passing


NOTHING = Aside()


def against_passing(cook: str) -> tuple[Judged, ...]:
    """Return the verdicts that keep a cook from passing: too short, or of a core not told of."""
    return tuple(each for each in counted_on(cook) if each.verdict == FAIL or each.said.leaves_open)


def set_aside(cook: str, verdict: str, aside: Aside) -> dict[str, Any]:
    """Return what a verdict adds to its details: the earlier ones it does not let count, and why.

    Parameters
    ----------
    cook, verdict : str
        Code of the cook, and what is written down of it.
    aside : Aside
        What is set aside, and why.

    Raises
    ------
    InputError
        If something is to be set aside and the verdict passes nothing, or none such stands.
    """
    because = written("set-aside", aside.reason, LONGEST_REASON)
    if not because:
        return {}
    if verdict != PASS:
        accepted = "nothing: only a verdict that passes sets an earlier one aside"
        raise InputError("set-aside", because, accepted)
    found = [
        each.entry
        for each in against_passing(cook)
        if aside.entries is None or each.entry in aside.entries
    ]
    if not found:
        accepted = f"nothing: no such earlier verdict stands against cook {cook}"
        raise InputError("set-aside", because, accepted, "Look at the page of the cook.")
    return {SET_ASIDE: found, BECAUSE: because}


def set_aside_by(entry: NewEntry, counted: Sequence[Judged]) -> str:
    """Return in words which of the verdicts that counted an entry sets aside; empty: none."""
    named = entry.details.get(SET_ASIDE, ())
    return earlier_in_words([each for each in counted if each.entry in named])


def replaced_by(entry: NewEntry, counted: Sequence[Judged]) -> str:
    """Return in words which of them were by the beginning of an entry's own log; empty: none."""
    gone = (entry.details.get("judged") or {}).get(REPLACES, ())
    return earlier_in_words(
        [each for each in counted if each.details.get("log") in gone and each.verdict != FAIL]
    )


def together_with(cook: str, entry: NewEntry) -> str:
    """Return how a cook stands once an entry of a verdict is written down."""
    new = Said(entry.client_id, str(entry.details["verdict"]), entry.details)
    ruled = ruling(counting([*(each.said for each in counted_on(cook)), new]))
    return ruled.verdict if ruled else new.verdict
