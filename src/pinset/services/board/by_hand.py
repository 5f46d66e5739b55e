"""What is fixed by hand or out of use, set without the board: for the terminal."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime

from pinset.chain.pins import Pin, pin_code
from pinset.errors import RefusedError
from pinset.farm.models.register import RegisterKind
from pinset.services.board.board import pins_in_force, words_of_pin
from pinset.services.books.register_change import retire, write_record
from pinset.services.clock import now_utc
from pinset.services.day.out_of_use import in_force, outage_words
from pinset.services.plans import planning_day


@dataclass(frozen=True, slots=True)
class PinLine:
    """A pin that is still to come, and what breaks it in the newest plan."""

    code: str
    variety: str  # of a cook its steriliser
    step: str
    day: date
    count: int
    note: str
    broken: str = ""


@dataclass(frozen=True, slots=True)
class OutageLine:
    """Something that is or will be out of use."""

    code: str
    what: str
    which: str
    from_date: date
    until: date
    note: str
    sentence: str


def pin_lines(now: datetime | None = None) -> tuple[PinLine, ...]:
    """Return the pins of today and later, soonest first."""
    book, today = planning_day.farm_book(now or now_utc())
    newest = planning_day.latest()
    plan = newest.plan if newest is not None else None
    found = sorted(pins_in_force(book, today).values(), key=lambda pin: (pin.day, pin.code))
    return tuple(
        PinLine(p.code, p.of, p.step, p.day, p.count, p.note, words_of_pin(plan, p)) for p in found
    )


def set_pin(
    of: str, step: str, day: date, count: int, note: str = "", now: datetime | None = None
) -> str:
    """Pin so many units (0: none) of a step to a day, and return the pin's code.

    ``of`` is a variety, or a steriliser: then cooks of a kind are pinned.

    Raises
    ------
    RefusedError
        If the day is past, or the farm's book would not hold with it.
    """
    moment = now or now_utc()
    book, today = planning_day.farm_book(moment)
    if day < today:
        raise RefusedError(f"{day} is past: nothing can be pinned there.")
    there = pins_in_force(book, today).get((of, step, day))
    code = there.code if there is not None else pin_code(of, step, day)
    is_cook = all(each.code != of for each in book.varieties) and any(
        each.code == of for each in book.sterilisers
    )
    steriliser = of if is_cook else ""
    write_record(Pin(code, "" if is_cook else of, step, day, count, note, steriliser), "", moment)
    return code


def outage_lines(now: datetime | None = None) -> tuple[OutageLine, ...]:
    """Return what is or will be out of use, soonest first."""
    book, today = planning_day.farm_book(now or now_utc())
    return tuple(
        OutageLine(
            each.code,
            each.what.value,
            each.which,
            each.from_date,
            each.until,
            each.note,
            outage_words(book, each, today),
        )
        for each in in_force(book, today)
    )


def take_off(code: str, *, is_outage: bool, now: datetime | None = None) -> None:
    """Take a pin off, or end what is out of use, from today on.

    Raises
    ------
    RefusedError
        If there is none of that code.
    """
    kind = RegisterKind.OUTAGE if is_outage else RegisterKind.PIN
    retire(kind, code, "", now or now_utc())
