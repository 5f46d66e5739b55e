"""Everything that must hold across the records of a farm: what loading and settings pages ask."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date

from pinset.chain.register import FarmBook
from pinset.chain.rules_farm import check_farm, check_places, check_workers
from pinset.chain.rules_label import check_labels
from pinset.chain.rules_lot import check_lots
from pinset.chain.rules_outage import check_outages
from pinset.chain.rules_outlet import check_outlets
from pinset.chain.rules_pin import check_pins
from pinset.chain.rules_route import check_route
from pinset.chain.rules_sales import check_sales
from pinset.chain.rules_upkeep import check_upkeep
from pinset.errors import Finding


def check_book(book: FarmBook, today: date | None = None) -> tuple[Finding, ...]:
    """Return everything that is not right with a farm's book, all at once.

    Parameters
    ----------
    book : FarmBook
        Everything the farm says of itself.
    today : date, optional
        The farm's date, for lots made in the future and promises in the past or too far ahead;
        without it those questions are left aside.

    Returns
    -------
    tuple of Finding
        Each names its record (``routes shiitake step block``, ``lots 7K4MV``), what was given and
        what is accepted. A book may be used if none of them is of severity ``wrong``. Promises
        that lie in the past are a warning: they are kept for the record.
    """
    return tuple(_findings(book, today))


def _findings(book: FarmBook, today: date | None) -> Iterator[Finding]:
    yield from check_farm(book.farm)
    yield from check_places(book)
    yield from check_workers(book.workers)
    vessels = {vessel.code for vessel in book.vessels}
    cooks = {cook.code for steriliser in book.sterilisers for cook in steriliser.cooks}
    for route in book.routes:
        yield from check_route(route, vessels, cooks)
    yield from check_sales(book, today)
    yield from check_lots(book, today)
    yield from check_outages(book, today)
    yield from check_pins(book, today)
    yield from check_outlets(book, today)
    yield from check_labels(book)
    yield from check_upkeep(book, today)
