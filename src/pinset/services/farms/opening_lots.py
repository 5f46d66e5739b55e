"""Opening entries: the lots that were alive when the farm was loaded.

Units that are gone by then (``made_count`` less ``count``) are booked as used, because pinset was
not there to see whether they were opened, lost or sold: guessing "lost" would teach the loss
estimates something nobody saw. Grams picked before count as delivered, in the same way.
"""

from __future__ import annotations

import secrets
from collections import Counter
from collections.abc import Callable
from dataclasses import replace
from datetime import datetime

from pinset.chain.register import FarmBook, Route, StandingLot, Step
from pinset.chain.rules_lot import with_beginning
from pinset.farm import codes, door, trade
from pinset.farm.entries import Account, Measure, NewEntry, NewLot, NewMention, NewPosting
from pinset.services.clock import farm_day


def open_lots(
    book: FarmBook, now: datetime, *, client_id: Callable[[], str] = lambda: secrets.token_hex(16)
) -> tuple[tuple[str, str], ...]:
    """Record an opening entry for every lot of a book; to be called inside a transaction.

    Lots with a printed code keep it. They are written first, so that none of the codes given to
    the others is one of theirs.

    Returns
    -------
    tuple of (str, str)
        What a lot without a code is in words, and the code it was given.
    """
    routes = {route.code: route for route in book.routes}
    route_of = {variety.code: routes[variety.route] for variety in book.varieties}
    today = farm_day(now, book.farm.time_zone)
    lots = [with_beginning(lot, route_of[lot.variety], today) for lot in book.lots]
    coded: dict[str, list[StandingLot]] = {}
    for lot in lots:
        if lot.code:
            coded.setdefault(lot.code, []).append(lot)
    door.record(
        [_entry(rows, route_of[rows[0].variety], now, client_id()) for rows in coded.values()],
        now=now,
    )
    nameless = [lot for lot in lots if not lot.code]
    entries, given = [], []
    for first in range(0, len(nameless), codes.MOST):
        part = nameless[first : first + codes.MOST]
        for lot, code in zip(part, codes.issue_codes(len(part)), strict=True):
            named = replace(lot, code=code)
            entries.append(_entry([named], route_of[lot.variety], now, client_id()))
            given.append((_words(lot), code))
    door.record(entries, now=now)
    return tuple(given)


def _words(lot: StandingLot) -> str:
    return f"{lot.variety} {lot.step}, {lot.count} made on {lot.made_on.isoformat()}, {lot.place}"


def _entry(rows: list[StandingLot], route: Route, now: datetime, client: str) -> NewEntry:
    """Return the entry of one lot; further rows are the same lot at other places."""
    lead = rows[0]
    places = Counter(row.place for row in rows)
    step = route.step(lead.step)
    alive = sum(row.count for row in rows)
    made = max(alive, lead.made_count or 0)
    entry = trade.opening(
        trade.Tap(client, now, note=lead.note),
        NewLot(
            code=lead.code,
            stage=step.stage,
            variety=lead.variety,
            step=lead.step,
            route=route.code,
            made_on=lead.made_on,
            culture=lead.culture,
            generation=lead.generation,
            transfers=lead.transfers,
            bought_from=lead.bought_from,
        ),
        lead.count,
        lead.place,
        made=made - (alive - lead.count),
        step_since=lead.in_room_since if places[lead.place] == 1 else None,
        opened_on=lead.opened_on,
        picked_g=lead.picked_g,
        flush=flushes_behind(step, made, lead.picked_g),
    )
    for row in rows[1:]:
        entry = _also_at(entry, row, lead)
    said = [
        mention
        for row in rows
        for mention in ([_part(row)] if places[row.place] > 1 else _since(row, lead))
    ]
    return replace(entry, mentions=(*entry.mentions, *said))


def _part(row: StandingLot) -> NewMention:
    """Return since when so many of several parts at one place stand there."""
    day = (row.in_room_since or row.made_on).isoformat()
    kept = f" {row.keeps_until.isoformat()}" if row.keeps_until else ""
    return NewMention(row.code, "part", row.count, f"{day} {row.step}{kept}", row.place)


def _since(row: StandingLot, lead: StandingLot) -> list[NewMention]:
    """Return in which step all units at a place are, since when, and how long they keep."""
    keeps = [
        NewMention(row.code, "keeps", value=day.isoformat(), place=row.place)
        for day in (row.keeps_until,)
        if day is not None
    ]
    if row is lead:
        return keeps
    mentions = []
    if row.step != lead.step:
        mentions.append(NewMention(row.code, "step", row.count, row.step, row.place))
    if row.step != lead.step or row.in_room_since is not None:
        day = (row.in_room_since or row.made_on).isoformat()
        mentions.append(NewMention(row.code, "since", value=day, place=row.place))
    return [*mentions, *keeps]


def _also_at(entry: NewEntry, row: StandingLot, lead: StandingLot) -> NewEntry:
    source = Account.RECEIVED if lead.bought_from else Account.MADE
    postings = (
        NewPosting(row.code, source, Measure.UNIT, -row.count),
        NewPosting(row.code, Account.ALIVE, Measure.UNIT, row.count, row.place),
    )
    return replace(entry, postings=(*entry.postings, *postings))


def flushes_behind(step: Step, units: int, picked_g: int) -> int:
    """Return how many flushes a lot has given, judged by the weight picked from it.

    A flush counts as given once half of what it should bring is there; a lot that was picked at
    all has begun its first.
    """
    if not picked_g or not step.flushes:
        return 0
    before, behind = 0.0, 1
    for number, flush in enumerate(step.flushes, start=1):
        brings = units * step.yield_g * flush.share
        if picked_g >= before + brings / 2:
            behind = number
        before += brings
    return behind
