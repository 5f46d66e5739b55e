"""Jobs for the buyers of today: packing and handing over."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date

from pinset.chain.due import due_days
from pinset.chain.register import Promise, RoomKind
from pinset.services.book_reader import Reader
from pinset.services.job_records import JobKind, PlannedJob
from pinset.services.words import GRAMS, amount, joined, kilograms

PACK_MINUTES_PER_KG = 2.0
"""Minutes to weigh and pack a kilogram; common practice, no source."""


@dataclass(frozen=True, slots=True)
class DueDelivery:
    """A promise that is due on a day and what was already handed over for it."""

    promise: Promise
    day: date
    delivered: int


def due_today(
    promises: Iterable[Promise], today: date, delivered: dict[tuple[str, date], int]
) -> tuple[DueDelivery, ...]:
    """Return the promises due today with what was handed over so far."""
    return tuple(
        DueDelivery(promise, today, delivered.get((promise.code, today), 0))
        for promise in promises
        if due_days(promise, today, today)
    )


def _open_amount(each: DueDelivery) -> int:
    return max(0, each.promise.amount - each.delivered)


def packing(due: Sequence[DueDelivery], reader: Reader) -> tuple[PlannedJob, ...]:
    """Return the packing of all that is due today by weight."""
    grams = sum(_open_amount(each) for each in due if each.promise.measure == "gram")
    if not grams:
        return ()
    by_variety: dict[str, int] = defaultdict(int)
    for each in due:
        if each.promise.measure == "gram":
            by_variety[each.promise.variety] += _open_amount(each)
    said = [f"{kilograms(g)} {reader.name(v)}" for v, g in by_variety.items() if g]
    return (
        PlannedJob(
            key=f"pack:{reader.today}",
            kind=JobKind.PACK,
            task="pack",
            day=reader.today,
            count=max(1, round(grams / GRAMS)),
            unit="kg",
            what=f"kg to pack: {joined(said)}",
            room_kind=RoomKind.PACKING.value,
            detail=f"Packed before the van at {reader.book.farm.van_at}",
            minutes=max(5, round(PACK_MINUTES_PER_KG * grams / GRAMS)),
            due=f"before {reader.book.farm.van_at}",
            why="Promised for today.",
            grams=grams,
            cautions=("food", "lifting"),
        ),
    )


def handing_over(due: Sequence[DueDelivery], reader: Reader) -> tuple[PlannedJob, ...]:
    """Return one job for each promise that is due today and not yet handed over."""
    buyers = {buyer.code: buyer for buyer in reader.book.buyers}
    jobs = []
    for each in due:
        promise = each.promise
        left = _open_amount(each)
        if not left:
            continue
        buyer = buyers.get(promise.buyer)
        at = (buyer.deliver_at if buyer else "") or reader.book.farm.van_at
        name = reader.name(promise.variety)
        is_weight = promise.measure == "gram"
        noun = "kg" if is_weight else f"units of {promise.step}"
        jobs.append(
            PlannedJob(
                key=f"deliver:{promise.code}:{reader.today}",
                kind=JobKind.DELIVER,
                task="deliver",
                day=reader.today,
                count=max(1, round(left / GRAMS)) if is_weight else left,
                unit="kg" if is_weight else "units",
                what=f"{noun} {name} for {buyer.name if buyer else promise.buyer}",
                room_kind=RoomKind.PACKING.value,
                detail=f"Promised {amount(promise.amount, promise.measure)}",
                step=promise.step,
                variety=promise.variety,
                variety_name=name,
                minutes=5,
                fixed_at=at,
                due=at,
                why="Promised for today.",
                serves=reader.promise_words([promise.code]),
                promise=promise.code,
                grams=left if is_weight else 0,
            )
        )
    return tuple(jobs)
