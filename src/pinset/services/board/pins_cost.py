"""What the pins cost: what is short or less sure with them, against the plan without them."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from datetime import date, timedelta

from pinset.planning.plan import Plan, Short
from pinset.planning.problem import Problem
from pinset.planning.season.chances import JUDGED_DAYS, FarmChances, chances_of
from pinset.planning.season.odds import Odds
from pinset.planning.solve import solve
from pinset.services.book_reader import Reader
from pinset.services.promises.chance_words import chances_by_day, in_seasons
from pinset.services.words import joined, short_day

TIME_LIMIT_S = 10.0
SEASONS = 800
LEAST_SHORT = {"gram": 50.0, "unit": 0.5}
"""In words anything less would be nothing."""

LEAST_LESS_SURE = 0.05
"""Of a chance; two searches that stop at their gap differ by less than that."""

MOST_NAMED = 4
NOTHING = "What is pinned makes nothing short and nothing less sure."


def what_pins_cost(
    problem: Problem,
    plan: Plan,
    chances: FarmChances,
    free: Problem,
    odds: Odds,
    reader: Reader,
) -> tuple[str, ...]:
    """Return what the pins cost, in sentences.

    Parameters
    ----------
    problem, plan, chances : Problem, Plan, FarmChances
        With the pins.
    free : Problem
        The same farm without them.
    odds : Odds
        The chances behind both.
    reader : Reader
        For names and amounts.
    """
    without = solve(free, time_limit_s=TIME_LIMIT_S, previous=plan, explains=False)
    seed = problem.start.toordinal()
    sure = chances_of(free, without, odds, seasons=SEASONS, seed=seed, days=JUDGED_DAYS)
    said = (*shorter(plan.short, without.short, reader), *less_sure(chances, sure, reader))
    return said or (NOTHING,)


def shorter(pinned: Iterable[Short], free: Iterable[Short], reader: Reader) -> tuple[str, ...]:
    """Return what is short of each variety beyond what would be short without pins, week by week.

    Two plans may let the same shortage fall on one day or the next.
    """
    more: dict[tuple[str, str], dict[date, float]] = defaultdict(lambda: defaultdict(float))
    for sign, shorts in ((1.0, pinned), (-1.0, free)):
        for short in shorts:
            monday = short.day - timedelta(days=short.day.weekday())
            more[short.variety, short.measure][monday] += sign * short.amount
    said = []
    for (variety, measure), weeks in sorted(more.items()):
        dear = {week: each for week, each in weeks.items() if each > LEAST_SHORT[measure]}
        if dear:
            total = reader.about(sum(dear.values()), measure)
            when = joined([short_day(week) for week in sorted(dear)[:MOST_NAMED]])
            weeks_of = "week" if len(dear) == 1 else "weeks"
            said.append(
                f"With the pins {total} more {reader.name(variety)} will be short, in the "
                f"{weeks_of} from {when}."
            )
    return tuple(said)


def less_sure(pinned: FarmChances, free: FarmChances, reader: Reader) -> tuple[str, ...]:
    """Return the promises that are clearly less sure than without pins, the most so first."""
    before, after = chances_by_day(free), chances_by_day(pinned)
    fallen = sorted(
        (
            (before[key].chance - chance.chance, key)
            for key, chance in after.items()
            if key in before and before[key].chance - chance.chance >= LEAST_LESS_SURE
        ),
        reverse=True,
    )
    said = []
    for _, key in fallen[:MOST_NAMED]:
        words = reader.promise_words([key[0]]) or (key[0],)
        said.append(
            f"{words[0]} on {short_day(key[1])} is met {in_seasons(after[key].chance)}; without "
            f"the pins it would be {in_seasons(before[key].chance)}."
        )
    rest = len(fallen) - MOST_NAMED
    return (*said, f"{rest} more are less sure.") if rest > 0 else tuple(said)
