"""Reading what is kept: tubes with their tests, plates with their growth, by culture."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from zoneinfo import ZoneInfo

from pinset.chain.living import LivingLot
from pinset.chain.shelf_life import Asked, Gone, Tube, Woken, asked_of, is_on_shelf
from pinset.chain.stages import Stage
from pinset.chain.vigour import Measured, Slower, held_against_earlier, of_plate
from pinset.farm.queries.alive import living
from pinset.farm.queries.cultures import PlateRead, plates_read, tubes_gone, woken_of
from pinset.farm.queries.lineage import came_from_of
from pinset.services.clock import now_utc

KEPT_IN_MIND = timedelta(days=1095)
"""Plates measured longer ago say nothing of how a culture grows as usual; our own choice."""


@dataclass(frozen=True, slots=True)
class Kept:
    """All that is kept of one culture."""

    culture: str  # code; empty: none is named
    variety: str  # code
    tubes: tuple[Tube, ...]
    working: tuple[LivingLot, ...]  # plates and liquid
    plates: tuple[Measured, ...]  # oldest first
    slower: Slower | None
    gone: tuple[Gone, ...] = ()  # tubes that stood once

    def asked(self, tube: Tube, today: date) -> Asked:
        """Return what one lot of tubes asks for."""
        others = [each for each in self.tubes if each.lot.code != tube.lot.code]
        return asked_of(tube, others, today, self.slower, self.gone)


def kept_cultures(today: date, zone: ZoneInfo) -> tuple[Kept, ...]:
    """Return every culture of which something stands on the shelf."""
    return kept_of(living(today), zone)


def kept_of(lots: Sequence[LivingLot], zone: ZoneInfo) -> tuple[Kept, ...]:
    """Return the cultures of what lives; arguments as read from the ledger."""
    by_culture: dict[tuple[str, str], list[LivingLot]] = defaultdict(list)
    for lot in lots:
        if is_on_shelf(lot):
            by_culture[lot.culture, lot.variety].append(lot)
    if not by_culture:
        return ()
    here = [lot for found in by_culture.values() for lot in found]
    tests = woken_of({lot.code for lot in here}, zone)
    cultures = {culture for culture, _ in by_culture}
    grown = _grown(plates_read(cultures, now_utc() - KEPT_IN_MIND))
    came_from = came_from_of({lot.code for lot in here if lot.stage is Stage.TUBE})
    gone: dict[tuple[str, str], list[Gone]] = defaultdict(list)
    first = min((lot.made_on for lot in here if lot.stage is Stage.TUBE), default=None)
    for lost in tubes_gone(cultures, zone, first):
        gone[lost.culture, lost.variety].append(Gone(lost.code, lost.made_on, lost.on))
    found = []
    for (culture, variety), own in by_culture.items():
        plates = grown.get((culture, variety), ())
        tubes = tuple(
            Tube(
                lot,
                tuple(
                    Woken(each.of, each.grew, each.days, each.is_clean, each.on)
                    for each in tests.get(lot.code, ())
                ),
                came_from.get(lot.code, frozenset()),
            )
            for lot in own
            if lot.stage is Stage.TUBE
        )
        working = tuple(lot for lot in own if lot.stage is not Stage.TUBE)
        slower = held_against_earlier(plates)
        past = tuple(gone[culture, variety])
        found.append(Kept(culture, variety, tubes, working, plates, slower, past))
    return tuple(found)


def grown_of(cultures: Collection[str]) -> dict[tuple[str, str], tuple[Measured, ...]]:
    """Return the growth of every plate that was read twice, by culture and variety, oldest first.

    Plates of cultures of which nothing stands any more are among them.
    """
    return _grown(plates_read(cultures))


def _grown(read: Sequence[PlateRead]) -> dict[tuple[str, str], tuple[Measured, ...]]:
    by_plate: dict[tuple[str, int], list[PlateRead]] = defaultdict(list)
    for each in read:
        by_plate[each.lot, each.plate].append(each)
    found: dict[tuple[str, str], list[Measured]] = defaultdict(list)
    for (lot, plate), own in by_plate.items():
        told = of_plate([radius for each in own for radius in each.radii])
        if told is None:
            continue
        at, growth = told
        last = own[-1]
        found[last.culture, last.variety].append(
            Measured(lot, plate, at, growth, last.transfers, last.temperature_c, last.medium)
        )
    return {key: tuple(sorted(own, key=lambda each: each.at)) for key, own in found.items()}
