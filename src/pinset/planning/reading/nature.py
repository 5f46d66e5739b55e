"""What even a farm where somebody works every day could not deliver: nature, and nothing else."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from itertools import zip_longest
from time import perf_counter

from numpy import float64
from numpy.typing import NDArray

from pinset.planning.model.columns import Model
from pinset.planning.model.model import build_model
from pinset.planning.model.programme import Again
from pinset.planning.problem import Problem
from pinset.planning.reading.biology import Wanting, needs_parents
from pinset.planning.reading.closed_days import unpicked_for
from pinset.planning.reading.forms import held_to_the_plan, tell_shared
from pinset.planning.reading.pegging import Key
from pinset.planning.reading.shortfall import LEAST_LACK, Shortfall, is_worth_saying
from pinset.planning.reading.unlimited import Passed, still_short, unlimited
from pinset.planning.search.any_day import (
    charge_other_days,
    on_any_day,
    used_other_days,
    with_everybody_there,
)

NOT_FOR_SALE = 1e6


def tell_nature(
    model: Model,
    short: Mapping[Key, float],
    left: Mapping[Key, float],
    found: Shortfall,
    passed: Passed,
    *,
    alone_s: float,
    threads: int,
) -> None:
    """Split what is short without any limit: nature, the farm's days, and what is not known.

    Parameters
    ----------
    model : Model
        Of the farm on its own days.
    short : mapping of Key to float
        What the plan leaves short. [g or units]
    left : mapping of Key to float
        What of it is short on the farm's own days without any limit. [g or units]
    found : Shortfall
        Takes what is found.
    passed : callable
        Solves a changed programme.
    alone_s : float
        Time for promises that need passes of their own. [s]
    threads : int
        For those passes.

    Notes
    -----
    The same farm is planned anew with somebody there to start, move, pick, cook and take deliveries
    on every day, and without pins. What
    it leaves short of a promise is nature only if it does so with all its luck spent on that
    promise: where another promise of the variety was served instead, it is planned once more with
    the others held to what the plan gives them. Nothing that is not solved to the end is nature.
    """
    own = model.problem
    free = found.any_day = build_model(on_any_day(with_everybody_there(replace(own, pins=()))))
    change = unlimited(free, short)
    change = replace(change, cost={**change.cost, **charge_other_days(free, own)})
    opened = passed(free, change)
    if opened is None:
        found.any_day = None
        for key, amount in left.items():
            found.leave_untold(key, amount)
        return
    seen: dict[Key, NDArray[float64]] = dict.fromkeys(left, opened)
    found.unavoidable = {k: still_short(free, opened, k, most) for k, most in left.items()}
    before = dict(found.untold)
    seen |= held_to_the_plan(free, change, found.unavoidable, found, passed)
    together = dict(found.unavoidable)
    for key, amount in left.items():
        untold = found.untold.get(key, 0.0) - before.get(key, 0.0)
        found.by_days[key] = amount - found.unavoidable[key] - untold
    if outdone := _outdone(found):
        again = Again(free.programme, change, threads=threads)
        _hold_apart(free, again, left, seen, found, outdone, alone_s)
    _tell_days(free, own, seen, found)
    tell_shared(free, change, together, found, passed)
    fixed = [key for key, amount in found.unavoidable.items() if is_worth_saying(key, amount)]
    if any(needs_parents(free, key) for key in fixed):
        more = {row: _price_of_parent(model, at) for at, row in free.supply.items()}
        found.wanting = _wanting(free, passed(free, replace(change, slack=more)))


def _outdone(found: Shortfall) -> list[Key]:
    """Return what is still short beside another promise of its variety that other days served."""
    served = [key for key, amount in found.by_days.items() if is_worth_saying(key, amount)]
    return [
        key
        for key, amount in sorted(found.unavoidable.items(), key=lambda item: item[0][2])
        if is_worth_saying(key, amount)
        and any(other[0] == key[0] and other != key for other in served)
    ]


def _hold_apart(
    free: Model,
    again: Again,
    left: Mapping[Key, float],
    seen: dict[Key, NDArray[float64]],
    found: Shortfall,
    outdone: list[Key],
    time_s: float,
) -> None:
    """Take out of nature's part what would be there if another promise had not been served.

    Promises of which other days give nothing so far are tried together, as long as that serves one
    of them: if it does not, none of them can be served, since none of them has anything to lose.
    The others are tried each for itself, in one pass with those of other varieties, which do not
    touch each other without limits.
    """
    until = perf_counter() + time_s

    def serves(keys: list[Key]) -> bool:
        others = dict.fromkeys((free.short[each] for each in set(free.short) - set(keys)), 0.0)
        left_s = until - perf_counter()
        values = again.solved(others, time_limit_s=left_s) if left_s > 0.0 else None
        for key in keys:
            most = found.unavoidable[key]
            if values is None:
                found.leave_untold(key, most)
                found.unavoidable[key] = 0.0
                continue
            least = still_short(free, values, key, most)
            if is_worth_saying(key, most - least):
                found.unavoidable[key], seen[key] = least, values
                found.by_days[key] = left[key] - least
        return values is not None

    together, single = outdone, []
    while together and serves(together):
        gain = [key for key in together if is_worth_saying(key, found.by_days[key])]
        together = [key for key in together if key not in gain] if gain else []
        single += gain
    by_variety: dict[int, list[Key]] = {}
    for key in single:
        if is_worth_saying(key, found.unavoidable[key]):
            by_variety.setdefault(key[0], []).append(key)
    for keys in zip_longest(*by_variety.values()):
        serves([key for key in keys if key is not None])


def _tell_days(
    free: Model, own: Problem, seen: Mapping[Key, NDArray[float64]], found: Shortfall
) -> None:
    """Say what on other days would help, and what ripens while nobody works."""
    for key, amount in found.by_days.items():
        if not is_worth_saying(key, amount):
            continue
        found.other_days += used_other_days(free, own, seen[key], [key])
        closed = unpicked_for(free, own, seen[key], key, amount)
        if closed is not None:
            found.closed[key] = closed


def _price_of_parent(model: Model, at: tuple[int, int, int]) -> float:
    """Return the price of one more unit of a step; what is sold or fruits itself is not for sale.

    Otherwise the answer to too few blocks would be more blocks.
    """
    r, k, _ = at
    recipe = model.problem.recipes[r]
    step = recipe.makings[k].step
    is_last = recipe.fruiting is not None and recipe.fruiting.parent == step
    return NOT_FOR_SALE if is_last else max(0.01, model.needs[r][k].unit_cost)


def _wanting(model: Model, values: NDArray[float64] | None) -> list[Wanting]:
    if values is None:
        return []
    first = len(model.programme.cost)
    return [
        Wanting(r, k, day, float(values[first + place]))
        for place, (r, k, day) in enumerate(model.supply)
        if float(values[first + place]) > LEAST_LACK
    ]
