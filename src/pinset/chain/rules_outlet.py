"""What must hold of outlets: places for what fits no promise."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import date

from pinset.chain.register import FarmBook, Outlet, OutletKind, Route, StepKind, Variety
from pinset.chain.rules_basis import (
    Bound,
    bad_clock,
    bad_code,
    outside,
    repeated,
    unknown,
    warning,
    wrong,
)
from pinset.errors import Finding

MOST_G = 10_000_000
_NUMBERS = (
    Bound("price_cents_per_kg", 0, 100_000_000, "cents"),
    Bound("least_g", 0, MOST_G, "g (10 t)"),
    Bound("most_g", 0, MOST_G, "g (10 t)"),
    Bound("fresh_per_dry", 1.0, 50.0, "kilograms fresh for one dry"),
)


def check_outlets(book: FarmBook, today: date | None) -> Iterator[Finding]:
    """Yield what is not right with outlets; one that is over may name what is no longer there."""
    yield from repeated("outlets", [outlet.code for outlet in book.outlets])
    buyers = {buyer.code for buyer in book.buyers}
    varieties = {variety.code: variety for variety in book.varieties}
    routes = {route.code: route for route in book.routes}
    for outlet in book.outlets:
        record = f"outlets {outlet.code}"
        yield from bad_code(record, outlet.code)
        yield from outside(record, outlet, _NUMBERS, "outlet.number")
        yield from _check_itself(record, outlet)
        yield from _check_days(record, outlet, today)
        if today is not None and outlet.until is not None and outlet.until < today:
            continue
        if outlet.buyer:
            yield from unknown(record, "buyer", outlet.buyer, buyers, "buyers")
        yield from _check_varieties(record, outlet, varieties, routes)


def _check_itself(record: str, outlet: Outlet) -> Iterator[Finding]:
    if not outlet.name.strip():
        yield wrong("outlet.name", record, "name", outlet.name, "a name")
    if outlet.deliver_at:
        yield from bad_clock(record, "deliver_at", outlet.deliver_at)
    if outlet.most_g is not None and outlet.least_g > outlet.most_g:
        accepted = f"{outlet.least_g} g (the least) or more"
        yield wrong("outlet.most", record, "most_g", outlet.most_g, accepted)
    is_drying = outlet.kind is OutletKind.DRYING
    if is_drying and outlet.price_cents_per_kg is None:
        accepted = "the price of a kilogram dry"
        yield wrong("outlet.dry-price", record, "price_cents_per_kg", "nothing", accepted)
    if is_drying and outlet.fresh_per_dry is None:
        accepted = "kilograms fresh for one kilogram dry"
        hint = "Weigh a load before and after; until then about 10 (common practice, no source)."
        yield wrong("outlet.ratio", record, "fresh_per_dry", "nothing", accepted, hint)
    if not is_drying and outlet.fresh_per_dry is not None:
        accepted = f"nothing: {outlet.code} is of kind {outlet.kind.value}, not drying"
        yield wrong("outlet.ratio", record, "fresh_per_dry", outlet.fresh_per_dry, accepted)


def _check_varieties(
    record: str, outlet: Outlet, varieties: Mapping[str, Variety], routes: Mapping[str, Route]
) -> Iterator[Finding]:
    for code in outlet.varieties:
        yield from unknown(record, "varieties", code, varieties, "varieties")
        route = routes.get(varieties[code].route) if code in varieties else None
        if route is not None and not any(step.kind is StepKind.FRUIT for step in route.steps):
            accepted = f"varieties that are picked: the route {route.code} does not fruit"
            yield wrong("outlet.variety", record, "varieties", code, accepted)


def _check_days(record: str, outlet: Outlet, today: date | None) -> Iterator[Finding]:
    begin, end = outlet.from_date, outlet.until
    if begin is not None and end is not None and end < begin:
        accepted = f"{begin.isoformat()} (from_date) or later"
        yield wrong("outlet.until", record, "until", end.isoformat(), accepted)
    if today is not None and end is not None and end < today:
        yield warning(
            "outlet.past",
            record,
            f"until {end.isoformat()} lies before today, {today.isoformat()}: nothing is planned "
            "for it.",
            "Right if it is kept for the record; else correct the date.",
        )
