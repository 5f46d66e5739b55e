"""One lot to be looked at: its signs, where they may be, and what nothing seen is worth."""

from __future__ import annotations

from datetime import datetime
from zoneinfo import ZoneInfo

from pinset.chain.lotcode import nearest_valid, read_code
from pinset.chain.register import FarmBook
from pinset.errors import InputError, RefusedError
from pinset.farm import photo_store, whereabouts
from pinset.farm.queries.looks import looks
from pinset.farm.queries.lots import KnownCodes, lot_by_code, rows_of
from pinset.services import cautions
from pinset.services.books import lots as book_lots
from pinset.services.clock import now_utc
from pinset.services.looking.answered import job_of_look, open_looks, units_left
from pinset.services.looking.lots_now import step_now
from pinset.services.looking.media import medium_of
from pinset.services.looking.views import LookPage, PastLook, SignTile
from pinset.services.looking.words import nothing_seen, seen_in_words
from pinset.services.plans import planning_day
from pinset.tables.signs import Medium, Sign, places_in, shown_by, signs_of

MOST_BEFORE = 6


def named(typed: str) -> str:
    """Return the code of the lot that was typed or scanned.

    Raises
    ------
    InputError
        If the code has a slip.
    RefusedError
        If no lot of the farm has it.
    """
    known = KnownCodes()
    code = read_code(typed, known=known).lot
    try:
        lot_by_code(code)
    except InputError:
        near = nearest_valid(code, known)
        hint = f"Did you mean {' or '.join(near)}?" if near else "Look at the label once more."
        raise RefusedError(f"No lot of this farm has the code {code}.", hint) from None
    return code


def look_page(typed: str, now: datetime | None = None) -> LookPage:
    """Return what is asked of one lot.

    Raises
    ------
    InputError, RefusedError
        As :func:`named`.
    """
    moment = now or now_utc()
    book, today = planning_day.farm_book(moment)
    code = named(typed)
    [row] = rows_of([lot_by_code(code)])
    [line] = book_lots.lines([row], book, today)
    step = step_now(row, book, today)
    medium = medium_of(row.stage, step, book)
    age = (today - row.made_on).days if row.made_on else None
    standing = whereabouts.units_of([code]).get(code, ())
    return LookPage(
        lot=code,
        title=f"{line.words[:1].upper()}{line.words[1:]}",
        variety=line.variety,
        stage=row.stage,
        step=step,
        made_on=row.made_on,
        age_days=age,
        alive=sum(each.quantity for each in standing),
        places=tuple((each.place, each.quantity) for each in standing),
        signs=tuple(_tile(each, medium, age) for each in signs_of(medium)),
        wheres=tuple((each.key, each.name) for each in places_in(medium)),
        nothing=nothing_seen(age, medium),
        early=_early(age, medium),
        due=sum(units_left(stored).get(code, 0) for stored in open_looks(today)),
        cautions=cautions.sentences(each.caution for each in signs_of(medium)),
        before=past_looks(code, book, medium)[-MOST_BEFORE:],
    )


def job_due(code: str, now: datetime | None = None) -> str:
    """Return the code of the job that a look at a lot answers now; empty if there is none."""
    _, today = planning_day.farm_book(now)
    return job_of_look(code, today)


def _tile(each: Sign, medium: Medium, age: int | None) -> SignTile:
    days = each.shows_after(medium)
    low, high = (days.low, days.high) if days else (None, None)
    return SignTile(
        key=each.key,
        name=each.name,
        looks_like=each.looks_like,
        means=each.usual.means,
        known_from=each.usual.flag,
        shows="" if low is None or high is None else f"day {low:g} to {high:g}",
        is_early=age is not None and low is not None and age < low,
        out=each.out.value,
    )


def _early(age: int | None, medium: Medium) -> str:
    slowest = shown_by(medium)
    if age is None or age >= slowest:
        return ""
    return (
        f"Some signs need up to {slowest:g} days from inoculation (common practice, no source): "
        "nothing seen is written down as not seen yet, never as clean."
    )


def past_looks(code: str, book: FarmBook, medium: Medium) -> tuple[PastLook, ...]:
    """Return the looks at a lot that stand, oldest first, each in words."""
    found = looks(ZoneInfo(book.farm.time_zone), lots=[code])
    there = photo_store.there(look.photo for look in found if look.photo)
    return tuple(
        PastLook(
            at=look.at,
            words=seen_in_words(look.of, look.seen, look.signs, look.where, look.age_days, medium),
            photo=look.photo if look.photo in there else "",
        )
        for look in found
    )
