"""Which vessels are begun and not cooked: grain in the soak cannot be wished there today."""

from __future__ import annotations

from collections import defaultdict
from datetime import date, time

from pinset.chain.register import FarmBook
from pinset.chain.vessel_keys import mix_words
from pinset.planning.building.step_numbers import litres_of
from pinset.planning.resources import Begun
from pinset.services.loads.uncooked import UNCOOKED_KEEPS_DAYS, Mix, Waiting, step_of


def begun_vessels(book: FarmBook, today: date, waiting: Waiting) -> tuple[Begun, ...]:
    """Return what is begun, mix by mix, and the days of the cooks that may still take it.

    Counted is the task of which most was done: what was soaked, while only some is boiled yet.

    Parameters
    ----------
    book, today : FarmBook, date
        The farm and its day.
    waiting : Waiting
        What was prepared and neither cooked nor thrown out.
    """
    most: defaultdict[tuple[Mix, date], int] = defaultdict(int)
    for (mix, _, day), units in waiting.units.items():
        most[mix, day] = max(most[mix, day], units)
    found = []
    for (mix, day), units in sorted(most.items()):
        step, first = step_of(book, mix), (day - today).days
        if step is not None and units > 0 and first + UNCOOKED_KEEPS_DAYS >= 0:
            litres = units * litres_of(book, step)
            last = first + UNCOOKED_KEEPS_DAYS
            found.append(Begun(step.cook, litres, max(0, first), last, mix_words(step)))
    return tuple(found)


def since_hours(since: time | None) -> float:
    """Return the hour from which work of today can begin; 0 in the morning. [h]."""
    return since.hour + since.minute / 60.0 if since else 0.0
