"""How growth, wake-up tests and what a tube asks for are said."""

from __future__ import annotations

from datetime import date

from pinset.chain.shelf_life import Asked, Asks, Woken
from pinset.chain.vigour import Growth, Slower
from pinset.services.words import plural, short_day

ASKS = {
    Asks.TEST: "wake a piece on a plate",
    Asks.RENEW: "move it into a new tube",
    Asks.MOTHER: "go back to the mother",
    Asks.NOTHING: "nothing",
}


def growth_words(growth: Growth) -> str:
    """Return ``5.0 mm a day, give or take 0.4``; of a full plate ``at least``."""
    said = f"{growth.mm_per_day:.1f} mm a day, give or take {growth.within:.1f}"
    return f"at least {said} (the plate was full)" if growth.is_at_edge else said


def slower_words(slower: Slower | None) -> str:
    """Return the newest plate held against the earlier ones; nothing if there are too few."""
    if slower is None:
        return ""
    usual = f"the middle of {slower.earlier} earlier plates is {slower.usual_mm_per_day:.1f}"
    now = growth_words(slower.newest.growth)
    if slower.is_slower:
        return f"Slower than it was: {now}; {usual}."
    return f"Grows as it did: {now}; {usual}."


def woken_words(test: Woken) -> str:
    """Return ``2 of 2 pieces grew, seen after 2 days``."""
    grew = f"{test.grew} of {plural(test.of, 'piece')} grew"
    seen = f", seen after {plural(test.days, 'day')}" if test.days is not None else ""
    clean = "" if test.is_clean else "; something else grew beside it"
    return f"{grew}{seen}{clean}"


def asked_words(asked: Asked, source: str) -> str:
    """Return what a tube asks for, with its reason: a sentence without its day."""
    what = ASKS[asked.asks]
    if asked.asks is Asks.NOTHING:
        return asked.why
    if asked.asks is Asks.MOTHER:
        if asked.back_to:
            what = f"go back to {asked.back_to}, which was moved fewer times"
        else:
            again = f" ({source})" if source else ""
            what = f"no sound tube moved fewer times stands here: get the culture anew{again}"
    return f"{what}: {asked.why}"


def on_words(on: date, today: date) -> str:
    """Return ``since 3 March``, ``today`` or ``from 3 March on``."""
    day = short_day(on) if on.year == today.year else f"{short_day(on)} {on.year}"
    if on == today:
        return "today"
    return f"since {day}" if on < today else f"from {day} on"
