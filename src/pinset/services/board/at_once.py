"""What a pin breaks at once, said before the farm is planned again.

The newest plan is taken with what is pinned now, and with what was pinned before; the difference is
told. Nothing is searched for and nothing is written.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date, datetime

from pinset.chain.pins import Pin
from pinset.chain.stages import units_in_words
from pinset.planning.plan import Plan
from pinset.planning.problem import Pinned, Problem
from pinset.planning.reading.by_hand import (
    Breaks,
    Fallen,
    Fewer,
    Over,
    breaks_between,
    with_pins,
)
from pinset.planning.season.odds import odds_of
from pinset.services.board.pins_cost import LEAST_SHORT, MOST_NAMED
from pinset.services.book_reader import Reader
from pinset.services.clock import farm_time, hour_is_known, now_utc
from pinset.services.day.day_now import day_now
from pinset.services.day.hours_left import laid_from
from pinset.services.plans import planning_day
from pinset.services.plans.problem_now import problem_now, with_hours_left
from pinset.services.promises.chance_words import in_seasons
from pinset.services.words import minutes_in_words, plural, short_day

NOTHING = "As the plan stands nothing breaks by it: no promise is less sure, and nothing overflows."
WORKED = {
    "clean bench": "the clean bench",
    "laboratory hands": "those who may work in the laboratory",
    "hands": "all hands together",
}


def pins_now(now: datetime | None = None) -> tuple[Pin, ...]:
    """Return what is pinned now, to be held against what is pinned after a change."""
    book, _ = planning_day.farm_book(now or now_utc())
    return book.pins


def what_breaks(before: Sequence[Pin], now: datetime | None = None) -> tuple[str, ...]:
    """Return what the pins break that are there now and were not before, in sentences.

    Parameters
    ----------
    before : sequence of Pin
        From :func:`pins_now`, before the change.
    now : datetime, optional
        The present moment if None.

    Returns
    -------
    tuple of str
        Empty without a plan, where only cooks are pinned, or where pins were only taken off.
    """
    moment = now or now_utc()
    book, today = planning_day.farm_book(moment)
    newest = planning_day.latest()
    more = [pin for pin in book.pins if pin not in before and not pin.steriliser]
    if newest is None or not more:
        return ()
    hour = farm_time(moment, book.farm.time_zone) if now or hour_is_known() else None
    day = day_now(book, today, laid_from(hour, book) if hour else None)
    problem = with_hours_left(problem_now(book, day)[0], day, frozenset())
    reader = Reader(book, today)
    was = _pinned(newest.plan, before, problem, reader)
    found = breaks_between(
        problem,
        was,
        _pinned(newest.plan, book.pins, problem, reader),
        odds_of(book, day.living, today),
        today.toordinal(),
    )
    return tuple(_said(found, problem, reader)) or (NOTHING,)


def _pinned(plan: Plan, pins: Iterable[Pin], problem: Problem, reader: Reader) -> Plan:
    asked = [
        Pinned(
            pin.code,
            pin.variety,
            reader.name(pin.variety),
            pin.step,
            (pin.day - problem.start).days,
            float(pin.count),
        )
        for pin in pins
        if pin.day >= problem.start and not pin.steriliser and pin.variety in reader.varieties
    ]
    return with_pins(problem, plan, asked)


def _said(found: Breaks, problem: Problem, reader: Reader) -> list[str]:
    said = [_of_start(each, problem.date_of(each.day), reader) for each in found.fewer]
    said += [_of_resource(each, problem.date_of(each.day), reader) for each in found.over]
    said += [_of_promise(each, problem, reader) for each in found.fallen[:MOST_NAMED]]
    rest = len(found.fallen) - MOST_NAMED
    if rest > 0:
        said.append(f"{plural(rest, 'more day')} of promises would be less sure.")
    return said


def _of_start(each: Fewer, on: date, reader: Reader) -> str:
    step = reader.step(each.variety, each.step)
    is_bought = reader.is_bought(each.variety, each.step)
    units = units_in_words(step.stage, round(each.planned), is_bought=is_bought)
    return (
        f"Of {units} of {reader.name(each.variety)} on {short_day(on)} only {round(each.begun)} "
        "would find what they are made from."
    )


def _of_resource(each: Over, on: date, reader: Reader) -> str:
    if each.unit == "min":
        return (
            f"On {short_day(on)} {WORKED[each.resource]} would need {minutes_in_words(each.used)} "
            f"and have {minutes_in_words(each.capacity)}."
        )
    code = each.resource.rsplit(" ", 1)[1]
    if each.unit == "L":
        return (
            f"For what is started up to {short_day(on)} {each.more:.0f} L more "
            f"would have to be cooked by then ({code})."
        )
    name = next((room.name for room in reader.book.rooms if room.code == code), code)
    return (
        f"{name} would have to hold {each.used:.0f} units on {each.capacity:.0f} places "
        f"from {short_day(on)} on."
    )


def _of_promise(each: Fallen, problem: Problem, reader: Reader) -> str:
    order = problem.orders[each.order]
    code = order.promise.split("@")[0]
    words = (reader.promise_words([code]) or (code,))[0]
    said = (
        f"{words} on {short_day(problem.date_of(order.due))} would be met "
        f"{in_seasons(each.after)} instead of {in_seasons(each.before).removeprefix('in ')}"
    )
    is_told = each.less > LEAST_SHORT[order.measure]
    less = reader.about(each.less, order.measure) if is_told else ""
    return f"{said}, {less} less on average." if less else f"{said}."
