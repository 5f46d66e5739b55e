"""Moving a culture on: a tube is opened and fresh tubes are made of it."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from typing import Any

from pinset.chain.living import LivingLot
from pinset.chain.register import FarmBook, RoomKind
from pinset.chain.shelf_life import MOST_PIECES, Asks
from pinset.chain.stages import Stage, units_in_words
from pinset.errors import InputError, RefusedError
from pinset.farm import codes, trade
from pinset.farm.entries import NewEntry, NewLot
from pinset.farm.queries.alive import living
from pinset.farm.trade import ParentShare, Tap
from pinset.services.answers.lot_actions import Saying, write_about
from pinset.services.answers.lot_counts import UnlikelyError
from pinset.services.clock import farm_day
from pinset.services.cultures.answering import answering, in_step_after
from pinset.services.cultures.shelf import tube_line
from pinset.services.plans import planning_day
from pinset.services.views import Done
from pinset.services.words import joined


def renew(saying: Saying, tubes: int, place: str) -> Done:
    """Open one tube of a lot and make fresh ones of it; the opened one is used up.

    Parameters
    ----------
    saying : Saying
        Of which lot of tubes; ``why`` where something speaks against carrying on from it.
    tubes : int
        How many fresh tubes were made.
    place : str
        Shelf on which they grow.

    Raises
    ------
    InputError
        If the number or the shelf cannot be.
    UnlikelyError
        If it is held back, failed when it was woken, or was moved as often as its route allows, and
        no reason is given.
    RefusedError
        If no tube of it stands on the shelf.
    """
    if not 1 <= tubes <= MOST_PIECES:
        raise InputError("count", tubes, f"1 to {MOST_PIECES} tubes")
    book, _ = planning_day.farm_book()
    if place not in shelves(book):
        raise InputError("place", place, f"one of {', '.join(shelves(book))}")
    said: dict[str, Any] = {"how": "renew", "count": tubes, "place": place}
    made: list[str] = []

    def build(tap: Tap, lot: str) -> tuple[NewEntry, str]:
        parts = [each for each in living(_day(tap, book), lots=[lot]) if not each.order]
        if not parts or parts[0].stage is not Stage.TUBE:
            raise RefusedError(
                f"No tube of lot {lot} stands on the shelf.", "Look at the code on the label."
            )
        parent = max(parts, key=lambda each: each.alive)
        against = against_renewing(parts)
        if against and not saying.why:
            raise UnlikelyError(
                f"Lot {lot}: {joined(against)}.",
                "Go back to a tube moved fewer times, or say why it is right.",
            )
        tap = answering(tap, lot, Asks.RENEW)
        [code] = codes.issue_codes(1)
        made.append(code)
        child = NewLot(
            code=code,
            stage=Stage.TUBE,
            variety=parent.variety,
            step=parent.step,
            route=parent.route.code,
            made_on=_day(tap, book),
            culture=parent.culture,
        )
        details: dict[str, Any] = {"count": tubes}
        if against:
            details |= {"against": against, "why": saying.why}
        share = ParentShare(lot, 1, parent.place)
        entry = trade.inoculate(tap, [share], child, tubes, place, details=details)
        return entry, f"{units_in_words(Stage.TUBE, tubes)} {code} made of it, on {place}."

    done = in_step_after(write_about(saying, said, build))
    return Done(done.entry, done.already, done.sentence, done.findings, tuple(made))


def shelves(book: FarmBook) -> tuple[str, ...]:
    """Return the shelves on which fresh tubes can grow, those of incubation first."""
    rooms = sorted(
        (room for room in book.rooms if room.kind is not RoomKind.GROWING),
        key=lambda room: room.kind is not RoomKind.INCUBATION,
    )
    return tuple(shelf.code for room in rooms for shelf in room.shelves)


def against_renewing(parts: Sequence[LivingLot]) -> list[str]:
    """Return what speaks against carrying on from a lot of tubes."""
    parent = parts[0]
    limit = parent.route.transfer_limit
    _, lines = tube_line(parent.code)
    found = [f"held back: {parent.held}"] if parent.held else []
    if parent.transfers + 1 > limit:
        found.append(f"moved {parent.transfers} times since the mother; its route allows {limit}")
    elif lines[0].asks == "mother" and lines[0].is_due:
        found.append(lines[0].asked.removesuffix("."))
    return found


def _day(tap: Tap, book: FarmBook) -> date:
    return farm_day(tap.at, book.farm.time_zone)
