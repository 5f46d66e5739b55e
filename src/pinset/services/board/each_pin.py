"""What each pin costs by itself: the plan with all pins against the same without that one.

Plans without whole numbers are compared: they come in a second or less, and leave out only what
whole units and whole batches add. There is a limit on time; what is left is told together only.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Collection, Sequence
from dataclasses import dataclass, replace
from time import perf_counter

from pinset.chain.pins import Pin
from pinset.chain.stages import noun_of, units_in_words
from pinset.planning.ask.costs import Cost, cost_between
from pinset.planning.plan import Plan
from pinset.planning.problem import Problem
from pinset.planning.season.chances import JUDGED_DAYS
from pinset.planning.solve import solve
from pinset.services.board.pins_cost import LEAST_SHORT
from pinset.services.book_reader import Reader
from pinset.services.words import joined, minutes_in_words, plural, short_day

SECONDS = 8.0  # for all pins
LONGEST_S = 4.0  # for one of the plans
GAP = 1e-4
LEAST_HOURS = 0.25
LEAST_COOKS = 0.25
"""Less is rounding between two plans of one farm."""


@dataclass(frozen=True, slots=True)
class PinCost:
    """What one pin costs, the others left as they are."""

    pin: Pin
    short: tuple[tuple[str, str, float], ...]  # variety, measure, amount more
    work: Cost

    @property
    def is_nothing(self) -> bool:
        """Whether it costs nothing worth saying."""
        hours = self.work.bench_hours + self.work.hands_hours
        return not self.short and hours < LEAST_HOURS and self.work.cooks < LEAST_COOKS


def what_each_costs(
    pins: Sequence[Pin],
    asked: Collection[str],
    with_pins: Callable[[tuple[Pin, ...]], Problem],
    reader: Reader,
    *,
    seconds: float = SECONDS,
    clock: Callable[[], float] = perf_counter,
) -> tuple[str, ...]:
    """Return what each of several pins costs by itself, in sentences; nothing of one alone.

    Parameters
    ----------
    pins : sequence of Pin
        All of the farm.
    asked : collection of str
        Codes of those the plan was asked for.
    with_pins : callable
        Gives the farm with some of them.
    reader : Reader
        For names and amounts.
    seconds, clock : float, callable
        How long it may take, and what it is measured with.
    """
    own = sorted((pin for pin in pins if pin.code in asked), key=lambda pin: (pin.day, pin.code))
    if len(own) < 2:  # noqa: PLR2004 - of one alone all is said already
        return ()
    begun = clock()
    problem = with_pins(tuple(pins))
    base = _in_fractions(problem)
    found: list[PinCost] = []
    left: list[Pin] = []
    longest = clock() - begun
    for pin in own:
        before = clock()
        if base is None or before - begun + longest > seconds:
            left.append(pin)
            continue
        plan = _in_fractions(with_pins(tuple(each for each in pins if each != pin)))
        longest = max(longest, clock() - before)
        if plan is None:
            left.append(pin)
            continue
        work = cost_between(reader.book, problem, plan, base, JUDGED_DAYS)
        found.append(PinCost(pin, _more_short(base, plan), work))
    return tuple(_said(found, left, reader))


def _in_fractions(problem: Problem) -> Plan | None:
    """Return a plan without whole numbers; None if the time was too short for it."""
    plan = solve(replace(problem, whole_days=0), time_limit_s=LONGEST_S, gap=GAP, explains=False)
    return plan if plan.status == "proven" else None


def _more_short(base: Plan, free: Plan) -> tuple[tuple[str, str, float], ...]:
    more: dict[tuple[str, str], float] = defaultdict(float)
    for sign, plan in ((1.0, base), (-1.0, free)):
        for short in plan.short:
            more[short.variety, short.measure] += sign * short.amount
    return tuple(
        (variety, measure, amount)
        for (variety, measure), amount in sorted(more.items())
        if amount > LEAST_SHORT[measure]
    )


def _said(found: Sequence[PinCost], left: Sequence[Pin], reader: Reader) -> list[str]:
    said = [_one(each, reader) for each in found if not each.is_nothing]
    idle = [_pin_words(each.pin, reader) for each in found if each.is_nothing]
    if idle and not said and not left:
        said.append("No pin costs anything by itself, with the others left as they are.")
    elif idle:
        said.append(f"Nothing by itself costs: {joined(idle)}.")
    if left:
        words = joined([_pin_words(pin, reader) for pin in left])
        said.append(f"Time was too short to reckon one by one: {words}.")
    return said


def _one(cost: PinCost, reader: Reader) -> str:
    parts = [
        f"{reader.about(amount, measure)} more {reader.name(variety)} short"
        for variety, measure, amount in cost.short
    ]
    hours = cost.work.bench_hours + cost.work.hands_hours
    if hours >= LEAST_HOURS:
        parts.append(f"{minutes_in_words(60.0 * hours)} more work")
    if cost.work.cooks >= LEAST_COOKS:
        parts.append(_cooks(cost.work.cooks))
    return f"By itself the pin of {_pin_words(cost.pin, reader)} costs {joined(parts)}."


def _cooks(cooks: float) -> str:
    whole = round(cooks)
    return f"{plural(whole, 'more cook')}" if whole else "part of a cook more"


def _pin_words(pin: Pin, reader: Reader) -> str:
    when = short_day(pin.day)
    if pin.steriliser:
        cooks = plural(pin.count, f"{pin.step} cook") if pin.count else f"no {pin.step} cook"
        return f"{cooks} in {pin.steriliser} on {when}"
    step = reader.step(pin.variety, pin.step)
    is_bought = reader.is_bought(pin.variety, pin.step)
    if not pin.count:
        noun = noun_of(step.stage, 2, is_bought=is_bought)
        return f"no {reader.name(pin.variety)} {noun} on {when}"
    units = units_in_words(step.stage, pin.count, is_bought=is_bought)
    return f"{units} of {reader.name(pin.variety)} on {when}"
