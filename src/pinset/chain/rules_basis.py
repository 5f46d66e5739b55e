"""How every rule of the book says that something is not right."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from pinset.chain.register import Spread
from pinset.errors import Finding, Severity

_CODE = re.compile(r"[A-Za-z0-9][A-Za-z0-9._-]{0,39}")
_CLOCK = re.compile(r"([01]\d|2[0-3]):[0-5]\d")


@dataclass(frozen=True, slots=True)
class Bound:
    """The numbers a field may have, both ends included."""

    field: str
    low: float
    high: float
    unit: str


def sentence(what: str, given: object, accepted: str) -> str:
    """Return the sentence of a finding: what, what was given, what is accepted."""
    shown = f"{given:g}" if isinstance(given, float) else repr(given)
    return f"{what} {shown} is not accepted; accepted is {accepted}."


def wrong(
    rule: str, record: str, what: str, given: object, accepted: str, hint: str = ""
) -> Finding:
    """Return a finding that cannot stand."""
    return Finding(rule, Severity.WRONG, record, sentence(what, given, accepted), hint)


def warning(rule: str, record: str, text: str, hint: str = "") -> Finding:
    """Return a finding somebody should look at."""
    return Finding(rule, Severity.WARNING, record, text, hint)


def outside(record: str, thing: object, bounds: Iterable[Bound], rule: str) -> Iterator[Finding]:
    """Yield a finding for every field of a record outside its bounds; None is no number."""
    for bound in bounds:
        value = getattr(thing, bound.field)
        if value is not None and not bound.low <= value <= bound.high:
            accepted = f"{bound.low:g} to {bound.high:g} {bound.unit}".strip()
            yield wrong(rule, record, bound.field, value, accepted)


def disordered(
    record: str, field: str, spread: Spread, low: float, high: float
) -> Iterator[Finding]:
    """Yield a finding if a spread is not in rising order or leaves its bounds."""
    given = (spread.low, spread.mode, spread.high)
    if not spread.low <= spread.mode <= spread.high:
        yield wrong(
            "route.spread", record, field, given, "least, most likely, most in rising order"
        )
    elif not (low <= spread.low and spread.high <= high):
        yield wrong("route.spread", record, field, given, f"numbers from {low:g} to {high:g}")


def bad_code(record: str, code: str) -> Iterator[Finding]:
    """Yield a finding if a code is empty, long, or holds spaces or slashes."""
    if not _CODE.fullmatch(code):
        yield wrong("book.code", record, "code", code, "1 to 40 letters, digits, - _ or .")


def repeated(kind: str, codes: Iterable[str]) -> Iterator[Finding]:
    """Yield a finding for every code that stands more than once."""
    seen: dict[str, int] = {}
    for code in codes:
        seen[code] = seen.get(code, 0) + 1
    for code, count in seen.items():
        if count > 1:
            yield wrong(
                "book.code-repeated", f"{kind} {code}", "code", code, f"once, not {count} times"
            )


def unknown(
    record: str, field: str, given: str, known: Iterable[str], kind: str
) -> Iterator[Finding]:
    """Yield a finding if a reference points at nothing."""
    codes = sorted(known)
    if given not in codes:
        listed = ", ".join(codes[:12]) + (" ..." if len(codes) > 12 else "")  # noqa: PLR2004
        accepted = (
            f"one of the {kind} {listed}" if codes else f"the code of one of the {kind} (none yet)"
        )
        yield wrong("book.unknown", record, field, given, accepted)


def bad_clock(record: str, field: str, given: str) -> Iterator[Finding]:
    """Yield a finding if a clock time is not HH:MM."""
    if not _CLOCK.fullmatch(given):
        yield wrong("book.clock", record, field, given, "a time of day such as 07:30")
