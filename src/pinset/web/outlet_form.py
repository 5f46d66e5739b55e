"""What an outlet's form asks for, and the outlet read from it."""

from __future__ import annotations

from django.http import HttpRequest
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from pinset.chain.register import FarmBook, Outlet, OutletKind, Weekday
from pinset.errors import InputError
from pinset.services.outlets import book as outlets_book
from pinset.services.promises.sold_as import PICKED, sold_of
from pinset.units import Quantity, parse
from pinset.web import fields
from pinset.web.formats import WEEKDAYS, weighed_in
from pinset.web.forms import Field

CENTS = 100
MOST_PRICE = 100_000.0
LEAST_RATIO, MOST_RATIO = 1.0, 50.0
KINDS = {
    OutletKind.MARKET: gettext_lazy("market: sold to whoever comes"),
    OutletKind.KITCHEN: gettext_lazy("kitchen: takes extra"),
    OutletKind.DRYING: gettext_lazy("drying: dried here, sold as dry weight"),
}


def _kilograms() -> float:
    """Return the kilograms that a typed price is for."""
    return parse(Quantity.MASS, "1", weighed_in())


def _price_shown(outlet: Outlet) -> str:
    """Return the price as it is typed, of a unit of weight of the farm."""
    if outlet.price_cents_per_kg is None:
        return ""
    return f"{round(outlet.price_cents_per_kg * _kilograms() / CENTS, 2):.9g}"


def outlet_fields(book: FarmBook, old: Outlet | None) -> tuple[Field, ...]:
    """Return the fields of an outlet, filled from the old one if there is one."""
    unit = weighed_in()
    outlet = old or Outlet("", "", OutletKind.MARKET)
    ratio = "" if outlet.fresh_per_dry is None else f"{outlet.fresh_per_dry:.9g}"
    return (
        Field("name", _("Name"), value=outlet.name, required=True),
        Field(
            "kind",
            _("What it is"),
            kind="choice",
            choices=tuple((kind.value, str(word)) for kind, word in KINDS.items()),
            value=outlet.kind.value,
            required=True,
        ),
        Field(
            "weekdays",
            _("On which days"),
            kind="ticks",
            choices=tuple((day.value, str(WEEKDAYS[day.number])) for day in Weekday),
            values=tuple(day.value for day in outlet.weekdays),
            help=_("None ticked: any day on which somebody works."),
        ),
        Field(
            "varieties",
            _("What it takes"),
            kind="ticks",
            choices=_varieties(book, outlet),
            values=outlet.varieties,
            help=_("None ticked: all that is picked."),
        ),
        Field(
            "price",
            _("Price"),
            kind="number",
            value=_price_shown(outlet),
            unit=_("%(currency)s a %(unit)s") % {"currency": book.farm.currency, "unit": unit},
            help=_("Left empty: the usual price of each variety. Of drying the price dry."),
        ),
        Field(
            "least",
            _("Least on one day"),
            kind="number",
            value=fields.weight_shown(outlet.least_g) if outlet.least_g else "",
            unit=unit,
            help=_("For less nobody goes, and it gets nothing."),
        ),
        Field(
            "most",
            _("Most on one day"),
            kind="number",
            value="" if outlet.most_g is None else fields.weight_shown(outlet.most_g),
            unit=unit,
        ),
        Field("deliver_at", _("Hour"), kind="time", value=outlet.deliver_at),
        Field(
            "buyer",
            _("The buyer it is"),
            kind="choice",
            choices=tuple((buyer.code, buyer.name) for buyer in book.buyers),
            value=outlet.buyer,
            help=_("If it is one of them: its hour holds where none is given here."),
        ),
        Field("from_date", _("First day"), kind="date", value=_day(outlet.from_date)),
        Field("until", _("Last day"), kind="date", value=_day(outlet.until)),
        Field(
            "fresh_per_dry",
            _("Drying: fresh for one dry, by weight"),
            kind="number",
            value=ratio,
            help=_("Weigh a load before and after; about 10 is common practice, no source."),
        ),
        Field(
            "ratio_source",
            _("Where that number is from"),
            value=outlet.ratio_source,
            help=_("Left empty it says: common practice, no source."),
        ),
        Field("note", _("Note"), kind="long", value=outlet.note, rows=2),
    )


def _day(value: object) -> str:
    return "" if value is None else str(value)


def _varieties(book: FarmBook, outlet: Outlet) -> tuple[tuple[str, str], ...]:
    """Return the varieties that are picked, and those it has, whatever they are."""
    return tuple(
        (variety.code, variety.name)
        for variety in book.varieties
        if PICKED in sold_of(book, variety.code) or variety.code in outlet.varieties
    )


def read_outlet(request: HttpRequest, book: FarmBook, old: Outlet | None) -> Outlet:
    """Return the outlet a form describes.

    Raises
    ------
    InputError
        If a field is missing or not accepted.
    """
    name = fields.text(request, "name", longest=200)
    if not name:
        raise InputError("name", "", _("a name"))
    kind = fields.one(request, "kind", [each.value for each in OutletKind])
    known = tuple(code for code, _word in _varieties(book, old or Outlet("", "", OutletKind(kind))))
    least, most = fields.weight(request, "least") or 0, fields.weight(request, "most")
    if most is not None and most < least:
        raise InputError("most", request.POST.get("most", ""), _("the least or more"))
    ratio = _ratio(request, OutletKind(kind))
    return Outlet(
        code=old.code if old else outlets_book.new_outlet_code(book, name),
        name=name,
        kind=OutletKind(kind),
        weekdays=tuple(
            Weekday(day)
            for day in fields.ticked(request, "weekdays", tuple(each.value for each in Weekday))
        ),
        varieties=fields.ticked(request, "varieties", known),
        price_cents_per_kg=_price(request, OutletKind(kind), old),
        least_g=least,
        most_g=most,
        deliver_at=fields.text(request, "deliver_at", longest=5),
        buyer=fields.text(request, "buyer", longest=60),
        from_date=fields.day(request, "from_date"),
        until=fields.day(request, "until"),
        fresh_per_dry=ratio,
        ratio_source=fields.text(request, "ratio_source", longest=200),
        note=fields.text(request, "note"),
    )


def _price(request: HttpRequest, kind: OutletKind, old: Outlet | None) -> int | None:
    """Return the price in hundredths for a kilogram; left as it was, it stays as it was."""
    typed = fields.number(request, "price", most=MOST_PRICE)
    if typed is None:
        if kind is OutletKind.DRYING:
            raise InputError("price", "", _("the price of dry weight"))
        return None
    if old is not None and _price_shown(old) and float(_price_shown(old)) == typed:
        return old.price_cents_per_kg
    return round(typed * CENTS / _kilograms())


def _ratio(request: HttpRequest, kind: OutletKind) -> float | None:
    ratio = fields.number(request, "fresh_per_dry", most=MOST_RATIO)
    if kind is OutletKind.DRYING and (ratio is None or ratio < LEAST_RATIO):
        raise InputError(
            "fresh_per_dry",
            request.POST.get("fresh_per_dry", ""),
            _("how much fresh makes one dry, by weight: from 1 to 50"),
        )
    if kind is not OutletKind.DRYING and ratio is not None:
        raise InputError("fresh_per_dry", f"{ratio:g}", _("nothing: it is not for drying"))
    return ratio
