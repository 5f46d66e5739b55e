"""What was picked or lost since the newest plan, which its expectations know nothing of."""

from __future__ import annotations

from collections import defaultdict

from pinset.farm import since
from pinset.farm.entries import Account, Measure
from pinset.services.book_reader import Reader
from pinset.services.clock import farm_time
from pinset.services.plans.planning_day import Planned
from pinset.services.words import joined, near_day, plural

MOST_NAMED = 4


def said_since(newest: Planned, reader: Reader) -> tuple[str, ...]:
    """Return in a sentence what was picked, lost or thrown out since; nothing if nothing was."""
    grams: dict[str, int] = defaultdict(int)
    for each in since.recorded_since(newest.last_entry):
        if each.account is Account.GROWN and each.measure is Measure.GRAM:
            grams[each.variety] += each.quantity
    units: dict[str, int] = defaultdict(int)
    for out in since.taken_out_since(newest.last_entry):
        units[out.variety] += out.units
    said = [f"{reader.said(picked)} {reader.name(v)} picked" for v, picked in grams.items()]
    said += [
        f"{plural(lost, 'unit')} of {reader.name(v)} lost"
        if v
        else f"{plural(lost, 'prepared vessel')} lost"
        for v, lost in units.items()
    ]
    if not said:
        return ()
    more = len(said) - MOST_NAMED
    named = [*said[:MOST_NAMED], *([f"{more} more"] if more > 0 else [])]
    made = farm_time(newest.made_at, reader.book.farm.time_zone)
    day = near_day(made.date(), reader.today)
    sentence = (
        f"Since the plan of {day} {made:%H:%M}: {joined(named)}. What is expected below, and how "
        "sure it is, is as of that plan: plan again to count it in."
    )
    return (sentence,)
