"""An oldest-first batch simulator, written apart from the planner: it reads only a plan's records.

It walks day by day: batches become usable, parents are taken from the batch that expires first,
units go to grow rooms, mushrooms are picked, kept and handed over oldest first; ripe ones stand two
days until somebody picks them (common practice, no source). Whatever a day asks for and the farm
does not have is missing.
"""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass, field

from pinset.planning.plan import Plan
from pinset.planning.problem import Problem

STANDS_DAYS = 2


@dataclass
class Pile:
    """Portions with a last day; the portion that ends first goes first."""

    portions: list[list[float]] = field(default_factory=list)  # [last day, amount]

    def put(self, last_day: int, amount: float) -> None:
        self.portions.append([last_day, amount])

    def throw_out(self, today: int) -> float:
        gone = sum(amount for last, amount in self.portions if last < today)
        self.portions = [portion for portion in self.portions if portion[0] >= today]
        return gone

    def take(self, amount: float, until: int = 0) -> float:
        """Take what keeps until a day, up to the amount, and return what was missing."""
        self.portions.sort()
        for portion in self.portions:
            if portion[0] >= until:
                taken = min(amount, portion[1])
                portion[1] -= taken
                amount -= taken
        self.portions = [portion for portion in self.portions if portion[1] > 1e-9]
        return max(0.0, amount)

    @property
    def amount(self) -> float:
        return sum(amount for _, amount in self.portions)


@dataclass
class Replay:
    missing_units: float = 0.0  # parents or blocks the plan takes and the farm does not have
    short: dict[tuple[str, str, int], float] = field(default_factory=dict)  # variety, step, day
    stock: dict[tuple[str, str, int], float] = field(default_factory=dict)  # at the end of a day
    thrown: float = 0.0
    clashes: list[tuple[str, int]] = field(default_factory=list)  # a room in two climates, day


def clashes(problem: Problem, plan: Plan) -> list[tuple[str, int]]:
    """Return the rooms and days on which units stand together that need different climates."""
    stand: dict[tuple[str, int], set[str]] = defaultdict(set)
    fruiting = {recipe.variety: recipe.fruiting for recipe in problem.recipes}
    for lot in problem.in_rooms:
        for day in range(lot.leaves_day):
            stand[lot.room, day].add(lot.climate)
    for move in plan.moves:
        step = fruiting[move.variety]
        entered = (move.day - problem.start).days
        if step is None or move.step != step.step or entered >= problem.whole_days:
            continue
        leaves = step.pick_days[entered][-1] + 1 if step.pick_days else step.days_in_room
        for day in range(entered, entered + leaves):
            stand[move.room, day].add(step.climate)
    return sorted(at for at, climates in stand.items() if len(climates - {""}) > 1)


def replay(problem: Problem, plan: Plan) -> Replay:  # noqa: C901, PLR0912  (a day, top to bottom)
    result = Replay(clashes=clashes(problem, plan))
    recipes = {recipe.variety: recipe for recipe in problem.recipes}
    stock: dict[tuple[str, str], Pile] = defaultdict(Pile)
    fresh: dict[str, Pile] = defaultdict(Pile)
    arriving: dict[int, list[tuple[str, str, int, float]]] = defaultdict(list)
    picking: dict[int, list[tuple[str, float, int]]] = defaultdict(list)  # the last: ripe on
    for lot in problem.stock:
        cold = sum(
            kept.units
            for kept in plan.kept_cold
            if (kept.lot, kept.step) == (lot.lot, lot.step)
            and (kept.here - problem.start).days == lot.last_day
        )
        ready = max(0, lot.ready_day)
        arriving[ready].append((lot.variety, lot.step, lot.last_day, lot.units - cold))
        if cold and lot.cold is not None:
            arriving[ready].append((lot.variety, lot.step, lot.cold.last_day, cold))
    for room in problem.in_rooms:
        for pick in room.picks:
            picking[max(0, pick.day)].append((room.variety, pick.grams, pick.day))
    for each in problem.store:
        fresh[each.variety].put(each.last_day, each.grams)
    for day in range(problem.days):
        today = problem.date_of(day)
        for start in plan.starts:
            if start.day == today:
                making = recipes[start.variety].making(start.step)
                assert making is not None
                ready = (start.ready_on - problem.start).days
                arriving[ready].append(
                    (
                        start.variety,
                        start.step,
                        ready + making.window_days - 1,
                        start.count * making.usable,
                    )
                )
        for variety, step, last, units in arriving[day]:
            stock[variety, step].put(last, units)
        for pile in stock.values():
            result.thrown += pile.throw_out(day)
        for start in plan.starts:
            if start.day == today:
                for parent in start.parents:
                    result.missing_units += stock[start.variety, parent.step].take(parent.units)
        for move in plan.moves:
            recipe = recipes[move.variety]
            fruiting = recipe.fruiting
            if move.day == today and fruiting is not None and move.step == fruiting.step:
                missing = stock[move.variety, fruiting.parent].take(move.count)
                result.missing_units += missing
                for place, each in enumerate(fruiting.curve):
                    later = fruiting.pick_days[day][place] if fruiting.pick_days else each.day
                    share = fruiting.season[day + later] if fruiting.season else 1.0
                    picking[day + later].append(
                        (move.variety, (move.count - missing) * each.grams * share, day + later)
                    )
        hands = problem.resources.hands_minutes
        if hands and hands[day] == 0:  # nobody is there: it hangs until tomorrow
            picking[day + 1] += picking.pop(day, [])
        for variety, grams, ripe in picking[day]:
            if day - ripe <= STANDS_DAYS:
                fresh[variety].put(day + recipes[variety].picked_keeps_days, grams)
        for pile in fresh.values():
            pile.throw_out(day)
        for order in sorted(problem.orders, key=lambda each: each.due):
            if order.day != day or order.variety not in recipes:
                continue
            pile = (
                fresh[order.variety] if order.step == "picked" else stock[order.variety, order.step]
            )
            key = (order.variety, order.step, day)
            result.short[key] = result.short.get(key, 0.0) + pile.take(order.amount, order.due)
        for key, pile in stock.items():
            result.stock[*key, day] = pile.amount
    return result
