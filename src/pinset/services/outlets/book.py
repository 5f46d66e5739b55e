"""Books, Outlets: what each takes, what it was given, and what it is to get."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from pinset.chain.outlets import NO_SOURCE, is_over, takes
from pinset.chain.register import FarmBook, Outlet, OutletKind
from pinset.farm.models.register import RegisterKind
from pinset.farm.queries.dried import DriedSale, dried_lots
from pinset.farm.queries.sales import ToOutlet
from pinset.files.description.cells import suggested_code
from pinset.services.book_reader import Reader
from pinset.services.books.prices import kilograms_in
from pinset.services.books.register_change import retire, write_record
from pinset.services.clock import now_utc
from pinset.services.outlets.given import given_on, sales_on
from pinset.services.outlets.surplus_view import LEAST_SAID
from pinset.services.plans import planning_day
from pinset.services.words import (
    WEEKDAYS,
    first_upper,
    joined,
    money,
    near_day,
    sentences,
    short_day,
    weighed_in,
)

WEIGHTS = {"kg": "kilogram", "lb": "pound"}
WINDOW_DAYS = 28
PLANNED_DAYS = 14
LONGEST_BASE = 34  # of a code of at most 40 signs, with a number behind it


@dataclass(frozen=True, slots=True)
class OutletLine:
    """Books, Outlets: one outlet, what it was given and what it is to get."""

    code: str
    name: str
    words: str  # what it takes, when, for how much
    note: str
    given: tuple[tuple[str, int], ...]  # variety, grams in 28 days
    sentence: str  # what that came to
    planned: tuple[str, ...] = ()  # the next two weeks, a line a day
    is_described: bool = True  # false: it was ended, and given something in these weeks


def outlets_view(now: datetime | None = None) -> tuple[OutletLine, ...]:
    """Return every outlet with what it was given in four weeks and is to get in two."""
    book, today = planning_day.farm_book(now)
    reader, newest = Reader(book, today), planning_day.latest()
    given = given_on(today - timedelta(days=WINDOW_DAYS), today, book.farm.time_zone)
    last = today + timedelta(days=PLANNED_DAYS)
    lines = []
    sales = sales_on(today - timedelta(days=WINDOW_DAYS), today, book.farm.time_zone)
    for outlet in book.outlets:
        mine = [each for each in given if each.outlet == outlet.code]
        planned: dict[date, list[str]] = defaultdict(list)
        for share in newest.surplus.shares if newest else ():
            is_mine = share.outlet == outlet.code and today <= share.day <= last
            if is_mine and share.grams >= LEAST_SAID:
                said = f"{reader.about(share.grams)} {reader.name(share.variety)}"
                planned[share.day].append(said)
        lines.append(
            OutletLine(
                code=outlet.code,
                name=outlet.name,
                words=outlet_words(outlet, reader),
                note=outlet.note,
                given=_by_variety(mine, reader),
                sentence=sentences(
                    [
                        _given(outlet, sum(each.grams for each in mine), _cents(mine), reader),
                        *_dried(outlet, [s for s in sales if s.outlet == outlet.code], reader),
                    ]
                ),
                planned=tuple(
                    f"{first_upper(near_day(day, today))}: {joined(said)}"
                    for day, said in sorted(planned.items())
                ),
            )
        )
    return (*lines, *_ended(given, reader))


def _ended(given: Sequence[ToOutlet], reader: Reader) -> Iterator[OutletLine]:
    """Yield the outlets that are no longer described and were given something in four weeks."""
    known = {outlet.code for outlet in reader.book.outlets}
    for code in dict.fromkeys(each.outlet for each in given if each.outlet not in known):
        mine = [each for each in given if each.outlet == code]
        yield OutletLine(
            code,
            code,
            "No longer described.",
            "",
            _by_variety(mine, reader),
            _sum(sum(each.grams for each in mine), _cents(mine), reader),
            is_described=False,
        )


def _by_variety(given: Sequence[ToOutlet], reader: Reader) -> tuple[tuple[str, int], ...]:
    grams: dict[str, int] = defaultdict(int)
    for each in given:
        grams[each.variety] += each.grams
    return tuple((reader.name(variety), total) for variety, total in grams.items())


def _cents(given: Sequence[ToOutlet]) -> int:
    """Return what entries brought; one of several varieties counts once."""
    return sum({each.entry: each.cents for each in given}.values())


def _given(outlet: Outlet, grams: int, cents: int, reader: Reader) -> str:
    if not grams:
        return "Nothing in the last four weeks."
    if outlet.kind is OutletKind.DRYING:
        dry = grams / (outlet.fresh_per_dry or 1.0)
        return f"{reader.said(grams)} fresh in four weeks, about {reader.said(dry)} dry."
    return _sum(grams, cents, reader)


def _dried(outlet: Outlet, sales: Sequence[DriedSale], reader: Reader) -> list[str]:
    """Return what of a drier was sold, and what lies dried by its ratio."""
    if outlet.kind is not OutletKind.DRYING:
        return []
    said = []
    if sales:
        brought = money(sum(each.cents for each in sales), reader.book.farm.currency)
        dry = reader.mixed(sum(each.dry_grams for each in sales))
        said.append(f"{dry} dry sold for {brought}")
    kinds = [v.code for v in reader.book.varieties if takes(outlet, v.code)]
    there = sum(each.grams for code in kinds for each in dried_lots(code))
    if sales and there:
        said.append(f"About {reader.mixed(there / (outlet.fresh_per_dry or 1.0))} lie dried")
    return said


def _sum(grams: int, cents: int, reader: Reader) -> str:
    brought = money(cents, reader.book.farm.currency)
    return f"{reader.said(grams)} in four weeks, for {brought}."


def outlet_words(outlet: Outlet, reader: Reader) -> str:
    """Return what an outlet takes, when and for how much, in sentences."""
    days = [f"{WEEKDAYS[day.number]}s" for day in sorted(outlet.weekdays, key=lambda d: d.number)]
    when = f"On {joined(days)}" if days else "On any working day"
    until = "" if outlet.until is None else f" until {short_day(outlet.until)}"
    if is_over(outlet, reader.today):
        until = f", over since {short_day(outlet.until)}" if outlet.until else ""
    elif outlet.from_date is not None and outlet.from_date > reader.today:
        until = f" from {short_day(outlet.from_date)}{until}"
    what = joined([reader.name(code) for code in outlet.varieties]) or "all that is picked"
    most = "" if outlet.most_g is None else f"at most {reader.said(outlet.most_g)} a day"
    least = f"at least {reader.said(outlet.least_g)} a day" if outlet.least_g else ""
    limits = joined([each for each in (least, most) if each])
    return sentences(
        [f"{when}{until}", f"Takes {what}{f', {limits}' if limits else ''}", _price(outlet, reader)]
    )


def _price(outlet: Outlet, reader: Reader) -> str:
    currency, unit = reader.book.farm.currency, weighed_in(reader.book.farm.units)
    weight = WEIGHTS[unit]
    if outlet.price_cents_per_kg is None:
        return "The usual price of each variety"
    cents = outlet.price_cents_per_kg * kilograms_in(unit)
    price = f"{money(cents, currency)} a {weight}"
    if outlet.kind is not OutletKind.DRYING or not outlet.fresh_per_dry:
        return first_upper(price)
    fresh = money(cents / outlet.fresh_per_dry, currency)
    return (
        f"{price} dry, {fresh} a {weight} fresh: {outlet.fresh_per_dry:g} {unit} fresh for "
        f"1 {unit} dry "
        f"({outlet.ratio_source or NO_SOURCE})"
    )


def save_outlet(outlet: Outlet, person: str, now: datetime | None = None) -> None:
    """Add an outlet or write a new version of it, from today on.

    Raises
    ------
    RefusedError
        If the farm's book would not hold with it; the sentence says why.
    """
    write_record(outlet, person, now or now_utc())


def end_outlet(code: str, person: str, now: datetime | None = None) -> None:
    """End an outlet from today on; what it was given stays in the books.

    Raises
    ------
    RefusedError
        If there is none of that code.
    """
    retire(RegisterKind.OUTLET, code, person, now or now_utc())


def new_outlet_code(book: FarmBook, name: str) -> str:
    """Return a code no outlet has yet, like its name."""
    taken = {outlet.code for outlet in book.outlets}
    base = suggested_code(name)[:LONGEST_BASE].strip("-") or "outlet"
    number = 1
    while (code := base if number == 1 else f"{base}-{number}") in taken:
        number += 1
    return code
