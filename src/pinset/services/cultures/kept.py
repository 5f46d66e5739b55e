"""Reading what is kept: tubes with their tests, plates with their growth, by culture."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from zoneinfo import ZoneInfo

from pinset.chain.living import LivingLot
from pinset.chain.shelf_life import Asked, Tube, Woken, asked_of, is_on_shelf
from pinset.chain.stages import Stage
from pinset.chain.vigour import Measured, Radius, Slower, held_against_earlier, of_plate
from pinset.farm.queries.alive import living
from pinset.farm.queries.cultures import PlateRead, plates_read, woken_of


@dataclass(frozen=True, slots=True)
class Kept:
    """All that is kept of one culture."""

    culture: str  # code; empty: none is named
    variety: str  # code
    tubes: tuple[Tube, ...]
    working: tuple[LivingLot, ...]  # plates and liquid
    plates: tuple[Measured, ...]  # oldest first
    slower: Slower | None

    def asked(self, tube: Tube, today: date) -> Asked:
        """Return what one lot of tubes asks for."""
        others = [each for each in self.tubes if each.lot.code != tube.lot.code]
        return asked_of(tube, others, today, self.slower)


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
    grown = _grown(plates_read({culture for culture, _ in by_culture}))
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
            )
            for lot in own
            if lot.stage is Stage.TUBE
        )
        working = tuple(lot for lot in own if lot.stage is not Stage.TUBE)
        slower = held_against_earlier(plates)
        found.append(Kept(culture, variety, tubes, working, plates, slower))
    return tuple(found)


def _grown(read: Sequence[PlateRead]) -> dict[tuple[str, str], tuple[Measured, ...]]:
    """Return the growth of every plate that was read twice, oldest first."""
    by_plate: dict[tuple[str, int], list[PlateRead]] = defaultdict(list)
    for each in read:
        by_plate[each.lot, each.plate].append(each)
    found: dict[tuple[str, str], list[Measured]] = defaultdict(list)
    for (lot, plate), own in by_plate.items():
        told = of_plate([Radius(at, mm) for each in own for at, mm in each.radii])
        if told is None:
            continue
        at, growth = told
        last = own[-1]
        found[last.culture, last.variety].append(
            Measured(lot, plate, at, growth, last.transfers, last.temperature_c, last.medium)
        )
    return {key: tuple(sorted(own, key=lambda each: each.at)) for key, own in found.items()}
