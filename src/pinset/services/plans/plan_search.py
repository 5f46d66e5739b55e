"""The search for a plan: again with more time where it was poor, and never worse than none."""

from __future__ import annotations

from collections.abc import Callable

from pinset.errors import RefusedError
from pinset.planning.plan import Plan
from pinset.planning.problem import Problem
from pinset.planning.search.loosened import solve_without_rhythm_if_it_costs
from pinset.planning.solve import solve

POOR_GAP = 0.05
SECOND_TRY = 3.0
"""A plan further than this from the best possible is searched for again, this much longer."""

CHANGE_COST = 1.5
"""Price of a changed unit of the next weeks, as a share of what it costs to make.

It is more than the unit itself, so that no batch is trimmed for its own sake; what is short costs
far more."""


def searched(
    problem: Problem, before: Plan | None, time_limit_s: float, say: Callable[[str], None]
) -> Plan:
    """Return a plan; a poor one is searched for once more, with more time and without a start.

    Raises
    ------
    RefusedError
        If both are poor and an earlier plan is there: it stays in force rather than being
        replaced by one that drops the laboratory's work for want of computing time.
    """
    change_cost = CHANGE_COST if before else 0.0

    def solved(asked: Problem, begin: Plan | None) -> Plan:
        if begin is not None:
            say("planning again, without the plan's own weekly rhythm")
        return solve(
            asked, time_limit_s=time_limit_s, previous=begin or before, change_cost=change_cost
        )

    plan = solve_without_rhythm_if_it_costs(problem, solved)
    if plan.gap <= POOR_GAP:
        return plan
    say("planning again, with more time")
    again = solve(problem, time_limit_s=SECOND_TRY * time_limit_s)
    best = min(plan, again, key=lambda each: each.gap)
    if best.gap > POOR_GAP and before is not None:
        raise RefusedError(
            f"No good plan was found in {plan.seconds + again.seconds:.0f} s; the last one stays.",
            "Plan again when the computer is less busy, or with more --seconds.",
        )
    return best


def planned_anew(problem: Problem, before: Plan, time_limit_s: float) -> Plan:
    """Return the plan that :func:`searched` would find from the plan before at its first try."""

    def solved(asked: Problem, begin: Plan | None) -> Plan:
        return solve(
            asked, time_limit_s=time_limit_s, previous=begin or before, change_cost=CHANGE_COST
        )

    return solve_without_rhythm_if_it_costs(problem, solved)
