"""Plates of the demo farm that are measured: two radii of every few weeks' plates, days apart.

How fast a colony truly grows is drawn from a chance stream of its own for each plate and kept
beside the farm, so that what the two radii tell can be held against it. Whatever else happens is
the same with or without. The hot fortnight leaves the growth as it is.
"""

from __future__ import annotations

from datetime import date, datetime, time, timedelta
from typing import Any

from pinset.chain.register import Step
from pinset.chain.stages import Stage
from pinset.chain.vigour import EDGE_MM, Radius
from pinset.demo.lots import Lot
from pinset.demo.truth import PlateGrowth
from pinset.demo.world import SATURDAY, World
from pinset.services.answers.history import digest, trade

EVERY_WEEKS = 4
"""Of each variety the plates of every so many weeks are measured; common practice, no source."""

MEASURED_AT = time(8, 20)
"""Before the bench is begun; invented."""

PUBLISHED_MM_PER_DAY = {"Pleurotus eryngii": 3.15}
"""Growth on agar at the 23 degC of the incubation room, by latin name [mm/d].

King oyster: Soylu, Boztok & Esiyok 2016, Acta Horticulturae 1123:207-214 (abstract), mean of 28
strains: 2.84 at 20 and 3.35 at 25 degC, the straight line between. For the others see
:func:`stated_mm_per_day`.
"""

PIECE_MM = 3.0
"""Half the piece that was set on the plate; mm, common practice, no source."""

BEGINS_AFTER_DAYS = 1.0
"""Days until it begins to spread; common practice, no source."""

GROWTH_LOG_SD = 0.06
"""Between plates of one culture, of the logarithm; invented."""

READ_SD_MM = 0.4
"""Of a reading, before it is taken to the whole millimetre; invented."""

FIRST_SHARE, SECOND_SHARE = 0.4, 0.8
"""Shares of a plate's days at which it is read; common practice, no source."""


def measure_plates(world: World) -> None:
    """Read the radii that fall due today."""
    for lot in world.stock.all():
        if lot.step.stage is not Stage.PLATE or not _is_chosen(world, lot):
            continue
        first, second = (reading_day(world, lot, share) for share in (FIRST_SHARE, SECOND_SHARE))
        if world.today in {first, second}:
            _read(world, lot)
        if world.today == second:
            grew = PlateGrowth(lot.code, lot.culture, round(true_mm_per_day(world, lot), 3))
            world.plates_grew.append(grew)


def stated_mm_per_day(step: Step) -> float:
    """Return the growth by which a plate is full after the days its route states [mm/d].

    The days come from the table of route steps (common practice, no source).
    """
    return (EDGE_MM - PIECE_MM) / (step.days.mean - BEGINS_AFTER_DAYS)


def sound_mm_per_day(world: World, variety: str, step: Step) -> float:
    """Return the growth of a sound culture of a variety: published, or what its route states."""
    return PUBLISHED_MM_PER_DAY.get(world.varieties[variety].species, stated_mm_per_day(step))


def true_mm_per_day(world: World, lot: Lot) -> float:
    """Return how fast a lot of plates truly grows [mm/d]."""
    drawn = world.nature.apart(f"plate {lot.code}").lognormal(0.0, GROWTH_LOG_SD)
    return sound_mm_per_day(world, lot.variety, lot.step) * lot.vigour.growth * float(drawn)


def reading_day(world: World, lot: Lot, share: float) -> date:
    """Return the working day on which a plate is read, after a share of its days."""
    day = lot.made_on + timedelta(days=round(share * lot.step.days.mean))
    while not world.works(day):
        day += timedelta(days=1)
    return day


def _is_chosen(world: World, lot: Lot) -> bool:
    weeks = (lot.made_on - world.truth.start).days // 7
    place = list(world.varieties).index(lot.variety)
    return lot.made_on >= world.truth.start and weeks % EVERY_WEEKS == place % EVERY_WEEKS


def _read(world: World, lot: Lot) -> None:
    person = "marta" if world.today.weekday() == SATURDAY else world.lab_person(world.today)
    client_id = digest("measured", f"{lot.code} {world.today}")
    tap = world.diary.quiet_tap(MEASURED_AT, person, client_id)
    details: dict[str, Any] = {"transfers": lot.transfers, "temperature_c": lot.temperature_c}
    details |= {"medium": lot.step.mix} if lot.step.mix else {}
    mm = _radius_mm(world, lot, tap.at)
    world.diary.add(trade.measured(tap, lot.code, [Radius(tap.at, mm)], details=details))


def _radius_mm(world: World, lot: Lot, at: datetime) -> float:
    """Return what is read off a ruler, to the whole millimetre [mm]."""
    set_at = datetime.combine(lot.made_on, MEASURED_AT, world.diary.zone)
    days = (at - set_at) / timedelta(days=1)
    spread = max(0.0, days - BEGINS_AFTER_DAYS) * true_mm_per_day(world, lot)
    error = world.nature.apart(f"radius {lot.code} {at.date()}").normal(0.0, READ_SD_MM)
    return float(min(EDGE_MM, round(PIECE_MM + spread + float(error))))
