"""One day of the board: a day off or not, and what is put out of use from it on."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, datetime

from pinset.chain.outages import Outage
from pinset.chain.register import Weekday
from pinset.errors import InputError, RefusedError
from pinset.services.board.board import heads
from pinset.services.board.views import DayPage
from pinset.services.books.register_change import write_record
from pinset.services.clock import now_utc
from pinset.services.day.out_of_use import choices, in_force, outage_words
from pinset.services.plans import planning_day
from pinset.services.words import long_day


def day_page(day: date, now: datetime | None = None) -> DayPage:
    """Return a day of the board.

    Raises
    ------
    RefusedError
        If it is not one of the board's days.
    """
    book, today = planning_day.farm_book(now or now_utc())
    head = next((each for each in heads(book, today) if each.day == day), None)
    if head is None:
        raise RefusedError(f"The board does not show {long_day(day)}.")
    return DayPage(
        head=head,
        is_week_off=Weekday.of(day) not in book.farm.working_days,
        is_marked_off=day in book.farm.days_off,
        outages=tuple(
            (each.code, outage_words(book, each, today))
            for each in in_force(book, today)
            if each.covers(day)
        ),
    )


def mark_day(day: date, person: str, *, is_off: bool, now: datetime | None = None) -> None:
    """Make a day a day off, or a working day again.

    Raises
    ------
    RefusedError
        If the board does not show it, or its weekday is never worked.
    """
    moment = now or now_utc()
    shown = day_page(day, moment)
    if shown.is_week_off:
        raise RefusedError(
            f"{long_day(day)} falls on a weekday that is never worked.",
            "The working days of the week stand in Settings, The farm.",
        )
    book, _ = planning_day.farm_book(moment)
    days = set(book.farm.days_off) - {day}
    kept = sorted({*days, day} if is_off else days)
    write_record(replace(book.farm, days_off=tuple(kept)), person, moment)


def things(now: datetime | None = None) -> tuple[tuple[str, str], ...]:
    """Return what can be put out of use: ``steriliser:steamer`` and its name."""
    book, _ = planning_day.farm_book(now or now_utc())
    return tuple((f"{what}:{code}", f"{name} ({what})") for (what, code), name in choices(book))


def put_out_of_use(
    thing: str, first: date, last: date, note: str, person: str, now: datetime | None = None
) -> str:
    """Put something out of use from a day to a day, and return the code of that.

    Raises
    ------
    InputError
        If there is no such thing.
    RefusedError
        If the days are not in order; the sentence says so.
    """
    moment = now or now_utc()
    book, _ = planning_day.farm_book(moment)
    known = {f"{what}:{code}": (what, code) for (what, code), _ in choices(book)}
    if thing not in known:
        raise InputError("thing", thing, f"one of {', '.join(known)}")
    what, which = known[thing]
    taken = {each.code for each in book.outages}
    stem = f"{which[:24]}-{first:%Y%m%d}"
    code, number = stem, 1
    while code in taken:
        number += 1
        code = f"{stem}-{number}"
    write_record(Outage(code, what, which, first, last, note.strip()), person, moment)
    return code
