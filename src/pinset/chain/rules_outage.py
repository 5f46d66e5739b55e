"""What must hold of what is out of use."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date

from pinset.chain.outages import Outage, OutageOf
from pinset.chain.register import FarmBook
from pinset.chain.rules_basis import bad_code, repeated, unknown, wrong
from pinset.errors import Finding

LONGEST_DAYS = 3 * 365 + 1
"""Something out of use for longer is not there; it is ended instead. [d]"""


def codes_of(book: FarmBook) -> dict[OutageOf, tuple[str, ...]]:
    """Return the codes of everything that can be out of use."""
    return {
        OutageOf.STERILISER: tuple(each.code for each in book.sterilisers),
        OutageOf.PERSON: tuple(each.code for each in book.workers),
        OutageOf.BENCH: tuple(each.code for each in book.benches),
        OutageOf.ROOM: tuple(each.code for each in book.rooms),
    }


PLURALS = {
    OutageOf.STERILISER: "sterilisers",
    OutageOf.PERSON: "people",
    OutageOf.BENCH: "benches",
    OutageOf.ROOM: "rooms",
}


def check_outages(book: FarmBook, today: date | None) -> Iterator[Finding]:
    """Yield what is not right with what is out of use.

    What is over may name something that is no longer there: it is kept for the record.
    """
    codes = codes_of(book)
    yield from repeated("outages", [each.code for each in book.outages])
    for each in book.outages:
        record = f"outages {each.code}"
        yield from bad_code(record, each.code)
        if today is None or each.until >= today:
            yield from unknown(record, "which", each.which, codes[each.what], PLURALS[each.what])
        yield from _check_days(record, each)


def _check_days(record: str, outage: Outage) -> Iterator[Finding]:
    first, last = outage.from_date, outage.until
    days = (last - first).days + 1
    if days < 1:
        accepted = f"a day from {first.isoformat()} on"
        yield wrong("outage.order", record, "until", last.isoformat(), accepted)
    elif days > LONGEST_DAYS:
        accepted = f"at most {LONGEST_DAYS} days after from_date"
        hint = "What is gone for good is ended where it is described."
        yield wrong("outage.long", record, "until", last.isoformat(), accepted, hint)
