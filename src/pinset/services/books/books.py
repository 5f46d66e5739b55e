"""Books: rooms with how full they are, buyers with what was kept."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from datetime import date, datetime, timedelta

from pinset.farm.queries.alive import living, prepared
from pinset.services.book_reader import Reader
from pinset.services.plans import planning_day
from pinset.services.plans.stock_now import delivered_on
from pinset.services.promises.counted import counted_from
from pinset.services.promises.promised_then import promised_then
from pinset.services.views import BuyerLine, RoomLine
from pinset.services.words import kilograms, plural, promise_in_words, sentences, short_day

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
    handed = delivered_on(first, today, book.farm.time_zone)
    since = counted_from(book.farm.time_zone)
    names = {variety.code: variety.name for variety in book.varieties}
    system = book.farm.units
    due = tuple(promised_then(book, today).due(first, today))
    lines = []
    for buyer in book.buyers:
        mine = [promise for promise in book.promises if promise.buyer == buyer.code]
        rows: dict[tuple[str, str], tuple[int, int]] = {}
        left_out: list[date] = []  # the day each promise was written down, once a delivery before
        for promise, day in due:
            if promise.buyer != buyer.code:
                continue
            begin, got = since.get(promise.code, first), handed.get((promise.code, day), 0)
            if day < begin:
                left_out.append(begin)
            elif day < today or got:
                key = (names.get(promise.variety, promise.variety), promise.measure)
                before = rows.get(key, (0, 0))
                rows[key] = (before[0] + got, before[1] + promise.amount)
        lines.append(
            BuyerLine(
                code=buyer.code,
                name=buyer.name,
                promises=tuple(
                    promise_in_words(p, names.get(p.variety, p.variety), buyer.name, system)
                    for p in mine
                ),
                delivered=tuple(
                    (name, got, due, measure) for (name, measure), (got, due) in rows.items()
                ),
                sentence=sentences([_kept(rows, system, has_promises=bool(mine)), _left(left_out)]),
            )
        )
    return tuple(lines)


def _kept(
    rows: Mapping[tuple[str, str], tuple[int, int]], system: str, *, has_promises: bool
) -> str:
    if not has_promises:
        return "Nothing is promised"
    if not rows:
        return "Nothing was due in the last four weeks"
    grams = sum(got for (_, measure), (got, _) in rows.items() if measure == "gram")
    due = sum(due for (_, measure), (_, due) in rows.items() if measure == "gram")
    if not due:
        return "Units are promised; the table shows them"
    share = grams / due
    got, all_due = kilograms(grams, system), kilograms(due, system)
    return f"{got} of {all_due} in four weeks ({share:.0%})"


def _left(written_down: Sequence[date]) -> str:
    """Return how many deliveries are not counted, since the farm's ledger began after them."""
    if not written_down:
        return ""
    count = plural(len(written_down), "delivery", "deliveries")
    verb, they = ("is", "it was") if len(written_down) == 1 else ("are", "they were")
    last = short_day(max(written_down))
    return f"{count} due before {last}, when {they} written down here, {verb} left out"
