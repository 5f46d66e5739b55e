"""The stock the planner starts from: what is alive, prepared, ordered, in store, handed over."""

from __future__ import annotations

from datetime import date, datetime, time, timedelta
from zoneinfo import ZoneInfo

from pinset.chain.living import LivingLot
from pinset.chain.register import FarmBook
from pinset.chain.stages import Stage
from pinset.farm import whereabouts
from pinset.farm.queries.alive import living
from pinset.farm.queries.sales import deliveries
from pinset.farm.queries.store import stored_weight
from pinset.planning.building.from_book import Picked
from pinset.services.book_reader import Reader
from pinset.services.loads.vessels import Sound, Vessels, standing_vessels
from pinset.services.plans.order_codes import code_of_order
from pinset.services.plans.picks_left import with_picks_left
from pinset.services.store.days import keeping_days

EARLY_DAYS = 7
"""What was handed over up to this many days before its due day counts for it."""


def living_now(book: FarmBook, today: date) -> tuple[LivingLot, ...]:
    """Return everything there is to plan with: living, prepared and ordered units.

    Vessels of a cook that failed are held back; those of one that waits to be judged are not. Of
    picks that were done in part, or were not to be done at all, the day is known.
    """
    return (
        *with_picks_left(living(today), book, today),
        *(lot for each in standing_vessels() if (lot := _prepared_lot(each, book, today))),
        *ordered(book, today),
    )


def _prepared_lot(vessels: Vessels, book: FarmBook, today: date) -> LivingLot | None:
    reader, lot = Reader(book, today), vessels.lot
    route = reader.routes.get(lot.route)
    if route is None:
        return None
    return LivingLot(
        code=lot.code,
        variety=lot.variety,
        step=lot.step,
        stage=Stage.PREPARED,
        alive=lot.alive,
        made_on=lot.made_on,
        step_since=lot.made_on,
        place=lot.place,
        room=lot.room,
        temperature_c=20.0,
        route=route,
        held=vessels.words if vessels.sound is Sound.FAILED else "",
    )


def ordered(book: FarmBook, today: date) -> tuple[LivingLot, ...]:
    """Return spawn that was ordered and has not arrived, as lots that are ready when it comes."""
    reader = Reader(book, today)
    found = []
    for each in whereabouts.orders_underway():
        details = each.details
        variety, step = str(details.get("variety", "")), str(details.get("step", ""))
        if variety not in reader.varieties:
            continue
        route = reader.routes[reader.varieties[variety].route]
        if step not in {known.code for known in route.steps}:
            continue
        arrives = date.fromisoformat(str(details.get("arrives") or today.isoformat()))
        bought = route.step(step)
        found.append(
            LivingLot(
                code=code_of_order(each.order, each.arrived),
                variety=variety,
                step=step,
                stage=bought.stage,
                alive=each.left,
                made_on=arrives,
                step_since=arrives,
                place="",
                room="",
                temperature_c=bought.temperature_c,
                route=route,
                expected_ready_on=max(arrives, today),
                order=each.order,
            )
        )
    return tuple(found)


def store_now(book: FarmBook, today: date) -> tuple[Picked, ...]:
    """Return the picked grams in the cold store by variety and the day they were picked.

    What was not written down as picked yet is taken to be of today.
    """
    return tuple(
        Picked(each.variety, each.picked_on or today, each.grams)
        for each in stored_weight(keeping_days(book), book.farm.time_zone)
    )


def delivered_on(first: date, last: date, time_zone: str) -> dict[tuple[str, date], int]:
    """Return what was handed over per promise and the day it was due, in grams or units."""
    found = handed_over_on(first, last, time_zone)
    return {due: sum(amounts.values()) for due, amounts in found.items()}


def handed_over_on(
    first: date, last: date, time_zone: str
) -> dict[tuple[str, date], dict[date, int]]:
    """Return the same by the days on which it was really handed over."""
    zone = ZoneInfo(time_zone)
    begin = datetime.combine(first - timedelta(days=EARLY_DAYS), time(0), zone)
    end = datetime.combine(last + timedelta(days=1), time(0), zone)
    found: dict[tuple[str, date], dict[date, int]] = {}
    for each in deliveries(begin, end):
        happened = each.happened_at.astimezone(zone).date()
        day = each.for_day or happened
        if each.promise and first <= day <= last:
            of_due = found.setdefault((each.promise, day), {})
            of_due[happened] = of_due.get(happened, 0) + each.amount
    return found
