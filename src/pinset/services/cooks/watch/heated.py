"""What is said of a watched cook whose end is a bound: hot when first read, or read too little."""

from __future__ import annotations

from pinset.errors import Finding, Severity
from pinset.science.watching.watching import Watching
from pinset.services.cooks.watch.records import Unsure
from pinset.services.cooks.watch.speech import Speech, Times

SINCE, BEFORE = "watch.since", "watch.before"
LAW = "watch.range"
TAKEN = "Until it does the slowest that may be is taken: the load may have enough sooner."


def unsure_of(why: Unsure | None, watched: Watching, speech: Speech) -> str:
    """Return that the time to hold is not known well, and why."""
    if why is Unsure.ALONE:
        said = "nothing was read of its chamber, and the core is taken to stay as it is"
    elif why is Unsure.ONCE and watched.once_c is not None:
        once = speech.degrees(watched.once_c)
        said = f"its core was read a single time, at {once}, so it is reckoned; read it again"
    else:
        said = _was_hot(watched, speech)
    return f"How long to hold is not known well: {said}."


def of_since(watched: Watching, speech: Speech) -> list[Finding]:
    """Return the question since when it is heated, or how what was said of it counts."""
    if watched.was_hot and watched.is_measured:
        hint = (
            "Until somebody says it the slowest that may be is taken: the load may have enough "
            "sooner. Say it below."
        )
        said = "Since when is it heated?"
        return [Finding(SINCE, Severity.WARNING, "chamber", said, hint)]
    if watched.was_hot:
        sentence = (
            f"It {_was_hot(watched, speech).removeprefix('it ')}. What the load took up before "
            "counts for nothing, so the end is rather late than early."
        )
        return [Finding(SINCE, Severity.NOTE, "chamber", sentence, "")]
    if not watched.is_bound:
        return []
    sentence = (
        "It was heated before it was first read. The core does not show yet that it was so since "
        "the time that was said; heated for longer, or hotter, it would need longer."
    )
    hint = f"{TAKEN} If the time was a slip, say it again below."
    return [Finding(BEFORE, Severity.NOTE, "chamber", sentence, hint)]


def of_law(times: Times) -> list[Finding]:
    """Return why its end is a range, where it is."""
    if times.unsure is not Unsure.LAW:
        return []
    sentence = (
        "The core does not show yet how its load takes up heat where it has not been. The latest "
        "time is that of the slowest load its readings allow, the other that of the likeliest."
    )
    hint = "Count on the latest. Both come together as the core gets hotter."
    return [Finding(LAW, Severity.NOTE, "core", sentence, hint)]


def _was_hot(watched: Watching, speech: Speech) -> str:
    first = speech.degrees(float(watched.chamber.celsius[0])) if watched.chamber else ""
    why = (
        "nobody said since when it is heated"
        if watched.was_hot
        else "the core does not show yet that it was heated as was said"
    )
    return f"it was at {first} already when it was first read, and {why}"
