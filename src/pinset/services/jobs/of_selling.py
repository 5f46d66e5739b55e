"""Jobs for the buyers: packing what is due, early deliveries the day before, handing over."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from datetime import date

from pinset.chain.day_hours import clock_minute
from pinset.chain.register import RoomKind
from pinset.chain.step_nouns import step_noun
from pinset.planning.sizing.work import PACK_MINUTES_PER_KG
from pinset.services.book_reader import Reader
from pinset.services.jobs.records import JobKind, PlannedJob, VarietyGrams
from pinset.services.promises.allotment import Allotment
from pinset.services.promises.due_deliveries import (
    DueDelivery,
    hour_of,
    open_amount,
    packed_on,
)
from pinset.services.promises.units_there import UnitsThere
from pinset.services.words import GRAMS, joined, near_day

READY_MINUTES_PER_UNIT = 0.5
"""Minutes to fetch, look over and box one unit for a buyer; common practice, no source."""

LEAST_MINUTES = 5
LEAST_THERE = 10
"""Less than this is nothing to hand over. [g]"""


def packing(
    due: Sequence[DueDelivery], reader: Reader, allotted: Allotment
) -> tuple[PlannedJob, ...]:
    """Return the packing of today: for today's hours, for early ones and days off to come.

    Of what is allotted to each, and no more than is promised; one job for each day of delivery.
    """
    by_day: dict[date, list[DueDelivery]] = defaultdict(list)
    for each in due:
        is_open = each.promise.measure == "gram" and open_amount(each) > 0
        if is_open and each.day >= reader.today and packed_on(each, reader) == reader.today:
            by_day[each.day].append(each)
    return tuple(
        job for day in sorted(by_day) for job in _packing(by_day[day], reader, day, allotted)
    )


def setting_ready(
    due: Sequence[DueDelivery], reader: Reader, units: UnitsThere
) -> tuple[PlannedJob, ...]:
    """Return the spawn and blocks to set ready today for an early hour or a day off to come.

    As many as will be usable by then, and no more than are promised; nothing where none is.
    """
    jobs = []
    for each in due:
        promise, wanted = each.promise, open_amount(each)
        left = min(wanted, units.get((promise.code, each.day), 0))
        is_ahead = each.day > reader.today and packed_on(each, reader) == reader.today
        if promise.measure == "gram" or not left or not is_ahead:
            continue
        short = f"; short by {wanted - left}" if wanted > left else ""
        name = reader.name(promise.variety)
        buyer = next((b.name for b in reader.book.buyers if b.code == promise.buyer), promise.buyer)
        noun = step_noun(reader.step(promise.variety, promise.step), left)
        jobs.append(
            PlannedJob(
                key=f"pack:{reader.today}:{each.day}:{promise.code}",
                kind=JobKind.PACK,
                task="pack",
                day=reader.today,
                count=left,
                unit="units",
                what=f"{noun} {name} to set ready for {buyer}",
                room_kind=RoomKind.PACKING.value,
                detail=f"{_for_day(each.day, hour_of(each, reader), reader)}{short}",
                step=promise.step,
                variety=promise.variety,
                variety_name=name,
                minutes=max(LEAST_MINUTES, round(READY_MINUTES_PER_UNIT * left)),
                why=_why(each.day, reader),
                for_day=each.day,
                serves=reader.promise_words([promise.code]),
                stake=reader.said(left, promise.measure),
                cautions=("lifting",),
            )
        )
    return tuple(jobs)


def _packing(
    due: Sequence[DueDelivery], reader: Reader, for_day: date, allotted: Allotment
) -> list[PlannedJob]:
    promised: dict[str, int] = defaultdict(int)
    shares: dict[str, float] = defaultdict(float)
    for each in due:
        promised[each.promise.variety] += open_amount(each)
        shares[each.promise.variety] += allotted.of(each).grams
    there = {variety: round(grams) for variety, grams in shares.items()}
    grams = sum(there.values())
    if not grams:
        return []
    said = [_said(there[v], v, reader) for v in promised if there[v]]
    short = [_said(g - there[v], v, reader) for v, g in promised.items() if g > there[v]]
    missing = f"; short by {joined(short)}" if short else ""
    hour = min((hour_of(each, reader) for each in due), key=clock_minute)
    is_today = for_day == reader.today
    return [
        PlannedJob(
            key=f"pack:{reader.today}:{for_day}",
            kind=JobKind.PACK,
            task="pack",
            day=reader.today,
            count=max(1, round(grams / GRAMS)),
            unit="kg",
            what=f"kg to pack: {joined(said)}",
            room_kind=RoomKind.PACKING.value,
            detail=f"{_when(for_day, hour, reader)}{missing}",
            minutes=max(5, round(PACK_MINUTES_PER_KG * grams / GRAMS)),
            due=f"before {hour}" if is_today else "",
            why=_why(for_day, reader),
            for_day=for_day,
            grams=grams,
            weights=tuple(VarietyGrams(v, g) for v, g in there.items() if g),
            stake=reader.said(grams),
            cautions=("food", "lifting"),
        )
    ]


def _when(for_day: date, hour: str, reader: Reader) -> str:
    ahead = (for_day - reader.today).days
    if not ahead:
        return f"Packed before {hour}"
    how_long = "overnight" if ahead == 1 else "until then"
    return f"{_for_day(for_day, hour, reader)}, kept cold {how_long}"


def _for_day(for_day: date, hour: str, reader: Reader) -> str:
    off = "" if reader.works_on(for_day) else ", a day off"
    return f"For {near_day(for_day, reader.today)} {hour}{off}"


def _why(for_day: date, reader: Reader) -> str:
    said = f"Promised for {near_day(for_day, reader.today)}"
    if for_day == reader.today:
        return f"{said}."
    if reader.works_on(for_day):
        return f"{said}, at an hour too early to pick and pack it that day."
    return f"{said}, a day off: nobody packs then, so it is packed on the last working day before."


def _said(grams: int, variety: str, reader: Reader) -> str:
    return f"{reader.said(grams)} {reader.name(variety)}"


def _there(
    each: DueDelivery,
    reader: Reader,
    allotted: Allotment,
    units: UnitsThere,
    given: UnitsThere,
) -> str:
    """Return in words how much of a delivery there will be, where that is not all."""
    there = _amount_there(each, allotted, units)
    of_plan = given.get((each.promise.code, each.day), there)
    if of_plan < there:
        return (
            f"; {there} or so will be there, but the plan gives it {of_plan or 'none'} of them: "
            "Promises says why"
        )
    if there >= open_amount(each):
        return ""
    if not there:
        return "; nothing of it will be there"
    said = reader.said(there) if each.promise.measure == "gram" else there
    return f"; {said} or so will be there"


def _amount_there(each: DueDelivery, allotted: Allotment, units: UnitsThere) -> int:
    """Return how much of a delivery there will be: of picked weight to ten grams. [g or units]."""
    if each.promise.measure != "gram":
        return units.get((each.promise.code, each.day), 0)
    there = round(allotted.of(each).grams)
    return there if there >= LEAST_THERE else 0


def _off(each: DueDelivery, reader: Reader) -> str:
    """Return that the delivery falls on a day off, with the day on which it was to be packed."""
    if each.day != reader.today or reader.works_on(each.day):
        return ""
    if each.promise.measure != "gram":
        return "; today is a day off"
    packed = near_day(packed_on(each, reader), reader.today)
    return f"; today is a day off: it was to be packed {packed}"


def handing_over(
    due: Sequence[DueDelivery],
    reader: Reader,
    allotted: Allotment,
    units: UnitsThere,
    given: UnitsThere | None = None,
) -> tuple[PlannedJob, ...]:
    """Return one job for each promise that is due by today and not yet handed over.

    Of the units that will be there the plan gives each delivery those ``given``; None: all.
    """
    given = units if given is None else given
    buyers = {buyer.code: buyer.name for buyer in reader.book.buyers}
    jobs = []
    for each in due:
        promise, left = each.promise, open_amount(each)
        if not left or each.day > reader.today:
            continue
        is_late = each.day < reader.today
        at = "" if is_late else hour_of(each, reader)
        name = reader.name(promise.variety)
        is_weight = promise.measure == "gram"
        noun = "kg" if is_weight else f"{'unit' if left == 1 else 'units'} of {promise.step}"
        hangs = min(left, _amount_there(each, allotted, given))
        jobs.append(
            PlannedJob(
                key=f"deliver:{promise.code}:{each.day}",
                kind=JobKind.DELIVER,
                task="deliver",
                day=each.day,
                count=max(1, round(left / GRAMS)) if is_weight else left,
                unit="kg" if is_weight else "units",
                what=f"{noun} {name} for {buyers.get(promise.buyer, promise.buyer)}",
                room_kind=RoomKind.PACKING.value,
                detail=f"Promised {reader.said(promise.amount, promise.measure)}"
                f"{' for ' + near_day(each.day, reader.today) if is_late else ''}"
                f"{_there(each, reader, allotted, units, given)}{_off(each, reader)}",
                step=promise.step,
                variety=promise.variety,
                variety_name=name,
                minutes=5,
                fixed_at=at,
                due=at,
                why=f"Promised for {near_day(each.day, reader.today)}.",
                serves=reader.promise_words([promise.code]),
                promise=promise.code,
                grams=left if is_weight else 0,
                stake=reader.said(hangs, promise.measure) if hangs else "",
            )
        )
    return tuple(jobs)
