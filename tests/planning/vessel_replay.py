"""Vessels in circulation, replayed day by day, apart from the planner: only its records are read.

A cook is filled on its day with vessels that stand empty when the day begins. A filled vessel is
held while it stands cooked, grows and waits, until it is opened, sold or past its time; what is
emptied on a day is washed and filled on the next.
"""

from __future__ import annotations

from collections import defaultdict

from pinset.planning.plan import Plan
from pinset.planning.problem import Problem
from planning.simulator import Pile


def held_when_filled(  # noqa: C901  (a day, top to bottom)
    problem: Problem, plan: Plan, vessel: str
) -> dict[int, tuple[float, float]]:
    """Return what is held as each near day begins, and what is filled on it, in vessels."""
    makings = {
        (recipe.variety, making.step): making
        for recipe in problem.recipes
        for making in recipe.makings
        if making.vessel == vessel
    }
    litres = {making.cook: making.litres for making in makings.values()}
    prepared = sum(
        each.litres / litres[each.cook]
        for each in problem.resources.sterile
        if any((m.cook, m.mix) == (each.cook, each.mix) for m in makings.values())
    )
    growing: dict[int, list[tuple[tuple[str, str], float, float, int]]] = defaultdict(list)
    waiting: dict[tuple[str, str], Pile] = defaultdict(Pile)
    under_way = 0.0
    for lot in problem.stock:
        if (lot.variety, lot.step) in makings:
            key, stand = (lot.variety, lot.step), max(lot.units, lot.alive)
            growing[max(0, lot.ready_day)].append((key, stand, lot.units, lot.last_day))
            under_way += stand
    found = {}
    for day in range(problem.whole_days):
        today = problem.date_of(day)
        morning = prepared + under_way + sum(pile.amount for pile in waiting.values())
        filled = sum(
            each.litres / litres[cook.kind]
            for cook in plan.cooks
            for each in cook.filled
            if (cook.day, each.vessel) == (today, vessel)
        )
        found[day] = morning, filled
        prepared += filled
        for start in plan.starts:
            making = makings.get((start.variety, start.step))
            if start.day == today and making is not None:
                assert prepared >= start.count - 1e-3, (today, start)
                prepared -= start.count
                under_way += start.count
                ready = (start.ready_on - problem.start).days
                growing[ready].append(
                    (
                        (start.variety, start.step),
                        start.count,
                        start.expected_usable,
                        ready + making.window_days - 1,
                    )
                )
        for key, stand, usable, last in growing.pop(day, ()):
            under_way -= stand
            waiting[key].put(last, usable)
        for pile in waiting.values():
            pile.throw_out(day)
        for start in plan.starts:
            for parent in start.parents if start.day == today else ():
                if (start.variety, parent.step) in makings:
                    waiting[start.variety, parent.step].take(parent.units)
        for order in problem.orders:
            if order.day == day and (order.variety, order.step) in makings:
                waiting[order.variety, order.step].take(order.amount)
    return found
