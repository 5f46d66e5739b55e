"""What is said of a watched cook that was hot already when it was first read."""

from __future__ import annotations

from pinset.errors import Finding, Severity
from pinset.science.watching.watching import Watching
from pinset.services.cooks.watch.speech import Speech

SINCE = "watch.since"


def unsure_since(watched: Watching, speech: Speech) -> str:
    """Return that the time to hold is not known well, and why."""
    return f"How long to hold is not known well: {_was_hot(watched, speech)}."


def of_since(watched: Watching, speech: Speech) -> Finding:
    """Return the question since when it is heated, or that nothing before counts."""
    if watched.is_measured:
        sentence = "Since when is it heated?"
        hint = (
            "Until somebody says it the slowest that may be is taken: the load may have enough "
            "sooner. Say it below."
        )
        return Finding(SINCE, Severity.WARNING, "chamber", sentence, hint)
    sentence = (
        f"It {_was_hot(watched, speech).removeprefix('it ')}. What the load took up before "
        "counts for nothing, so the end is rather late than early."
    )
    return Finding(SINCE, Severity.NOTE, "chamber", sentence, "")


def _was_hot(watched: Watching, speech: Speech) -> str:
    first = speech.degrees(float(watched.chamber.celsius[0])) if watched.chamber else ""
    return (
        f"it was at {first} already when it was first read, and nobody said since when it is heated"
    )
