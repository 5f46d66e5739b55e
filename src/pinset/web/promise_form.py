"""What a promise's form asks for, and the promise read from it."""

from __future__ import annotations

from datetime import date, timedelta

from django.http import HttpRequest
from django.utils.translation import gettext as _

from pinset.chain.register import FarmBook, Promise, Weekday
from pinset.errors import InputError
from pinset.services.promises import promises
from pinset.services.promises.sold_as import PICKED, sold_of
from pinset.units import Quantity, grams, parse
from pinset.web import fields
from pinset.web.formats import WEEKDAYS, weighed_in
from pinset.web.forms import Field

CENTS = 100
LONGEST_AHEAD = timedelta(days=3 * 366)
MOST_GRAMS = 100_000_000
MOST_UNITS = 1_000_000
MOST_PRICE = 100_000.0


def sold_choices(book: FarmBook, old: Promise | None = None) -> tuple[tuple[str, str], ...]:
    """Return what can be sold, each kind of units with the varieties it is made of."""
    makers: dict[str, list[str]] = {}
    for variety in book.varieties:
        for code in sold_of(book, variety.code):
            makers.setdefault(code, []).append(variety.name)
    if old is not None:
        makers.setdefault(old.step, [])
    makers.pop(PICKED, None)
    units = tuple(
        (
            code,
            _("units of %(step)s: %(varieties)s") % {"step": code, "varieties": ", ".join(names)},
        )
        for code, names in makers.items()
    )
    return ((PICKED, _("picked mushrooms, by weight")), *units)


def _plain(value: float) -> str:
    return f"{value:.9g}"


def amount_shown(promise: Promise) -> str:
    """Return the amount as it is typed: units, or a weight in the farm's unit."""
    if promise.measure != "gram":
        return str(promise.amount)
    return fields.weight_shown(promise.amount)


def _kilograms_priced(step: str) -> float:
    """Return the kilograms that a typed price is for; of units, which are not weighed, one."""
    return parse(Quantity.MASS, "1", weighed_in()) if step == PICKED else 1.0


def _price_shown(promise: Promise) -> float:
    """Return the price as it is typed, of a unit of weight of the farm or of one unit sold."""
    return round(promise.price_cents * _kilograms_priced(promise.step) / CENTS, 2)


def _price_cents(typed: float | None, step: str, old: Promise | None) -> int:
    """Return the price in hundredths for a kilogram or a unit; left as it was, it stays as it was.

    A price of a pound is rounded when it is shown, and would drift with every save.
    """
    price = typed or 0.0
    if old is not None and old.step == step and price == _price_shown(old):
        return old.price_cents
    return round(price * CENTS / _kilograms_priced(step))


def promise_fields(book: FarmBook, old: Promise | None) -> tuple[Field, ...]:
    """Return the fields of a promise, filled from the old one if there is one."""
    buyers = tuple((buyer.code, buyer.name) for buyer in book.buyers)
    varieties = tuple((variety.code, variety.name) for variety in book.varieties)
    weekdays = tuple(
        (day.value, _("every %(weekday)s") % {"weekday": str(WEEKDAYS[day.number])})
        for day in Weekday
    )
    amount = price = weekday = on_date = from_date = until = ""
    if old is not None:
        amount = amount_shown(old)
        price = _plain(_price_shown(old)) if old.price_cents else ""
        weekday = old.weekday.value if old.weekday else ""
        on_date = old.on_date.isoformat() if old.on_date else ""
        from_date = old.from_date.isoformat() if old.from_date else ""
        until = old.until.isoformat() if old.until else ""
    return (
        Field(
            "buyer",
            _("To whom"),
            kind="choice",
            choices=buyers,
            value=old.buyer if old else "",
            required=True,
        ),
        Field(
            "variety",
            _("Variety"),
            kind="choice",
            choices=varieties,
            value=old.variety if old else "",
            required=True,
        ),
        Field(
            "step",
            _("What"),
            kind="choice",
            choices=sold_choices(book, old),
            value=old.step if old else "picked",
            required=True,
        ),
        Field(
            "amount",
            _("How much"),
            kind="number",
            value=amount,
            required=True,
            help=_("In %(unit)s, or units; 35, 35 kg and 77 lb are all understood.")
            % {"unit": weighed_in()},
        ),
        Field("weekday", _("Every week"), kind="choice", choices=weekdays, value=weekday),
        Field("on_date", _("or once, on"), kind="date", value=on_date),
        Field("from_date", _("First day it holds"), kind="date", value=from_date),
        Field("until", _("Last day it holds"), kind="date", value=until),
        Field(
            "price",
            _("Price"),
            kind="number",
            value=price,
            unit=_("%(currency)s a %(unit)s, or a unit")
            % {"currency": book.farm.currency, "unit": weighed_in()},
        ),
    )


def _amount(request: HttpRequest, step: str) -> int:
    if step == "picked":
        given = fields.text(request, "amount", longest=40)
        value = grams(given, weighed_in(), "amount")
        if not 0 < value <= MOST_GRAMS:
            raise InputError("amount", given, fields.at_most(MOST_GRAMS))
        return value
    units = fields.whole(request, "amount", least=1, most=MOST_UNITS)
    if units is None:
        raise InputError("amount", "", _("a whole number of units"))
    return units


def _one_of(request: HttpRequest, name: str, allowed: tuple[str, ...]) -> str:
    given = fields.text(request, name, longest=80)
    if given not in allowed:
        raise InputError(name, given, ", ".join(allowed) or _("nothing yet: add one first"))
    return given


def _near(name: str, value: date | None, today: date, *, least: date | None = None) -> date | None:
    latest = today + LONGEST_AHEAD
    if value is not None and (value > latest or (least is not None and value < least)):
        accepted = _("a day up to %(latest)s") % {"latest": latest.isoformat()}
        if least is not None:
            accepted = _("a day from %(least)s to %(latest)s") % {
                "least": least.isoformat(),
                "latest": latest.isoformat(),
            }
        raise InputError(name, value.isoformat(), accepted)
    return value


def read_promise(request: HttpRequest, book: FarmBook, today: date, old: Promise | None) -> Promise:
    """Return the promise a form describes.

    Raises
    ------
    InputError
        If a field is missing or not accepted.
    """
    buyer = _one_of(request, "buyer", tuple(each.code for each in book.buyers))
    variety = _one_of(request, "variety", tuple(each.code for each in book.varieties))
    sold = sold_of(book, variety)
    step = _one_of(request, "step", (*sold, old.step) if old and old.step not in sold else sold)
    given = fields.text(request, "weekday", longest=3)
    weekday = (
        Weekday(_one_of(request, "weekday", tuple(day.value for day in Weekday))) if given else None
    )
    once_from = today if old is None or old.on_date is None else min(today, old.on_date)
    on_date = _near("on_date", fields.day(request, "on_date"), today, least=once_from)
    if (weekday is None) == (on_date is None):
        raise InputError(
            "weekday", given, _("either a day of every week or one date, not both and not neither")
        )
    from_date = _near("from_date", fields.day(request, "from_date"), today)
    until = _near("until", fields.day(request, "until"), today, least=from_date or today)
    price = fields.number(request, "price", most=MOST_PRICE)
    return Promise(
        code=old.code if old else promises.new_promise_code(book, buyer, variety),
        buyer=buyer,
        variety=variety,
        amount=_amount(request, step),
        measure="gram" if step == "picked" else "unit",
        step=step,
        weekday=weekday,
        from_date=None if on_date else from_date or (old.from_date if old else today),
        until=None if on_date else until,
        on_date=on_date,
        price_cents=_price_cents(price, step, old),
    )
