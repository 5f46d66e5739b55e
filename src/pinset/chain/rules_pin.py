"""What must hold of starts, moves and cooks fixed by hand."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import date, timedelta

from pinset.chain.pins import Pin
from pinset.chain.register import FarmBook, StepKind
from pinset.chain.rules_basis import Bound, bad_code, outside, repeated, unknown, wrong
from pinset.chain.rules_sales import FARTHEST_DAYS
from pinset.errors import Finding

_COUNT = (Bound("count", 0, 1_000_000, "units"),)
PINNED_KINDS = (StepKind.TRANSFER, StepKind.BUY, StepKind.FRUIT)


def check_pins(book: FarmBook, today: date | None) -> Iterator[Finding]:
    """Yield what is not right with pins; one of the past may name what is no longer there."""
    yield from repeated("pins", [pin.code for pin in book.pins])
    routes = {route.code: route for route in book.routes}
    varieties = {variety.code: variety for variety in book.varieties}
    kinds = {each.code: [kind.code for kind in each.cooks] for each in book.sterilisers}
    for pin in book.pins:
        record = f"pins {pin.code}"
        yield from bad_code(record, pin.code)
        yield from outside(record, pin, _COUNT, "pin.count")
        if today is not None and pin.day < today:
            continue
        if today is not None and pin.day > today + timedelta(days=FARTHEST_DAYS):
            accepted = f"a day up to {FARTHEST_DAYS // 365} years ahead"
            yield wrong("pin.far", record, "day", pin.day.isoformat(), accepted)
        if pin.steriliser:
            yield from _check_cook(record, pin, kinds)
            continue
        yield from unknown(record, "variety", pin.variety, varieties, "varieties")
        variety = varieties.get(pin.variety)
        route = routes.get(variety.route) if variety else None
        if variety is not None and route is not None:
            steps = [step.code for step in route.steps if step.kind in PINNED_KINDS]
            kind = f"steps of {variety.code} that are started, ordered or moved in:"
            yield from unknown(record, "step", pin.step, steps, kind)


def _check_cook(record: str, pin: Pin, kinds: Mapping[str, list[str]]) -> Iterator[Finding]:
    if pin.variety:
        accepted = "none: a pin is of a variety or of a steriliser"
        yield wrong("pin.two", record, "variety", pin.variety, accepted)
    yield from unknown(record, "steriliser", pin.steriliser, kinds, "sterilisers")
    if pin.steriliser in kinds:
        kind = f"kinds of cook of {pin.steriliser}:"
        yield from unknown(record, "step", pin.step, kinds[pin.steriliser], kind)
