"""A steady pipeline of lots alive on one day, for a farm that keeps its weekly rhythm.

Each batch of the past weeks is followed along its route at mean days and mean losses, moved on the
next weekday its route allows, and written down as it would stand on the day asked for.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from datetime import date, timedelta

from pinset.chain.register import (
    FarmBook,
    Room,
    RoomKind,
    Route,
    StandingLot,
    Step,
    StepKind,
    Variety,
    Weekday,
)
from pinset.demo.rhythm import Batch, expected_yield_g, lost_in, route_of, variety_batches

TUBES_KEPT = 10
TUBE_AGE_DAYS = 40
WEEKS_BACK = 40


@dataclass(slots=True)
class Places:
    """Shelves filled in order; a lot stands on one shelf."""

    book: FarmBook
    used: dict[str, float] = field(default_factory=dict)

    def shelf(self, room: Room, places: float) -> str:
        """Return the first shelf of a room with enough places, or its emptiest one."""
        for shelf in room.shelves:
            if self.used.get(shelf.code, 0.0) + places <= shelf.holds:
                self.used[shelf.code] = self.used.get(shelf.code, 0.0) + places
                return shelf.code
        emptiest = min(room.shelves, key=lambda s: self.used.get(s.code, 0.0) - s.holds)
        self.used[emptiest.code] = self.used.get(emptiest.code, 0.0) + places
        return emptiest.code


def room_for(book: FarmBook, step: Step) -> Room:
    """Return the room a step stands in: its climate's, the cold store, or an incubation room."""
    if step.kind is StepKind.FRUIT:
        return next(room for room in book.rooms if step.climate in room.climates)
    kind = RoomKind.COLD if step.code == "tube" else step.room
    candidates = [room for room in book.rooms if room.kind is kind]
    return min(candidates, key=lambda room: abs(room.temperature_c - step.temperature_c))


def next_weekday(day: date, weekdays: tuple[Weekday, ...]) -> date:
    """Return the first day on or after ``day`` that falls on one of the weekdays."""
    wanted = {weekday.number for weekday in weekdays}
    return next(
        later for later in (day + timedelta(n) for n in range(7)) if later.weekday() in wanted
    )


@dataclass(frozen=True, slots=True)
class Stay:
    """One step of one batch: from the day it begins to the day it is left."""

    step: Step
    since: date
    until: date


def stays(route: Route, batch: Batch, made_on: date) -> tuple[Stay, ...]:
    """Return the steps a batch passes through at mean days, moved on the route's weekdays."""
    first = route.step(batch.step)
    ready = made_on + timedelta(days=round(first.days.mean))
    if batch.step != "block":
        return (Stay(first, made_on, ready + timedelta(days=7)),)
    found = []
    since = made_on
    later = route.steps[route.steps.index(first) + 1 :]
    for index, step in enumerate((first, *later)):
        if step.kind is StepKind.FRUIT:
            gaps = sum(flush.gap_days.mean for flush in step.flushes)
            until = since + timedelta(days=round(step.days.mean + gaps) + 1)
        else:
            wanted = later[index].weekdays
            until = next_weekday(since + timedelta(days=round(step.days.mean)), wanted)
        found.append(Stay(step, since, until))
        since = until
    return tuple(found)


def picked_so_far(step: Step, since: date, today: date, alive: int) -> int:
    """Return the grams expected to have been picked from units in a grow room [g]."""
    grams = 0.0
    day = float((today - since).days) - step.days.mean
    for flush in step.flushes:
        day -= flush.gap_days.mean
        if day > 0:
            grams += alive * expected_yield_g(step) * flush.share
    return round(grams)


def batch_lots(book: FarmBook, variety: Variety, today: date) -> Iterator[StandingLot]:
    """Yield the lots of one variety alive on a day, without their shelves."""
    route = route_of(book, variety)
    culture = next((c.code for c in book.cultures if c.variety == variety.code), "")
    for batch in variety_batches(book, variety):
        for week in range(WEEKS_BACK):
            arrives = route.step(batch.step).delivery_weekdays or (batch.weekday,)
            made_on = next_weekday(today - timedelta(days=6), arrives) - timedelta(weeks=week)
            alive = float(batch.count)
            for stay in stays(route, batch, made_on):
                if stay.since <= today < stay.until:
                    passed = (today - stay.since).days / max(1, (stay.until - stay.since).days)
                    count = round(alive * (1.0 - lost_in(stay.step) * passed))
                    lot = StandingLot(
                        variety=variety.code,
                        step=stay.step.code,
                        count=count,
                        made_on=made_on,
                        place="",
                        culture=culture,
                        made_count=batch.count,
                        generation={"grain": 1, "grain-2": 2}.get(batch.step, 0),
                        transfers=1 if culture else 0,
                        bought_from=stay.step.supplier,
                    )
                    yield moved(lot, stay, today)
                alive *= 1.0 - lost_in(stay.step)


def moved(lot: StandingLot, stay: Stay, today: date) -> StandingLot:
    """Return the lot with the day it came into ripening or its room, and what it has borne."""
    if stay.step.kind is StepKind.FRUIT:
        borne = picked_so_far(stay.step, stay.since, today, lot.count)
        return replace(lot, in_room_since=stay.since, picked_g=borne)
    if stay.step.kind is StepKind.STAND:
        return replace(lot, in_room_since=stay.since)
    return lot


def tube_lots(book: FarmBook, today: date) -> Iterator[StandingLot]:
    """Yield the tubes in the cold store, one lot a culture, one tube of it opened."""
    for culture in book.cultures:
        yield StandingLot(
            variety=culture.variety,
            step="tube",
            count=TUBES_KEPT,
            made_on=today - timedelta(days=TUBE_AGE_DAYS),
            place="",
            culture=culture.code,
            made_count=TUBES_KEPT + 2,
            transfers=1,
        )


def standing_lots(book: FarmBook, today: date) -> FarmBook:
    """Return the book with the lots of a steady pipeline alive on ``today``, each on a shelf."""
    places = Places(book)
    routes = {variety.code: route_of(book, variety) for variety in book.varieties}
    lots = [*tube_lots(book, today)]
    for variety in book.varieties:
        lots.extend(lot for lot in batch_lots(book, variety, today) if lot.count > 0)
    shelved = []
    for lot in sorted(lots, key=lambda lot: (lot.made_on, lot.variety, lot.step)):
        step = routes[lot.variety].step(lot.step)
        shelf = places.shelf(room_for(book, step), lot.count * step.places)
        shelved.append(replace(lot, place=shelf))
    return replace(book, lots=tuple(shelved))
