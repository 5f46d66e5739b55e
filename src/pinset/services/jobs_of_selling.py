"""Jobs for the buyers: packing what is due, early deliveries the day before, handing over."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, timedelta
from math import floor

from pinset.chain.due import due_days
from pinset.chain.register import Promise, RoomKind
from pinset.planning.from_book import Picked
from pinset.services.book_reader import Reader
from pinset.services.job_records import JobKind, PlannedJob, VarietyGrams
from pinset.services.words import GRAMS, joined, near_day

PACK_MINUTES_PER_KG = 2.0
"""Minutes to weigh and pack a kilogram; common practice, no source."""


EARLY_MINUTES = 120
"""Deliveries within this time after work begins are packed the working day before; common
practice, no source."""


@dataclass(frozen=True, slots=True)
class DueDelivery:
    """A promise that is due on a day and what was already handed over for it."""

    promise: Promise
    day: date
    delivered: int


def due_on(
    promises: Iterable[Promise], day: date, delivered: dict[tuple[str, date], int]
) -> tuple[DueDelivery, ...]:
    """Return the promises due on a day with what was handed over so far."""
    return tuple(
        DueDelivery(promise, day, delivered.get((promise.code, day), 0))
        for promise in promises
        if due_days(promise, day, day)
    )


def open_amount(each: DueDelivery) -> int:
    """Return what is still to be handed over, in grams or units."""
    return max(0, each.promise.amount - each.delivered)


def hour_of(each: DueDelivery, reader: Reader) -> str:
    """Return the clock time at which it is handed over."""
    buyer = next((b for b in reader.book.buyers if b.code == each.promise.buyer), None)
    return (buyer.deliver_at if buyer else "") or reader.book.farm.van_at


def is_early(hour: str, reader: Reader) -> bool:
    """Say whether it is handed over too early for that day's picking to be in it."""
    return _minutes(hour) < _minutes(reader.book.farm.day_starts) + EARLY_MINUTES


def _minutes(hour: str) -> int:
    hours, minutes = (int(part) for part in hour.split(":"))
    return hours * 60 + minutes


@dataclass(slots=True)
class Goods:
    """What there will be to hand over today: in the store, and what is expected to be picked."""

    store: Sequence[Picked]
    expected: Mapping[str, float]  # grams by variety
    reader: Reader
    packed: dict[str, int] = field(default_factory=lambda: defaultdict(int))

    def of(self, variety: str, day: date, *, is_early: bool = False) -> int:
        """Return the grams that keep until a day; of early hours nothing is picked today."""
        known = self.reader.varieties.get(variety)
        keeps = timedelta(days=floor(known.picked_keeps_days) if known else 0)
        there = sum(
            each.grams
            for each in self.store
            if each.variety == variety and each.picked_on + keeps >= day
        )
        coming = 0.0 if is_early else self.expected.get(variety, 0.0)
        return round(there + coming)

    def take(self, variety: str, wanted: int, day: date) -> int:
        """Return how much of what is wanted can be packed; it is not packed twice."""
        grams = max(0, min(wanted, self.of(variety, day) - self.packed[variety]))
        self.packed[variety] += grams
        return grams


def packing(due: Sequence[DueDelivery], reader: Reader, goods: Goods) -> tuple[PlannedJob, ...]:
    """Return the packing of today: for today's later hours, and for early hours of days to come.

    Of what there will be, and no more than is promised.
    """
    weighed = [each for each in due if each.promise.measure == "gram" and open_amount(each)]
    now, ahead = [], []
    for each in weighed:
        early = is_early(hour_of(each, reader), reader)
        if each.day == reader.today and not early:
            now.append(each)
        elif each.day > reader.today and early:
            before = reader.working_day_before(each.day - timedelta(days=1))
            ahead += [each] if before == reader.today else []
    jobs = []
    if now:
        hour = min((hour_of(each, reader) for each in now), key=_minutes)
        detail = f"Packed before {hour}"
        jobs += _packing(now, reader, f"before {hour}", detail, reader.today, goods)
    if ahead:
        day = min(each.day for each in ahead)
        hour = min((hour_of(each, reader) for each in ahead), key=_minutes)
        detail = f"For {near_day(day, reader.today)} {hour}, kept cold overnight"
        jobs += _packing(ahead, reader, "", detail, day, goods)
    return tuple(jobs)


def _packing(
    due: Sequence[DueDelivery], reader: Reader, by: str, detail: str, for_day: date, goods: Goods
) -> list[PlannedJob]:
    promised: dict[str, int] = defaultdict(int)
    for each in due:
        promised[each.promise.variety] += open_amount(each)
    there = {v: goods.take(v, grams, for_day) for v, grams in promised.items()}
    grams = sum(there.values())
    if not grams:
        return []
    said = [_said(there[v], v, reader) for v in promised if there[v]]
    short = [_said(g - there[v], v, reader) for v, g in promised.items() if g > there[v]]
    missing = f"; short by {joined(short)}" if short else ""
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
            detail=f"{detail}{missing}",
            minutes=max(5, round(PACK_MINUTES_PER_KG * grams / GRAMS)),
            due=by,
            why=f"Promised for {near_day(for_day, reader.today)}.",
            for_day=for_day,
            grams=grams,
            weights=tuple(VarietyGrams(v, g) for v, g in there.items() if g),
            stake=reader.said(grams),
            cautions=("food", "lifting"),
        )
    ]


def _said(grams: int, variety: str, reader: Reader) -> str:
    return f"{reader.said(grams)} {reader.name(variety)}"


def _there(each: DueDelivery, reader: Reader, goods: Goods) -> str:
    """Return in words how much of a delivery there will be, where that is not all."""
    promise = each.promise
    if promise.measure != "gram":
        return ""
    early = each.day == reader.today and is_early(hour_of(each, reader), reader)
    there = goods.of(promise.variety, reader.today, is_early=early)
    return f"; {reader.said(there)} or so will be there" if there < open_amount(each) else ""


def handing_over(
    due: Sequence[DueDelivery], reader: Reader, goods: Goods
) -> tuple[PlannedJob, ...]:
    """Return one job for each promise that is due by today and not yet handed over."""
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
        noun = "kg" if is_weight else f"units of {promise.step}"
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
                f"{_there(each, reader, goods)}",
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
                stake=reader.said(left, promise.measure),
            )
        )
    return tuple(jobs)
