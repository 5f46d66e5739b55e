"""Writing down what was seen of a kept culture: a plate measured, a tube woken."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, datetime, time
from typing import Any
from zoneinfo import ZoneInfo

from pinset.chain.living import LivingLot
from pinset.chain.shelf_life import Asks, Woken
from pinset.chain.stages import Stage
from pinset.chain.vigour import DAY_ONLY, LARGEST_MM, LONGEST_APART, Radius, growth, of_plate
from pinset.errors import InputError, RefusedError
from pinset.farm import trade
from pinset.farm.entries import NewEntry
from pinset.farm.queries.alive import living
from pinset.farm.queries.cultures import plates_read
from pinset.farm.queries.lots import LotRow, lot_by_code, rows_of
from pinset.farm.trade import Tap
from pinset.services.answers.lot_actions import Saying, write_about
from pinset.services.clock import at_clock, farm_day
from pinset.services.cultures.answering import answering, in_step_after
from pinset.services.cultures.words import growth_words, woken_words
from pinset.services.plans import planning_day
from pinset.services.views import Done
from pinset.services.words import short_day

AGAIN_AFTER_DAYS = (3, 5)
"""When a plate is measured again; d, common practice, no source."""

MOST_PLATES = 1000
KEPT = {Stage.TUBE.value, Stage.PLATE.value, Stage.LIQUID.value}


def measure(
    saying: Saying,
    radius_mm: float,
    *,
    before: Radius | None = None,
    plate: int = 1,
) -> Done:
    """Write a radius of a plate down; with one from before they make its growth.

    Parameters
    ----------
    saying : Saying
        Of which lot of plates, and when it was read.
    radius_mm : float
        From where it was set to the rim of the growth. [mm]
    before : Radius, optional
        An earlier reading of the same plate that was not written down: of :func:`read_at`, or of
        :func:`read_on` where only its day is known. [mm]
    plate : int
        Number of the plate, where several of a lot are measured.

    Raises
    ------
    InputError
        If a radius or a moment cannot be, or the plate was larger before.
    RefusedError
        If the lot is no plates.
    """
    _refuse_size(radius_mm)
    if not 1 <= plate <= MOST_PLATES:
        raise InputError("plate", plate, f"its number, 1 to {MOST_PLATES}")
    said: dict[str, Any] = {"how": "measure", "radius": radius_mm, "plate": plate}
    if before is not None:
        said["before"] = [before.at.isoformat(), before.mm]
    book, _ = planning_day.farm_book()
    zone = ZoneInfo(book.farm.time_zone)

    def build(tap: Tap, lot: str) -> tuple[NewEntry, str]:
        row = _row(lot, {Stage.PLATE.value}, "Only plates are measured")
        radii = [*([before] if before else []), Radius(tap.at, radius_mm)]
        if len(radii) > 1:
            growth(*radii)  # says what cannot be
        known = _known(row, plate)
        _refuse_smaller(radii, known, zone)
        details = _stood(lot, farm_day(tap.at, book.farm.time_zone))
        entry = trade.measured(tap, lot, radii, plate=plate, details=details)
        return entry, _told([*known, *radii], radius_mm)

    return write_about(saying, said, build)


def woken(
    saying: Saying, pieces: int, grew: int, days: int | None = None, *, is_clean: bool = True
) -> Done:
    """Write a wake-up test down: pieces set on plates, and what grew.

    Parameters
    ----------
    saying : Saying
        Of which lot, and when it was seen.
    pieces, grew : int
        Pieces set on plates, and how many of them grew.
    days : int, optional
        Days until growth showed; None if nothing grew.
    is_clean : bool
        Whether nothing else grew beside it.

    Raises
    ------
    InputError
        If a number cannot be.
    RefusedError
        If the lot is none that is kept on the shelf.
    """
    test = Woken(pieces, grew, days, is_clean)
    said: dict[str, Any] = {"how": "woken", "pieces": test.of, "grew": test.grew}
    said |= {"days": test.days, "clean": test.is_clean}

    def build(tap: Tap, lot: str) -> tuple[NewEntry, str]:
        _row(lot, KEPT, "Only what is kept as culture is woken")
        tap = answering(tap, lot, Asks.TEST)
        words = woken_words(test)
        entry = trade.woken(
            tap,
            lot,
            words,
            of=test.of,
            grew=test.grew,
            days=test.days,
            is_clean=test.is_clean,
        )
        return entry, f"woken, {words}.{_what_now(test)}"

    return in_step_after(write_about(saying, said, build))


def read_at(at: datetime, mm: float) -> Radius:
    """Return a reading of which the moment is known."""
    return Radius(at, mm)


def read_on(day: date, hour: time | None, mm: float) -> Radius:
    """Return a reading of a day and an hour; without the hour it is right to half a day only."""
    book, _ = planning_day.farm_book()
    clock = "12:00" if hour is None else f"{hour:%H:%M}"
    at = at_clock(day, clock, book.farm.time_zone)
    return Radius(at, mm, DAY_ONLY) if hour is None else Radius(at, mm)


def _what_now(test: Woken) -> str:
    if test.failed:
        return " Do not carry on from it: go back to a tube moved fewer times."
    if test.was_late:
        return " That is late: move it into a new tube from what grew, and measure a plate of it."
    return ""


def _refuse_size(mm: float) -> None:
    if not 0.0 < mm <= LARGEST_MM:
        raise InputError("radius", mm, f"more than 0 and at most {LARGEST_MM:g} mm")


def _row(lot: str, stages: set[str], words: str) -> LotRow:
    [row] = rows_of([lot_by_code(lot)])
    if row.stage not in stages:
        raise RefusedError(f"{words}; lot {lot} is {row.stage}.", "Look at the code on the label.")
    return row


def _known(row: LotRow, plate: int) -> list[Radius]:
    """Return what was read of a plate before."""
    return [
        radius
        for each in plates_read([row.culture])
        if each.lot == row.code and each.plate == plate
        for radius in each.radii
    ]


def _refuse_smaller(radii: Sequence[Radius], known: Sequence[Radius], zone: ZoneInfo) -> None:
    """Refuse a colony that shrank: another plate was read."""
    for radius in radii:
        for other in known:
            first, second = sorted((radius, other), key=lambda each: each.at)
            if second.mm < first.mm and second.at - first.at <= LONGEST_APART:
                day = short_day(other.at.astimezone(zone).date())
                raise InputError(
                    "radius",
                    radius.mm,
                    f"{'at least' if other is first else 'at most'} the {other.mm:g} mm of {day}",
                    "If it is another plate of this lot, give it another number.",
                )


def _stood(lot: str, day: date) -> dict[str, Any]:
    """Return how warm plates stand, on what they grow and how often they were moved."""
    parts: tuple[LivingLot, ...] = living(day, lots=[lot])
    if not parts:
        return {}
    part = max(parts, key=lambda each: each.alive)
    found: dict[str, Any] = {"transfers": part.transfers, "temperature_c": part.temperature_c}
    if part.now_step().mix:
        found["medium"] = part.now_step().mix
    return found


def _told(radii: Sequence[Radius], now_mm: float) -> str:
    found = of_plate(radii)
    if found is None:
        low, high = AGAIN_AFTER_DAYS
        return f"{now_mm:g} mm. Measure it again in {low} to {high} days."
    return f"{growth_words(found[1])}."
