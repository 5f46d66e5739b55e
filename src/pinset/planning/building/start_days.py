"""On which days a step of a route may be started, and what is bought may be ordered."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from pinset.chain.register import FarmBook, Step, StepKind
from pinset.chain.stages import FRUITING_STAGES
from pinset.planning.building.calendar import WorkDays, rhythm
from pinset.planning.recipes import Arc, Delivery, Making

WEEKLY_FROM_DAYS = 8  # parents that keep so long allow one start a week
TWICE_FROM_DAYS = 5  # so long: two; less: every working day
EVERY_DAY = 7
OPEN_DAYS = 10  # so far ahead a step without weekdays may start on any working day


def start_days(
    book: FarmBook,
    step: Step,
    arcs: tuple[Arc, ...],
    earlier: tuple[Making, ...],
    work: WorkDays,
    days: int,
    turn: int,
    *,
    keeps_rhythm: bool,
    lead: Callable[[int], int],
) -> tuple[tuple[int, ...], tuple[int, ...]]:
    """Return the days on which a step may be started; of what is bought, when each is usable.

    Parameters
    ----------
    book : FarmBook
        The farm.
    step : Step
        That makes or buys units, with its own weekdays if the farm has set any.
    arcs, earlier : tuple of Arc, tuple of Making
        Its parents, and the makings before it: how long they keep decides how often it starts.
    work, days : WorkDays, int
        The days somebody works, and how far is planned.
    turn : int
        Number of the variety: rhythms of the plan's own are spread over the week.
    keeps_rhythm : bool
        Whether a step without weekdays keeps one or two a week.
    lead : callable
        Days from the delivery of what is bought, on a day of the plan, until it is usable. [d]
    """
    if step.kind is StepKind.BUY:
        return _order_days(step, work, days, lead)
    if not keeps_rhythm and not step.weekdays:
        return work.every(days), ()
    windows = [making.window_days for making in earlier if making.step in {a.parent for a in arcs}]
    shortest = min(windows, default=99)
    is_fruiting = step.stage in FRUITING_STAGES
    times = 1 if shortest >= WEEKLY_FROM_DAYS and not is_fruiting else 2
    if shortest < TWICE_FROM_DAYS:
        times = EVERY_DAY
    offset = turn if is_fruiting else len(earlier)
    regular = work.on_weekdays(rhythm(step.weekdays, book.farm, offset, times=times), days)
    return with_open_days(step, regular, work), ()


def with_open_days(step: Step, regular: tuple[int, ...], work: WorkDays) -> tuple[int, ...]:
    """Return the days a step keeps, and every working day soon if the farm has set none.

    Further ahead a rhythm of the plan's own stands for what nobody knows yet.
    """
    if step.weekdays:
        return regular
    return tuple(sorted({*regular, *work.every(OPEN_DAYS)}))


def missed_deliveries(
    step: Step, work: WorkDays, days: int, lead: Callable[[int], int]
) -> tuple[Delivery, ...]:
    """Return the deliveries that cannot be had only because nobody is there to order or take them.

    Parameters as of :func:`start_days`.
    """
    always = replace(work, working=(True,) * len(work.working))
    had = _deliveries(step, work, days)
    had_on = set(had.values())
    at_any_time = _deliveries(replace(step, weekdays=()), always, days)
    return tuple(
        Delivery(order, day, day + lead(day))
        for order, day in sorted(at_any_time.items())
        if day not in had_on
    )


def _order_days(
    step: Step, work: WorkDays, days: int, lead: Callable[[int], int]
) -> tuple[tuple[int, ...], tuple[int, ...]]:
    """Return the days to order, and when the units of each are usable."""
    pairs = sorted(_deliveries(step, work, days).items())
    return tuple(order for order, _ in pairs), tuple(day + lead(day) for _, day in pairs)


def _deliveries(step: Step, work: WorkDays, days: int) -> dict[int, int]:
    """Return deliveries by the last working day to order them."""
    wanted = {weekday.number for weekday in step.delivery_weekdays}
    own = {weekday.number for weekday in step.weekdays}
    pairs: dict[int, int] = {}
    for delivery in range(step.supplier_days, days):
        if wanted and (work.weekday(delivery) not in wanted or work.is_day_off(delivery)):
            continue
        if not wanted and not work.working[delivery]:
            continue
        order = delivery - step.supplier_days
        while order >= 0 and not (work.working[order] and (not own or work.weekday(order) in own)):
            order -= 1
        if order >= 0 and order not in pairs:
            pairs[order] = delivery
    return pairs
