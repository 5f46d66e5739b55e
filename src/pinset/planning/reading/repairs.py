"""One more batch that makes a weak promise sure, tried by carrying the plan out with it.

The plan stays as it is but for that batch, which must find its parents, and time and places on its
days. Nothing is searched for: a new plan may well find something better. Where no batch does it,
what is in the way is told as far as it was reckoned.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

from pinset.planning.plan import Plan
from pinset.planning.problem import Problem
from pinset.planning.reading.by_hand import luck_of
from pinset.planning.reading.in_vain import InVain, Vain
from pinset.planning.reading.repair_batches import batches_for, first_later, is_any_in_time
from pinset.planning.reading.repair_trials import Repair, Trials
from pinset.planning.reading.within_reach import Way, WithinReach
from pinset.planning.season.chances import WEAK, FarmChances, OrderChance
from pinset.planning.season.odds import Odds

MOST_ORDERS = 6
"""So many weak orders are tried with a batch, the soonest first."""
LEAST_MORE = 1.0  # grams or units: less is not asked for
LEAST_GAIN = 0.05  # of a chance; less is not worth a word, nor what may be luck


@dataclass(frozen=True, slots=True)
class Looked:
    """What was found for the weak promises that were looked at."""

    found: tuple[Repair, ...] = ()
    in_vain: tuple[InVain, ...] = ()


def repairs(
    problem: Problem,
    plan: Plan,
    chances: FarmChances,
    odds: Odds,
    *,
    seed: int,
    goes_on: Callable[[], bool],
) -> Looked:
    """Return what one more batch of the near days does for the soonest weak orders.

    Parameters
    ----------
    problem, plan : Problem, Plan
        The farm and its plan.
    chances : FarmChances
        Of that plan.
    odds : Odds
        The chances behind its numbers.
    seed : int
        Of the luck.
    goes_on : callable
        Whether there is time for another trial.

    Notes
    -----
    It is first asked by planning anew in fractions whether so much more can be there at all. Where
    a limit or the time forbids that, no batch is tried. Nothing is said of what was not looked at.
    """
    weak = {(each.promise, each.day): each for each in chances.orders if each.chance < WEAK}
    numbers = {
        number: chance
        for number, order in sorted(enumerate(problem.orders), key=lambda item: item[1].day)
        if (chance := weak.get((order.promise, problem.date_of(order.due)))) is not None
    }
    if not numbers or not goes_on():
        return Looked()
    more = {number: max(chance.lacking, LEAST_MORE) for number, chance in numbers.items()}
    reach = WithinReach(problem, plan, more)
    trials = Trials(problem, plan, odds, seed, reach)
    found: list[Repair] = []
    in_vain: list[InVain] = []
    tried = 0
    for number, chance in numbers.items():
        order = problem.orders[number]
        later = first_later(problem, order)
        if later is not None:
            step, on = later
            due = problem.date_of(order.due)
            in_vain.append(
                InVain(order.promise, due, order.variety, Vain.NOT_YET, step=step, on=on)
            )
            continue
        if tried >= MOST_ORDERS:
            continue
        if not goes_on():
            break
        told = _of_order(problem, number, chance, reach, trials, goes_on)
        if isinstance(told, Repair):
            found.append(told)
        elif told is not None:
            in_vain.append(told)
        tried += isinstance(told, Repair) or (told is not None and told.units > 0)
    return Looked(tuple(found), tuple(in_vain))


def _of_order(
    problem: Problem,
    number: int,
    chance: OrderChance,
    reach: WithinReach,
    trials: Trials,
    goes_on: Callable[[], bool],
) -> Repair | InVain | None:
    """Return what was found for one order; None: there was no time to know."""
    order = problem.orders[number]
    vain = InVain(order.promise, problem.date_of(order.due), order.variety, Vain.LITTLE)
    answer = reach.of(number)
    if answer is None:
        return None
    if answer.way is Way.FULL:
        return replace(vain, cause=Vain.FULL, because=answer.because)
    if answer.way is Way.LATE or not is_any_in_time(problem, order):
        return replace(vain, cause=Vain.LATE)  # what is alive may do more; nothing started does
    best: Repair | None = None
    trials.hindrance = ""
    for recipe, making, day, sizes in batches_for(problem, order, chance):
        if not goes_on():
            return None
        repair = trials.largest(number, recipe, making, day, sizes)
        if repair is not None and (best is None or repair.after > best.after):
            best = repair
    return _as_told(best, replace(vain, because=trials.hindrance))


def _as_told(best: Repair | None, vain: InVain) -> Repair | InVain:
    """Return the best that was tried as a repair if it does enough, else as tried in vain."""
    if best is None:
        return vain
    if best.after - best.before >= max(LEAST_GAIN, luck_of(best.before, best.after)):
        return best
    return replace(
        vain, because="", step=best.step, on=best.on, units=best.units, before=best.before,
        after=best.after,
    )  # fmt: skip
