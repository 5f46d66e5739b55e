"""Why something promised is short: biology or a resource, and which one on which days."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from numpy import float64
from numpy.typing import NDArray

from pinset.planning.model.columns import Model
from pinset.planning.model.model import build_model
from pinset.planning.model.programme import Change, run
from pinset.planning.reading.forms import held_to_the_plan
from pinset.planning.reading.nature import tell_nature
from pinset.planning.reading.pegging import Key
from pinset.planning.reading.room_climates import RoomClimates
from pinset.planning.reading.shortfall import Shortfall, is_worth_saying, lacks_of
from pinset.planning.reading.unlimited import Passed, no_shorter, still_short, unlimited

PASSES = 4
MOST_ALONE_S = 3.0
"""For passes of single promises, where two compete for what other days would give. [s]"""


def shortfall(
    model: Model,
    short: Mapping[Key, float],
    *,
    climates: RoomClimates,
    time_limit_s: float,
    threads: int,
) -> Shortfall:
    """Return which part of a shortage is unavoidable, and what the rest lacks.

    First pass: all capacities and batches unlimited on every day of the calendar, nothing shorter
    than before: what is still short is biology. What a pass without the grower's pins does not lack
    is for the pins, and never called unavoidable. If a new batch could be there in time, a pass
    with parents for sale tells which are too few. Then the same on the farm's own days: what is
    short beyond biology is for want of days. Last pass: capacities for hire at a price, a shortage
    much dearer: what is hired is what was lacking; rooms keep the climates they have in the plan.
    All are relaxed to fractions, so they take a fraction of a second. Where the time is over before
    a pass is solved to the end, no reason is claimed.
    """
    found = Shortfall(climates=climates)
    grave = {key: amount for key, amount in short.items() if is_worth_saying(key, amount)}
    if not grave:
        return found
    each_s = time_limit_s / PASSES

    def passed(of: Model, change: Change) -> NDArray[float64] | None:
        outcome = run(of.programme, time_limit_s=each_s, threads=threads, change=change)
        return outcome.values if outcome.is_proven else None

    by_own_days = passed(model, unlimited(model, short))
    if by_own_days is None:
        found.untold = grave
        return found
    left = {key: still_short(model, by_own_days, key, amount) for key, amount in grave.items()}
    held_to_the_plan(model, unlimited(model, short), left, found, passed)
    by_work = {key: grave[key] - left[key] - found.untold.get(key, 0.0) for key in grave}
    if model.problem.pins and any(is_worth_saying(key, amount) for key, amount in left.items()):
        _tell_pins(model, short, left, found, passed)
    if any(is_worth_saying(key, amount) for key, amount in left.items()):
        alone_s = min(MOST_ALONE_S, each_s)
        tell_nature(model, short, left, found, passed, alone_s=alone_s, threads=threads)
    if any(is_worth_saying(key, amount) for key, amount in by_work.items()):
        hire = {each.row: each.price for each in model.capacities}
        held = climates.holding(model)
        change = replace(unlimited(model, short), row_upper=held.row_upper, slack=hire)
        upper = {**no_shorter(model, short), **held.upper}
        hired = passed(model, replace(change, upper=upper))
        if hired is not None:
            found.lacks = lacks_of(model, hired)
        else:
            for key in grave:
                found.leave_untold(key, by_work[key])
    return found


def _tell_pins(
    model: Model,
    short: Mapping[Key, float],
    left: dict[Key, float],
    found: Shortfall,
    passed: Passed,
) -> None:
    """Take out of what is left what would be there without the pins."""
    free = build_model(replace(model.problem, pins=()))
    opened = passed(free, unlimited(free, short))
    for key, amount in left.items():
        if opened is None:  # it may be the pins as well as nature
            found.leave_untold(key, amount)
            left[key] = 0.0
            continue
        still = still_short(free, opened, key, amount)
        if is_worth_saying(key, amount - still):
            found.pinned[key], left[key] = amount - still, still
