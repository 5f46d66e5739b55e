"""What an entry must hold to before the door looks at the ledger: form, sizes, balance."""

from __future__ import annotations

import math
import re
from collections import defaultdict
from datetime import UTC, date, datetime, timedelta
from typing import Any

from pinset.chain.lotcode import is_valid
from pinset.chain.stages import Stage
from pinset.errors import InputError
from pinset.farm.entries import Account, Kind, Measure, NewEntry, NewLot

EARLIEST = datetime(1990, 1, 1, tzinfo=UTC)
"""No entry happened before."""

CLOCK_SLACK = timedelta(hours=26)
"""How far a tablet's clock or a date typed for today may run ahead."""

MOST = {Measure.UNIT: 1_000_000, Measure.GRAM: 100_000_000, Measure.MILLILITRE: 100_000_000}
"""The largest quantity of one posting: a million units, a hundred tonnes."""

LONGEST_NOTE = 10_000
MOST_DETAILS = 2_000  # values in one entry's details
MOST_PARTS = 2_000  # postings, links or mentions of one entry

_CLIENT_ID = re.compile(r"[0-9a-f]{32}")
_UNITS_ONLY = frozenset(
    {Account.MADE, Account.ALIVE, Account.LOST, Account.CULLED, Account.SPENT, Account.SOLD}
)
_WEIGHED_ONLY = frozenset(
    {Account.GROWN, Account.STORE, Account.DELIVERED, Account.DRIED, Account.WASTE}
)


def check_entry(entry: NewEntry, now: datetime) -> None:
    """Refuse an entry that could not be true on any farm.

    Raises
    ------
    InputError
        With the field, what was given and what is accepted.
    """
    if not _CLIENT_ID.fullmatch(entry.client_id):
        raise InputError("client_id", entry.client_id, "32 hexadecimal signs, lower case")
    _check_when(entry.happened_at, now)
    for name, parts in (
        ("lots", entry.lots),
        ("postings", entry.postings),
        ("links", entry.links),
        ("mentions", entry.mentions),
    ):
        if len(parts) > MOST_PARTS:
            raise InputError(name, len(parts), f"at most {MOST_PARTS} in one entry")
    check_text("note", entry.note, LONGEST_NOTE)
    check_text("job", entry.job, 40)
    if entry.corrects and not _CLIENT_ID.fullmatch(entry.corrects):
        raise InputError("corrects", entry.corrects, "the client id of the entry it sets right")
    if entry.corrects == entry.client_id:
        raise InputError("corrects", entry.corrects, "another entry than itself")
    _check_taking_back(entry)
    _check_details(entry.details)
    _check_lots(entry, now)
    _check_postings(entry)
    _check_links(entry)
    for mention in entry.mentions:
        check_code(mention.lot)
        check_text("role", mention.role, 20, empty=False)
        check_text("value", mention.value, 120)
        check_text("place", mention.place, 60)
        _check_whole("count", mention.count, 0, MOST[Measure.GRAM])


def _check_taking_back(entry: NewEntry) -> None:
    if not entry.corrects:
        return
    if entry.kind is not Kind.CORRECT:
        raise InputError("kind", entry.kind, f"{Kind.CORRECT} for an entry that takes one back")
    if entry.lots or entry.links or entry.mentions:
        raise InputError(
            "corrects",
            entry.corrects,
            "postings alone in an entry that takes one back",
            "Write down what is right as an entry of its own.",
        )


def check_code(code: str) -> None:
    """Refuse a lot code with a slip."""
    if not is_valid(code):
        raise InputError("lot code", code, "a code with a right check sign, such as 7K4MV")


def check_text(field: str, given: object, longest: int, *, empty: bool = True) -> None:
    """Refuse what is no text, is too long, or holds signs no database keeps."""
    if not isinstance(given, str) or len(given) > longest or not (given or empty):
        least = "" if empty else "1 to "
        raise InputError(field, given, f"text of {least}at most {longest} signs")
    surrogate = not given.isascii() and any("\ud800" <= sign <= "\udfff" for sign in given)
    if surrogate or "\x00" in given:
        raise InputError(field, given, "text without control signs")


def _check_whole(field: str, given: object, low: int, high: int) -> None:
    if type(given) is not int or not low <= given <= high:
        raise InputError(field, given, f"a whole number from {low} to {high}")


def _check_when(when: datetime, now: datetime) -> None:
    for field, moment in (("happened_at", when), ("now", now)):
        if not isinstance(moment, datetime) or moment.utcoffset() is None:
            raise InputError(field, moment, "a moment with its time zone")
    if not EARLIEST <= when <= now + CLOCK_SLACK:
        raise InputError(
            "happened_at",
            when.isoformat(),
            f"a moment from {EARLIEST.date()} to now ({now.isoformat(timespec='minutes')})",
            "Something that lies ahead is a job or a promise, not an entry.",
        )


