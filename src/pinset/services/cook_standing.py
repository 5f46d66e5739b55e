"""What earlier verdicts on a cook say where another is written down beside them."""

from __future__ import annotations

from collections.abc import Sequence

from pinset.chain.verdicts_together import FAIL, PASS, SET_ASIDE, Said, counting, ruling
from pinset.errors import InputError
from pinset.farm.entries import NewEntry
from pinset.farm.queries.cooks import Judged, counting_verdicts
from pinset.services.clock import farm_time
from pinset.services.cook_words import verdict_in_words
from pinset.services.frame import frame
from pinset.services.words import joined


def counted_on(cook: str) -> tuple[Judged, ...]:
    """Return the verdicts that count together on a cook, the oldest first."""
    return counting_verdicts([cook]).get(cook, ())


def too_short_on(cook: str) -> tuple[Judged, ...]:
    """Return those of them by which the cook was too short."""
    return tuple(each for each in counted_on(cook) if each.verdict == FAIL)


def earlier_in_words(earlier: Sequence[Judged]) -> str:
    """Return earlier verdicts by their logs: ``a.csv says too short (2026-03-12 09:10, Ada)``."""
    return joined([_in_words(each) for each in earlier])


def _in_words(judged: Judged) -> str:
    by = str(judged.details.get("log_name") or "") or "a verdict without a log"
    at = farm_time(judged.at, frame().time_zone)
    said = verdict_in_words(judged.verdict, judged.details)
    who = f", {judged.by}" if judged.by else ""
    return f"{by} says {said} ({at:%Y-%m-%d %H:%M}{who})"


def set_aside(cook: str, verdict: str, reason: str) -> dict[str, list[str]]:
    """Return what a verdict adds to its details: the earlier ones it does not let count.

    Parameters
    ----------
    cook, verdict : str
        Code of the cook, and what is written down of it.
    reason : str
        Why the earlier ones do not count.

    Raises
    ------
    InputError
        If it passes, an earlier one was too short, and no reason is given.
    """
    short = too_short_on(cook) if verdict == PASS else ()
    if short and not reason:
        raise InputError(
            "reason",
            reason,
            f"why cook {cook} passes although {earlier_in_words(short)}: the slowest core of all "
            "its logs rules",
            "If that log is of another cook, undo its verdict on the page of this one, or say so "
            "as the reason. At the terminal: --reason.",
        )
    if verdict != PASS or not reason:
        return {}
    aside = [
        each.entry for each in counted_on(cook) if each.verdict == FAIL or each.said.leaves_open
    ]
    return {SET_ASIDE: aside} if aside else {}


def together_with(cook: str, entry: NewEntry) -> str:
    """Return how a cook stands once an entry of a verdict is written down."""
    new = Said(entry.client_id, str(entry.details["verdict"]), entry.details)
    ruled = ruling(counting([*(each.said for each in counted_on(cook)), new]))
    return ruled.verdict if ruled else new.verdict
