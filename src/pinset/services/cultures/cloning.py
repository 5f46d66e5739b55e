"""Taking a clone: tissue of a fruit goes to plates, which are held back until they are cleared."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any

from pinset.chain.register import Culture, RoomKind, Step, StepKind
from pinset.chain.shelf_life import MOST_PIECES
from pinset.chain.stages import Stage, units_in_words
from pinset.errors import InputError, RefusedError
from pinset.farm import codes, trade
from pinset.farm.entries import NewEntry, NewLot, NewMention
from pinset.farm.queries.alive import living
from pinset.farm.trade import Tap
from pinset.services.answers.lot_actions import Saying, write_about
from pinset.services.books.register_change import write_record
from pinset.services.clock import farm_day, now_utc
from pinset.services.plans import planning_day
from pinset.services.views import Done
from pinset.tables.cautions import caution

CLONED_FROM = "cloned"
"""The role of a lot of which a fruit was cloned."""


@dataclass(frozen=True, slots=True)
class Taken:
    """What was made of the tissue of a fruit."""

    culture: str  # code of the new culture
    plates: int
    place: str  # shelf


def take_clone(saying: Saying, taken: Taken) -> Done:
    """Write a clone down: a new culture that is not cleared, and its plates, held back.

    Parameters
    ----------
    saying : Saying
        Of which fruiting lot the fruit was.
    taken : Taken
        The culture's new code, how many plates, and where they stand.

    Raises
    ------
    InputError
        If a number or the shelf cannot be, or the code is taken.
    RefusedError
        If the lot does not fruit, or its route has no plates.
    """
    book, _ = planning_day.farm_book()
    if not 1 <= taken.plates <= MOST_PIECES:
        raise InputError("count", taken.plates, f"1 to {MOST_PIECES} plates")
    shelves = [
        shelf.code
        for room in book.rooms
        if room.kind is not RoomKind.GROWING
        for shelf in room.shelves
    ]
    if taken.place not in shelves:
        raise InputError("place", taken.place, f"one of {', '.join(shelves)}")
    said: dict[str, Any] = {"how": "clone", "culture": taken.culture}
    said |= {"count": taken.plates, "place": taken.place}
    made: list[str] = []

    def build(tap: Tap, lot: str) -> tuple[NewEntry, str]:
        day = farm_day(tap.at, book.farm.time_zone)
        parts = [part for part in living(day, lots=[lot]) if not part.order]
        if not parts or parts[0].now_step().kind is not StepKind.FRUIT:
            raise RefusedError(
                f"Lot {lot} does not fruit in a grow room.",
                "A clone is taken of a fruit; look at the code on the label.",
            )
        if any(culture.code == taken.culture for culture in book.cultures):
            raise InputError("culture", taken.culture, "a code that no culture has yet")
        parent = parts[0]
        step = _plates(parent.route.steps)
        record = Culture(
            taken.culture, parent.variety, f"tissue of a fruit of lot {lot}", day, cleared=False
        )
        write_record(record, saying.person, now_utc())
        [code] = codes.issue_codes(1)
        made.append(code)
        child = NewLot(
            code=code,
            stage=Stage.PLATE,
            variety=parent.variety,
            step=step.code,
            route=parent.route.code,
            made_on=day,
            culture=taken.culture,
        )
        entry = trade.clone(tap, lot, child, taken.plates, taken.place)
        cloned = NewMention(lot, CLONED_FROM, taken.plates)
        words = f"{units_in_words(Stage.PLATE, taken.plates)} {code} made of its tissue"
        return (
            replace(entry, mentions=(*entry.mentions, cloned)),
            f"{words}, held back as culture {taken.culture}.",
        )

    done = write_about(saying, said, build)
    warned = (*done.findings, caution("wrong-species").words)
    return Done(done.entry, done.already, done.sentence, warned, tuple(made))


def _plates(steps: tuple[Step, ...]) -> Step:
    for step in steps:
        if step.stage is Stage.PLATE:
            return step
    raise RefusedError(
        "The route of this lot has no plates.", "Add a step of plates to it under Settings."
    )
