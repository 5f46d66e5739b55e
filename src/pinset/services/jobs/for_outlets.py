"""Jobs for what fits no promise: packing it for an outlet, handing it over, drying it.

They go by what the plan expects to be left over. Nothing is owed to an outlet: what is not done on
its day is not asked for again.
"""

from __future__ import annotations

from collections import defaultdict
from datetime import date, timedelta

from pinset.chain.register import Outlet, OutletKind, RoomKind
from pinset.planning.building.from_book import is_early_hour
from pinset.planning.outlets.surplus import SurplusPlan
from pinset.planning.outlets.visits import hour_of_outlet
from pinset.planning.sizing.work import PACK_MINUTES_PER_KG
from pinset.services.book_reader import Reader
from pinset.services.jobs.records import JobKind, PlannedJob, VarietyGrams
from pinset.services.words import GRAMS, joined, near_day

LEAST_G = 50
"""Less of a variety is not worth a job."""

LEAST_MINUTES = 5
AHEAD_DAYS = 7
WHY = "The plan expects it to be left over when all promises are served. Nothing is owed."


def for_outlets(surplus: SurplusPlan, reader: Reader) -> tuple[PlannedJob, ...]:
    """Return the work of today for outlets: packing for today and for days to come, handing over.

    Parameters
    ----------
    surplus : SurplusPlan
        Which outlet is to get what, of the plan that is laid out.
    reader : Reader
        The farm and its day.
    """
    shares: dict[tuple[str, date], dict[str, int]] = defaultdict(dict)
    for each in surplus.shares:
        if each.grams >= LEAST_G:
            by_variety = shares[each.outlet, each.day]
            by_variety[each.variety] = by_variety.get(each.variety, 0) + round(each.grams)
    jobs: list[PlannedJob] = []
    for outlet in reader.book.outlets:
        for ahead in range(AHEAD_DAYS + 1):
            day = reader.today + timedelta(days=ahead)
            weights = shares.get((outlet.code, day), {})
            if not weights:
                continue
            is_drier = outlet.kind is OutletKind.DRYING
            if not is_drier and packed_on(outlet, day, reader) == reader.today:
                jobs.append(_packing(outlet, day, weights, reader))
            if not ahead:
                jobs += [_handing_over(outlet, v, g, reader) for v, g in weights.items()]
    return tuple(jobs)


def packed_on(outlet: Outlet, day: date, reader: Reader) -> date:
    """Return the day on which something for an outlet is packed, as for a delivery."""
    if reader.works_on(day) and not is_early_hour(
        reader.book, hour_of_outlet(reader.book, outlet), day
    ):
        return day
    return reader.working_day_before(day - timedelta(days=1))


def _packing(outlet: Outlet, day: date, weights: dict[str, int], reader: Reader) -> PlannedJob:
    grams, hour = sum(weights.values()), hour_of_outlet(reader.book, outlet)
    said = joined([f"{reader.about(g)} {reader.name(v)}" for v, g in weights.items()])
    is_today = day == reader.today
    when = f"Packed before {hour}" if is_today else f"For {near_day(day, reader.today)} {hour}"
    return PlannedJob(
        key=f"pack:{reader.today}:{day}:outlet:{outlet.code}",
        kind=JobKind.PACK,
        task="pack",
        day=reader.today,
        count=max(1, round(grams / GRAMS)),
        unit="kg",
        what=f"kg or so to pack for {outlet.name}: {said}",
        room_kind=RoomKind.PACKING.value,
        detail=f"{when}, left over{'' if is_today else ', kept cold until then'}",
        minutes=max(LEAST_MINUTES, round(PACK_MINUTES_PER_KG * grams / GRAMS)),
        due=f"before {hour}" if is_today else "",
        why=WHY,
        for_day=day,
        grams=grams,
        weights=tuple(VarietyGrams(variety, g) for variety, g in weights.items()),
        stake=reader.said(grams),
        cautions=("food", "lifting"),
        outlet=outlet.code,
        is_daily=True,
    )


def _handing_over(outlet: Outlet, variety: str, grams: int, reader: Reader) -> PlannedJob:
    is_drier = outlet.kind is OutletKind.DRYING
    kind = JobKind.DRY if is_drier else JobKind.GIVE
    name, hour = reader.name(variety), hour_of_outlet(reader.book, outlet)
    return PlannedJob(
        key=f"{kind.value}:{outlet.code}:{variety}:{reader.today}",
        kind=kind,
        task=kind.value,
        day=reader.today,
        count=max(1, round(grams / GRAMS)),
        unit="kg",
        what=f"kg or so {name} {'into' if is_drier else 'for'} {outlet.name}",
        room_kind=RoomKind.PACKING.value,
        detail=f"About {reader.about(grams)} left over; weigh it",
        variety=variety,
        variety_name=name,
        minutes=LEAST_MINUTES,
        due="" if is_drier else hour,
        why=WHY,
        grams=grams,
        stake=reader.said(grams),
        cautions=("food",),
        outlet=outlet.code,
        is_daily=True,
    )
