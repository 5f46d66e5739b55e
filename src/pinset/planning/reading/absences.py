"""Shortages because a person is away: the farm planned once more as if they were there.

Who is away lacks everywhere at once: hands, hours of the bench, a moment to load a steriliser and
to open it, so that vessels come back. Which of these is full first is an accident; the person is
the reason. The other farm is planned in whole numbers, too: a batch may be too much for the hours
that are left of a day where a part of it would not be.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Collection, Iterable
from dataclasses import replace
from datetime import date

from pinset.chain.outages import Outage, OutageOf
from pinset.chain.register import FarmBook
from pinset.planning.plan import Plan, Short
from pinset.planning.problem import Problem
from pinset.planning.reading.explain import day_in_words, weight_in_words
from pinset.planning.reading.short_reason import ShortReason
from pinset.planning.reading.shortage_words import worth_a_word
from pinset.planning.solve import solve

WORK = frozenset({
    ShortReason.FULL,
    ShortReason.SET_DAYS,
    ShortReason.CLOSED,
    ShortReason.WHOLE_UNITS,
})  # fmt: skip
"""Reasons behind which a person may be missing."""
MOST = 0.5  # of a shortage: so much less of it without the absence, and that is the reason
POOR_GAP = 0.02  # a plan further from the best may be short for want of search
MOST_NAMED = 3  # people

Built = Callable[[FarmBook], Problem]
"""From a book to the problem of the farm as it stands."""
What = tuple[str, str, date]  # variety, measure, day


def with_absences_named(plan: Plan, book: FarmBook, built: Built, *, time_limit_s: float) -> Plan:
    """Return a plan whose shortages name who is away where that is the reason.

    Parameters
    ----------
    plan : Plan
        With its shortages and their reasons.
    book : FarmBook
        The farm, with the outages.
    built : callable
        Builds the problem of a book as the plan's own was built.
    time_limit_s : float
        Of each plan; there are at most four, begun from the plan there is. [s]
    """
    asked = [short for short in worth_a_word(plan.short) if short.reason_code in WORK]
    last = max((short.day for short in asked), default=plan.start)
    away = [
        each
        for each in book.outages
        if each.what is OutageOf.PERSON and each.until >= plan.start and each.from_date <= last
    ]
    if not asked or not away or plan.gap > POOR_GAP:
        return plan

    def short_without(codes: Collection[str]) -> dict[What, float]:
        there = tuple(each for each in book.outages if each not in away or each.which not in codes)
        problem = built(replace(book, outages=there))
        found = solve(problem, time_limit_s=time_limit_s, previous=plan, explains=False)
        return _by_day(found.short)

    everybody = tuple(dict.fromkeys(each.which for each in away))[:MOST_NAMED]
    asked_of = {(each.variety, each.measure, each.day) for each in asked}
    short, none_away = _by_day(plan.short), short_without(everybody)
    more = {
        what: short[what] - none_away[what]
        for what in asked_of
        if short[what] - none_away[what] >= MOST * short[what]
    }
    if not more:
        return plan
    alone = {code: short_without((code,)) for code in everybody} if len(everybody) > 1 else {}
    named: dict[What, tuple[str, ...]] = {
        what: tuple(
            code for code, found in alone.items() if short[what] - found[what] >= MOST * lifted
        )
        or everybody
        for what, lifted in more.items()
    }
    return replace(
        plan, short=tuple(_said(each, plan, book, away, named, more) for each in plan.short)
    )


def _by_day(shorts: Iterable[Short]) -> dict[What, float]:
    found: dict[What, float] = defaultdict(float)
    for short in shorts:
        found[short.variety, short.measure, short.day] += short.amount
    return found


def _said(
    short: Short,
    plan: Plan,
    book: FarmBook,
    away: Iterable[Outage],
    named: dict[What, tuple[str, ...]],
    more: dict[What, float],
) -> Short:
    what = (short.variety, short.measure, short.day)
    if short.reason_code not in WORK or what not in named:
        return short
    codes = named[what]
    mine = [each for each in away if each.which in codes and each.from_date <= short.day]
    names = {worker.code: worker.name for worker in book.workers}
    who = " and ".join(
        f"{names.get(code, code)} is away {_when([e for e in mine if e.which == code], plan.start)}"
        for code in codes
    )
    amount = min(short.amount, more[what])
    weight = (
        weight_in_words(amount, book.farm.units)
        if short.measure == "gram"
        else f"{max(1, round(amount))}"
    )
    there = "otherwise" if len(codes) > 1 else f"with {names.get(codes[0], codes[0])} there"
    words = f"Short because {who}: {there} about {weight} more would be there."
    if short.reason_code is not ShortReason.WHOLE_UNITS:  # what does not come out in fewer hours
        words = f"{words} As it is: {short.reason[0].lower()}{short.reason[1:]}"
    return replace(short, reason=words, reason_code=ShortReason.AWAY, about=codes)


def _when(outages: Iterable[Outage], today: date) -> str:
    """Return the days of absences: ``from 3 March to 6 March``."""
    spans = [(max(today, each.from_date), each.until) for each in outages]
    return " and ".join(
        f"on {day_in_words(first)}"
        if first == last
        else f"from {day_in_words(first)} to {day_in_words(last)}"
        for first, last in sorted(spans)
    )
