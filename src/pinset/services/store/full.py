"""What is lost because a cold store is full, in sentences."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Sequence
from datetime import timedelta

from pinset.chain.living import LivingLot
from pinset.chain.step_nouns import step_noun
from pinset.planning.building.cold_places import Gain, placed
from pinset.planning.plan import Plan
from pinset.services.book_reader import Reader
from pinset.services.jobs.from_plan import units_counted_on
from pinset.services.jobs.into_store import gains_without
from pinset.services.jobs.of_lots import lots_in_words
from pinset.services.words import joined, short_day

LOST_WITHIN_DAYS = 7
"""What keeps for more days where it stands is not said yet; common practice, no source."""


def full_store_notes(
    living: Sequence[LivingLot], plan: Plan, reader: Reader, declined: Collection[str] = ()
) -> tuple[str, ...]:
    """Return a sentence for each cold store in which nothing fits while something is lost by it.

    Lost is what is past its time within a week where it stands and not used by the plan by then.
    Where something fits, the job of carrying it says what does not.
    """
    last = reader.today + timedelta(days=LOST_WITHIN_DAYS)
    by_room: dict[str, list[Gain]] = defaultdict(list)
    for gain in gains_without(living, reader, units_counted_on(plan, last)):
        if gain.lot.code not in declined:
            by_room[gain.room.code].append(gain)
    notes = []
    for gains in by_room.values():
        lost = [gain for gain in gains if gain.here <= last]
        if lost and not any(placed(gains, living)):
            notes.append(_sentence(lost, reader))
    return tuple(notes)


def _sentence(lost: Sequence[Gain], reader: Reader) -> str:
    lots = [gain.lot for gain in lost]
    units = sum(lot.alive for lot in lots)
    nouns = list(dict.fromkeys(step_noun(lot.now_step(), units) for lot in lots))
    noun = nouns[0] if len(nouns) == 1 else "units"
    names = joined(list(dict.fromkeys(reader.name(lot.variety) for lot in lots)))
    until = short_day(min(gain.here for gain in lost))
    return (
        f"{lost[0].room.name} is full: {units} {noun} {names} ({lots_in_words(lots)}) "
        f"{'keeps' if units == 1 else 'keep'} only until {until} where "
        f"{'it stands' if units == 1 else 'they stand'}, and the plan does not use "
        f"{'it' if units == 1 else 'them'} by then. Make room there, or use or sell "
        f"{'it' if units == 1 else 'them'} before."
    )
