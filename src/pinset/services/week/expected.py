"""What a coming day holds beside its laid jobs: promises that fall due, picking, work not laid."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection
from dataclasses import dataclass
from datetime import date

from pinset.chain.stages import noun_of
from pinset.planning.outlets.surplus import SurplusPlan
from pinset.planning.plan import Plan
from pinset.services.book_reader import Reader
from pinset.services.jobs.in_grow_rooms import LEAST_GRAMS
from pinset.services.outlets.today import expected_at_outlets
from pinset.services.plans.stock_now import delivered_on
from pinset.services.promises.due_deliveries import DueDelivery, due_on, hour_of, open_amount
from pinset.services.words import plural


@dataclass(frozen=True, slots=True)
class Expected:
    """Something a day will hold that is no job yet."""

    at: str  # "14:00"; empty: no hour
    text: str


def deliveries(
    reader: Reader, day: date, handed: Collection[tuple[str, date]]
) -> tuple[Expected, ...]:
    """Return what is promised for a day and still to be handed over.

    Parameters
    ----------
    handed : collection of promise code and day
        Those that have a job already.
    """
    book = reader.book
    names = {buyer.code: buyer.name for buyer in book.buyers}
    done = delivered_on(day, day, book.farm.time_zone)
    found = [
        Expected(
            hour_of(each, reader),
            f"hand over {_amount(each, reader)} {reader.name(each.promise.variety)}: "
            f"{names.get(each.promise.buyer, each.promise.buyer)}",
        )
        for each in due_on(book.promises, day, dict(done))
        if open_amount(each) and (each.promise.code, day) not in handed
    ]
    return tuple(sorted(found, key=lambda each: (each.at.rjust(5, "0"), each.text)))


def _amount(each: DueDelivery, reader: Reader) -> str:
    left, promise = open_amount(each), each.promise
    if promise.measure == "gram":
        return reader.said(left)
    return f"{plural(left, 'unit')} of {promise.step}"


def picks(plan: Plan | None, reader: Reader, day: date) -> tuple[Expected, ...]:
    """Return what the plan expects to be picked on a day, by variety."""
    grams: dict[str, float] = defaultdict(float)
    for pick in plan.picks if plan else ():
        if pick.day == day:
            grams[pick.variety] += pick.grams
    return tuple(
        Expected("", f"pick about {reader.about(total)} {reader.name(variety)}")
        for variety, total in sorted(grams.items())
        if total >= LEAST_GRAMS
    )


def for_outlets(surplus: SurplusPlan, reader: Reader, day: date) -> tuple[Expected, ...]:
    """Return what the plan has for outlets on a day."""
    return tuple(Expected(at, text) for at, text in expected_at_outlets(surplus, reader, day))


def work_not_laid(plan: Plan | None, reader: Reader, day: date) -> tuple[Expected, ...]:
    """Return the cooks, starts and moves a plan has for a day whose jobs are not laid out."""
    if plan is None:
        return ()
    machines = {each.code: each.name for each in reader.book.sterilisers}
    said = [
        f"{plural(max(1, round(cook.cooks)), 'cook')} of {cook.kind} in "
        f"{machines.get(cook.steriliser, cook.steriliser)}"
        for cook in plan.cooks
        if cook.day == day
    ]
    for start in plan.starts:
        if start.day == day and round(start.count):
            count = round(start.count)
            noun = noun_of(start.stage, count, is_bought=start.is_purchase)
            doing = "order" if start.is_purchase else "make"
            said.append(f"{doing} about {count} {noun}, {reader.name(start.variety)}")
    for move in plan.moves:
        if move.day == day and round(move.count):
            where = reader.room_name(move.room)
            units = plural(round(move.count), "unit")
            said.append(f"move about {units} of {reader.name(move.variety)} into {where}")
    return tuple(Expected("", text) for text in said)