def _check_details(details: Any) -> None:
    if not isinstance(details, dict):
        raise InputError("details", details, "named plain values")
    todo: list[tuple[str, Any]] = [("details", details)]
    for count, (path, value) in enumerate(todo):
        if count > MOST_DETAILS:
            raise InputError("details", f"{count} values", f"at most {MOST_DETAILS} values")
        if isinstance(value, dict):
            for name, item in value.items():
                check_text(f"{path}: a name", name, 120)
                todo.append((f"{path}.{name}", item))
        elif isinstance(value, (list, tuple)):
            todo.extend((path, item) for item in value)
        else:
            _check_value(path, value)


def _check_value(path: str, value: Any) -> None:
    if isinstance(value, str):
        check_text(path, value, LONGEST_NOTE)
    elif isinstance(value, float):
        if not math.isfinite(value):
            raise InputError(path, value, "a finite number")
    elif value is not None and not isinstance(value, (int, bool)):
        raise InputError(path, value, "text, a number, yes or no, or a list of these")


def _check_lots(entry: NewEntry, now: datetime) -> None:
    seen: set[str] = set()
    for lot in entry.lots:
        check_code(lot.code)
        if lot.code in seen:
            raise InputError("lots", lot.code, "each lot once in an entry")
        seen.add(lot.code)
        _check_lot(lot, now)


def _check_lot(lot: NewLot, now: datetime) -> None:
    if not isinstance(lot.stage, Stage):
        raise InputError("stage", lot.stage, f"one of {', '.join(Stage)}")
    if type(lot.made_on) is not date:
        raise InputError("made_on", lot.made_on, "a date such as 2026-03-12")
    if not EARLIEST.date() <= lot.made_on <= (now + CLOCK_SLACK).date():
        raise InputError(
            "made_on", lot.made_on.isoformat(), f"a date from {EARLIEST.date()} to today"
        )
    for field, text, longest in (
        ("variety", lot.variety, 60),
        ("step", lot.step, 60),
        ("route", lot.route, 60),
        ("culture", lot.culture, 60),
        ("cook", lot.cook, 40),
        ("session", lot.session, 40),
        ("bought_from", lot.bought_from, 120),
    ):
        check_text(field, text, longest)
    if not lot.variety and lot.stage is not Stage.PREPARED:
        raise InputError("variety", lot.variety, "the code of a variety, for any living lot")
    for field, number in (("generation", lot.generation), ("transfers", lot.transfers)):
        if number is not None:
            _check_whole(field, number, 0, 1000)


def _check_postings(entry: NewEntry) -> None:
    sums: defaultdict[tuple[str, Measure], int] = defaultdict(int)
    for posting in entry.postings:
        check_code(posting.lot)
        check_text("place", posting.place, 60)
        if not isinstance(posting.account, Account) or posting.account is Account.UNEXPLAINED:
            accepted = ", ".join(a for a in Account if a is not Account.UNEXPLAINED)
            raise InputError("account", posting.account, f"one of {accepted}")
        if not isinstance(posting.measure, Measure):
            raise InputError("measure", posting.measure, f"one of {', '.join(Measure)}")
        in_units = posting.measure is Measure.UNIT
        if posting.account in (_WEIGHED_ONLY if in_units else _UNITS_ONLY):
            raise InputError(
                "measure", posting.measure.value, f"another measure for {posting.account.value}"
            )
        most = MOST[posting.measure]
        _check_whole("quantity", posting.quantity, -most, most)
        sums[posting.lot, posting.measure] += posting.quantity
    for (lot, measure), total in sums.items():
        if total:
            raise InputError(
                "postings",
                total,
                f"a sum of zero {measure.value}s for lot {lot}: what leaves one "
                "account enters another",
            )


def _check_links(entry: NewEntry) -> None:
    seen: set[tuple[str, str]] = set()
    for link in entry.links:
        check_code(link.parent)
        check_code(link.child)
        if not isinstance(link.measure, Measure):
            raise InputError("measure", link.measure, f"one of {', '.join(Measure)}")
        _check_whole("units", link.units, 0, MOST[Measure.UNIT])
        _check_whole("amount", link.amount, 0, MOST[link.measure])
        if link.parent == link.child:
            raise InputError("links", link.parent, "a parent that is another lot than its child")
        if (link.parent, link.child) in seen:
            raise InputError(
                "links", f"{link.parent} -> {link.child}", "each pair once in an entry"
            )
        seen.add((link.parent, link.child))
