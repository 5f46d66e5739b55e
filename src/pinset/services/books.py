"""Books: rooms with how full they are, buyers with what was kept."""

from __future__ import annotations

from collections import defaultdict
from datetime import datetime, timedelta

from pinset.chain.due import due_days
from pinset.farm.queries.alive import living, prepared
from pinset.services import planning_day
from pinset.services.book_reader import Reader
from pinset.services.stock_now import delivered_on
from pinset.services.views import BuyerLine, RoomLine
from pinset.services.words import kilograms, promise_in_words

WINDOW_DAYS = 28


def rooms_view(now: datetime | None = None) -> tuple[RoomLine, ...]:
    """Return every room with the places taken on each shelf, by what lives and what is prepared."""
    book, today = planning_day.farm_book(now)
    taken: dict[str, float] = defaultdict(float)
    units: dict[str, int] = defaultdict(int)
    for lot in living(today):
        taken[lot.place] += lot.alive * lot.now_step().places
        units[lot.room] += lot.alive
    routes = Reader(book, today).routes
    for vessels in prepared():
        route = routes.get(vessels.route)
        known = {step.code: step.places for step in route.steps} if route else {}
        taken[vessels.place] += vessels.alive * known.get(vessels.step, 1.0)
        units[vessels.room] += vessels.alive
    return tuple(
        RoomLine(
            code=room.code,
            name=room.name,
            kind=room.kind.value,
            temperature_c=room.temperature_c,
            shelves=tuple((s.code, round(taken[s.code], 1), s.holds) for s in room.shelves),
            units=units[room.code],
        )
        for room in book.rooms
    )


def buyers_view(now: datetime | None = None) -> tuple[BuyerLine, ...]:
    """Return every buyer with the promises made and what was handed over in four weeks."""
    book, today = planning_day.farm_book(now)
    first = today - timedelta(days=WINDOW_DAYS)
    last = today - timedelta(days=1)
    handed = delivered_on(first, last, book.farm.time_zone)
    names = {variety.code: variety.name for variety in book.varieties}
    system = book.farm.units
    lines = []
    for buyer in book.buyers:
        mine = [promise for promise in book.promises if promise.buyer == buyer.code]
        rows: dict[tuple[str, str], tuple[int, int]] = {}
        for promise in mine:
            days = due_days(promise, first, last)
            got = sum(handed.get((promise.code, day), 0) for day in days)
            key = (names.get(promise.variety, promise.variety), promise.measure)
            before = rows.get(key, (0, 0))
            rows[key] = (before[0] + got, before[1] + promise.amount * len(days))
        lines.append(
            BuyerLine(
                code=buyer.code,
                name=buyer.name,
                promises=tuple(
                    promise_in_words(p, names.get(p.variety, p.variety), buyer.name, system)
                    for p in mine
                ),
                delivered=tuple((name, got, due) for (name, _), (got, due) in rows.items()),
                sentence=_sentence(rows, system),
            )
        )
    return tuple(lines)


def _sentence(rows: dict[tuple[str, str], tuple[int, int]], system: str) -> str:
    if not rows:
        return "Nothing is promised."
    grams = sum(got for (_, measure), (got, _) in rows.items() if measure == "gram")
    due = sum(due for (_, measure), (_, due) in rows.items() if measure == "gram")
    if not due:
        return "Units are promised; the table shows them."
    share = grams / due
    got, all_due = kilograms(grams, system), kilograms(due, system)
    return f"{got} of {all_due} in four weeks ({share:.0%})."
