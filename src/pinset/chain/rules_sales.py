"""What must hold of what is sold and kept: varieties, cultures, buyers, promises."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import date, timedelta

from pinset.chain.register import (
    Buyer,
    Culture,
    FarmBook,
    Promise,
    RoomKind,
    Route,
    StepKind,
    Variety,
)
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

PICKED = "picked"
FARTHEST_DAYS = 3 * 365 + 1
"""A promise lies at most three years ahead. [d]"""

MONTHS = 12
MOST_SEASON = 3.0
"""No month brings more than so many times what the route says."""

MOST_TRIMMED = 0.95
"""So much of a picked weight is trimmed off at most."""

_PRICE = 100_000_000
_VARIETY = (
    Bound("picked_keeps_days", 0.0, 60.0, "days"),
    Bound("trim_loss", 0.0, MOST_TRIMMED, "of the weight"),
    Bound("price_cents_per_kg", 0, _PRICE, "cents"),
)


def check_sales(book: FarmBook, today: date | None) -> Iterator[Finding]:
    """Yield what is not right with varieties, cultures, buyers and promises.

    Parameters
    ----------
    book : FarmBook
        The whole book, for what they refer to.
    today : date or None
        For dates in the past or too far ahead; None leaves those questions aside.

    Yields
    ------
    Finding
        All at once.
    """
    for kind, codes in (
        ("varieties", [variety.code for variety in book.varieties]),
        ("cultures", [culture.code for culture in book.cultures]),
        ("buyers", [buyer.code for buyer in book.buyers]),
        ("promises", [promise.code for promise in book.promises]),
        ("routes", [route.code for route in book.routes]),
    ):
        yield from repeated(kind, codes)
    routes = {route.code: route for route in book.routes}
    for variety in book.varieties:
        yield from _check_variety(variety, routes, book)
    varieties = {variety.code: variety for variety in book.varieties}
    for culture in book.cultures:
        yield from _check_culture(culture, varieties, today)
    for buyer in book.buyers:
        yield from _check_buyer(buyer)
    buyers = {buyer.code for buyer in book.buyers}
    for promise in book.promises:
        record = f"promises {promise.code}"
        yield from bad_code(record, promise.code)
        yield from unknown(record, "buyer", promise.buyer, buyers, "buyers")
        yield from unknown(record, "variety", promise.variety, varieties, "varieties")
        yield from _check_amount(record, promise)
        yield from _check_what(record, promise, varieties, routes)
        yield from _check_days(record, promise, today)


def _check_variety(
    variety: Variety, routes: Mapping[str, Route], book: FarmBook
) -> Iterator[Finding]:
    record = f"varieties {variety.code}"
    yield from bad_code(record, variety.code)
    yield from outside(record, variety, _VARIETY, "variety.number")
    yield from _check_season(record, variety)
    if not variety.name.strip():
        yield wrong("variety.name", record, "name", variety.name, "a name")
    if not variety.route:
        accepted = f"one of the routes {', '.join(sorted(routes)) or '(none yet)'}"
        yield wrong("variety.no-route", record, "route", "", accepted)
        return
    yield from unknown(record, "route", variety.route, routes, "routes")
    route = routes.get(variety.route)
    if route is None:
        return
    if variety.sold_as != PICKED:
        steps = {step.code for step in route.steps}
        yield from unknown(record, "sold_as", variety.sold_as, {PICKED, *steps}, "steps")
    elif not any(step.kind is StepKind.FRUIT for step in route.steps):
        accepted = f"the step that is sold: the route {route.code} has no fruiting step"
        yield wrong("variety.sold-as", record, "sold_as", PICKED, accepted)
    yield from _check_climate(record, route, book)


def _check_climate(record: str, route: Route, book: FarmBook) -> Iterator[Finding]:
    growing = [room for room in book.rooms if room.kind is RoomKind.GROWING]
    offered = {climate for room in growing for climate in room.climates}
    for step in route.steps:
        if step.kind is not StepKind.FRUIT:
            continue
        if not growing:
            yield warning(
                "variety.no-grow-room",
                record,
                f"route {route.code} fruits, but the farm has no room of kind growing.",
                "Add the grow room, or end the route at the block.",
            )
        elif step.climate and step.climate not in offered:
            accepted = f"a climate a grow room gives: {', '.join(sorted(offered)) or '(none yet)'}"
            hint = "Name it among the climates of a grow room, or change the step."
            yield wrong("variety.climate", record, "climate", step.climate, accepted, hint)


def _check_season(record: str, variety: Variety) -> Iterator[Finding]:
    """Yield what is not right with the shares of the months."""
    accepted = f"nothing, or {MONTHS} numbers from 0 to {MOST_SEASON:g}, January to December"
    shares = variety.season
    given = " ".join(f"{share:g}" for share in shares)
    is_in_range = all(0.0 <= share <= MOST_SEASON for share in shares)
    if (shares and len(shares) != MONTHS) or not is_in_range:
        yield wrong("variety.season", record, "season", given, accepted)
    elif shares and max(shares) <= 0.0:
        yield wrong("variety.season", record, "season", given, "one month at least above 0")


def _check_culture(
    culture: Culture, varieties: Mapping[str, Variety], today: date | None
) -> Iterator[Finding]:
    record = f"cultures {culture.code}"
    yield from bad_code(record, culture.code)
    yield from unknown(record, "variety", culture.variety, varieties, "varieties")
    mother = culture.mother_on
    if mother is not None and today is not None and mother > today:
        given = mother.isoformat()
        yield wrong("culture.future", record, "mother_on", given, f"{today.isoformat()} or earlier")


def _check_buyer(buyer: Buyer) -> Iterator[Finding]:
    record = f"buyers {buyer.code}"
    yield from bad_code(record, buyer.code)
    if not buyer.name.strip():
        yield wrong("buyer.name", record, "name", buyer.name, "a name")
    if buyer.deliver_at:
        yield from bad_clock(record, "deliver_at", buyer.deliver_at)


def _check_amount(record: str, promise: Promise) -> Iterator[Finding]:
    most = {"gram": (10_000_000, "g (10 t)"), "unit": (1_000_000, "units")}
    if promise.measure not in most:
        yield wrong("promise.measure", record, "measure", promise.measure, "gram or unit")
        return
    high, unit = most[promise.measure]
    yield from outside(record, promise, (Bound("amount", 1, high, unit),), "promise.amount")
    yield from outside(
        record, promise, (Bound("price_cents", 0, _PRICE, "cents"),), "promise.price"
    )


def _check_what(
    record: str, promise: Promise, varieties: Mapping[str, Variety], routes: Mapping[str, Route]
) -> Iterator[Finding]:
    is_picked = promise.step == PICKED
    if is_picked != (promise.measure == "gram") and promise.measure in {"gram", "unit"}:
        accepted = "gram for picked mushrooms, unit for spawn and blocks"
        yield wrong("promise.measure", record, "measure", promise.measure, accepted)
    variety = varieties.get(promise.variety)
    route = None if variety is None else routes.get(variety.route)
    if route is None:
        return
    if not is_picked:
        yield from unknown(record, "step", promise.step, {s.code for s in route.steps}, "steps")
    elif not any(step.kind is StepKind.FRUIT for step in route.steps):
        accepted = f"a step of route {route.code}, which does not fruit"
        yield wrong("promise.step", record, "step", PICKED, accepted)


def _check_days(record: str, promise: Promise, today: date | None) -> Iterator[Finding]:
    weekly, once = promise.weekday is not None, promise.on_date is not None
    if weekly == once:
        given = "both" if weekly else "neither"
        accepted = "a weekday (every week) or on_date (once)"
        yield wrong("promise.day", record, "day", given, accepted)
    begin, end = promise.from_date, promise.until
    if begin is not None and end is not None and end < begin:
        accepted = f"{begin.isoformat()} (from_date) or later"
        yield wrong("promise.until", record, "until", end.isoformat(), accepted)
    if today is None:
        return
    farthest = today + timedelta(days=FARTHEST_DAYS)
    for field, day in (("on_date", promise.on_date), ("from_date", begin), ("until", end)):
        if day is not None and day > farthest:
            accepted = f"a day up to {farthest.isoformat()}, three years ahead"
            yield wrong("promise.far", record, field, day.isoformat(), accepted)
    past = promise.on_date if once else end
    if past is not None and past < today:
        field = "on_date" if once else "until"
        yield warning(
            "promise.past",
            record,
            f"{field} {past.isoformat()} lies before today, {today.isoformat()}: nothing is "
            "planned for it.",
            "Right if it is kept for the record; else correct the date.",
        )
