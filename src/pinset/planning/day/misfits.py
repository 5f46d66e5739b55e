"""What a day does not hold, in sentences that name it."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import time

from pinset.chain.day_hours import clock_words
from pinset.planning.day.tasks import Task

MOST_NAMED = 3
"""Pieces of work named late in the day; the rest stands below on the page with its names."""


def ends_late(latest: time, tasks: Sequence[tuple[str, int]]) -> str:
    """Return one sentence for all that ends later than it should: its words, and when it ends."""
    end = max(end for _, end in tasks)
    verb = "ends" if len(tasks) == 1 else "end"
    words = "; ".join(words for words, _ in tasks)
    return f"{words} {verb} about {clock_words(end)}, later than {latest:%H:%M}."


def does_not_fit(tasks: Sequence[Task]) -> str:
    """Return what does not fit into a whole day, what is due today before what can wait."""
    due = [task.words for task in tasks if not task.waits_days]
    rest = [task.words for task in tasks if task.waits_days]
    parts = ["; ".join(due)] if due else []
    if rest:
        wait = f"{'these' if len(rest) > 1 else 'this'} can wait: {'; '.join(rest)}"
        parts.append(f"{wait[0].upper()}{wait[1:]}" if due else wait)
    return f"About {_hours(tasks)} do not fit into today's hours: {'. '.join(parts)}."


def passes_on(tasks: Sequence[Task], ends: int, now: int) -> str:
    """Return that what is left passes to another day, and when work ends or ended. [min]."""
    is_one = len(tasks) == 1
    verb = "passes" if is_one else "pass"
    when = f"Work {'ended' if ends <= now else 'ends'} at {clock_words(ends)}" if ends else ""
    named = f": {'; '.join(task.words for task in tasks)}" if len(tasks) <= MOST_NAMED else ""
    jobs = "1 job" if is_one else f"{len(tasks)} jobs"
    return (
        f"{when or 'Nobody works'} today; {jobs}, about {_hours(tasks)}, {verb} to the next "
        f"working day{named}."
    )


def _hours(tasks: Sequence[Task]) -> str:
    hours, rest = divmod(sum(task.minutes for task in tasks), 60)
    return f"{hours} h {rest:02} min"
