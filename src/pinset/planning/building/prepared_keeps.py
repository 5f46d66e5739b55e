"""How long vessels keep that stand prepared and are not inoculated yet."""

from __future__ import annotations

from pinset.chain.lime import is_lime
from pinset.chain.register import CookKind, FarmBook
from pinset.errors import InputError
from pinset.science.judging.cook_rules import read_rule

STERILE_KEEPS_DAYS = 14
"""Sterile and closed. [d]; common practice, no source."""

PASTEURISED_KEEPS_DAYS = 1
"""Heated below the boiling of water, or limed: not sterile. [d]; common practice, no source."""

PASTEURISED = frozenset({"straw"})
"""Kinds of cook that are not sterile where neither a rule nor the farm says how long they keep."""

STERILE_FROM_C = 95.0
"""A hold below this only pasteurises; steam at 1,500 m is at about this. Common practice, no
source."""


def prepared_days(book: FarmBook, cook: str) -> int:
    """Return how many days prepared vessels of a kind of cook keep from its day on. [d].

    Where several sterilisers do that kind, the one whose vessels keep least counts.
    """
    kinds = [kind for each in book.sterilisers for kind in each.cooks if kind.code == cook]
    return min(map(keeps_days_of, kinds), default=_usual(is_sterile=cook not in PASTEURISED))


def keeps_days_of(kind: CookKind) -> int:
    """Return how many days its vessels keep: as the farm says, else as its rule tells. [d]."""
    if kind.keeps_days is not None:
        return kind.keeps_days
    return _usual(is_sterile=_is_sterile(kind))


def short_keeping(book: FarmBook) -> tuple[tuple[str, int], ...]:
    """Return the kinds of cook whose vessels keep less than sterile ones do, and how long. [d]."""
    codes = {kind.code for each in book.sterilisers for kind in each.cooks}
    codes |= {step.cook for route in book.routes for step in route.steps if step.cook}
    found = [(code, prepared_days(book, code)) for code in sorted(codes)]
    return tuple((code, days) for code, days in found if days < STERILE_KEEPS_DAYS)


def _usual(*, is_sterile: bool) -> int:
    return STERILE_KEEPS_DAYS if is_sterile else PASTEURISED_KEEPS_DAYS


def _is_sterile(kind: CookKind) -> bool:
    if is_lime(kind.rule):
        return False
    try:
        rule = read_rule(kind.rule) if kind.rule else None
    except InputError:  # said where the farm is checked; the kind's name counts
        rule = None
    if rule is None or rule.hold_c is None or rule.f0 is not None:
        return kind.code not in PASTEURISED or rule is not None
    return rule.hold_c >= STERILE_FROM_C
