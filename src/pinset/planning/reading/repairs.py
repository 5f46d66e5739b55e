"""One more batch that makes a weak promise sure, tried by planning the farm anew with it.

Which batch is worth that is found by carrying the plan out with it, all else as it is: it must find
its parents, and time and places on its days. What it does is told from the plan that is made anew
with it pinned, as the grower would do it. Where no batch does it, what is in the way is told as far
as it was reckoned.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

from pinset.planning.plan import Plan
from pinset.planning.problem import Problem
from pinset.planning.reading.in_vain import InVain, Vain
from pinset.planning.reading.repair_anew import Anew, PlanAnew, differing
from pinset.planning.reading.repair_batches import batches_for, first_later, is_any_in_time
from pinset.planning.reading.repair_trials import Repair, Trials
from pinset.planning.reading.within_reach import Way, WithinReach
from pinset.planning.season.chances import WEAK, FarmChances, OrderChance
from pinset.planning.season.odds import Odds

MOST_ORDERS = 6
"""So many weak orders are tried with a batch, the soonest first."""
LEAST_MORE = 1.0  # grams or units: less is not asked for
LEAST_GAIN = 0.05  # of a chance; less is not worth a word, nor what may be luck
HOPEFUL = 0.03  # with all else as it is; a batch that does less is not planned anew with
MOST_PLANS = 2  # plans for one order, of batches on different days


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
    plan_anew: PlanAnew,
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
        Of the luck, as the chances were drawn with.
    goes_on : callable
        Whether there is time for another trial.
    plan_anew : callable
        Plans the farm with a batch pinned, as it would be done if the grower pinned it.

    Notes
    -----
    It is first asked by planning anew in fractions whether so much more can be there at all. Where
    a limit or the time forbids that, no batch is tried. Nothing is said of what was not looked at,
    nor of a batch that there was no time to plan anew with.
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
    anew = Anew(problem, plan, chances, odds, seed, plan_anew)
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
        told = _of_order(anew, number, chance, reach, trials, goes_on)
        if isinstance(told, Repair):
            found.append(told)
        elif told is not None:
            in_vain.append(told)
        tried += isinstance(told, Repair) or (told is not None and told.units > 0)
    return Looked(tuple(found), tuple(in_vain))


def _of_order(
    anew: Anew,
    number: int,
    chance: OrderChance,
    reach: WithinReach,
    trials: Trials,
    goes_on: Callable[[], bool],
) -> Repair | InVain | None:
    """Return what was found for one order; None: there was no time to know."""
    problem = anew.problem
    order = problem.orders[number]
    vain = InVain(order.promise, problem.date_of(order.due), order.variety, Vain.LITTLE)
    answer = reach.of(number)
    if answer is None:
        return None
    if answer.way is Way.FULL:
        return replace(vain, cause=Vain.FULL, because=answer.because)
    if answer.way is Way.LATE or not is_any_in_time(problem, order):
        return replace(vain, cause=Vain.LATE)  # what is alive may do more; nothing started does
    return _tried(anew, number, chance, trials, vain, goes_on)


def _tried(
    anew: Anew,
    number: int,
    chance: OrderChance,
    trials: Trials,
    vain: InVain,
    goes_on: Callable[[], bool],
) -> Repair | InVain | None:
    """Return what batches do for an order; None: there was no time to know."""
    problem, order = anew.problem, anew.problem.orders[number]
    tried: list[Repair] = []
    trials.hindrance = ""
    for recipe, making, day, sizes in batches_for(problem, order, chance):
        if not goes_on():
            return None
        repair = trials.largest(number, recipe, making, day, sizes)
        if repair is not None:
            tried.append(repair)
    if not tried:
        return replace(vain, because=trials.hindrance)
    hopeful = [each for each in differing(tried) if each.after - each.before >= HOPEFUL]
    if not hopeful:
        best = differing(tried)[0]
        return replace(vain, step=best.step, on=best.on, units=best.units, is_hopeless=True)
    return _planned_anew(anew, number, hopeful[:MOST_PLANS], vain, goes_on)


def _planned_anew(
    anew: Anew, number: int, hopeful: list[Repair], vain: InVain, goes_on: Callable[[], bool]
) -> Repair | InVain | None:
    """Return the first batch that does enough once planned anew, else the best in vain."""
    best: Repair | None = None
    for each in hopeful:
        if not goes_on():
            break
        found = anew.of(number, each)
        if found is None:
            continue
        if found.is_worth_it(LEAST_GAIN):
            return found
        if best is None or found.after > best.after:
            best = found
    if best is None:
        return None
    return replace(
        vain, step=best.step, on=best.on, units=best.units, before=best.before, after=best.after,
        surer=best.surer, weaker=best.weaker if best.gain >= LEAST_GAIN else None,
    )  # fmt: skip
