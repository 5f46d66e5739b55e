"""The farm in many seasons at once, day by day, as chance may have it and people would answer it.

Every lot has its own days, loss and yield. People answer: units go on when they are seen ready,
what is late is used as soon as it comes, more go where mushrooms fall behind the plan's, and of
each step so much is started that stock and what is under way come back to where the plan wants
them. That stands in for planning anew every day.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import ceil

import numpy as np

from pinset.planning.problem import IN_STORE, InRoom, Problem
from pinset.planning.recipes import Picking, Recipe
from pinset.planning.season.draws import Draws, Row, slowed
from pinset.planning.season.odds import Odds, VarietyOdds
from pinset.planning.season.picking import AFTER_DAYS, Harvest
from pinset.planning.season.plan import PlannedDays
from pinset.planning.season.rooms import GrowRooms
from pinset.planning.season.stock import ZERO, Cohort, Store, with_cold_apart
from pinset.planning.season.targets import Key, Targets, first_flush, units_lacking
from pinset.planning.season.whole_units import WholeUnits

MAKE_UP = 1.5  # a batch made larger for what was lost is at most so many times the largest planned
ONE = np.float32(1.0)
LEAST_MAKE_UP = 0.1  # of the largest: less is not started on a day without a planned start


class SeasonFarm:
    """The farm as it stands in every season."""

    def __init__(
        self,
        problem: Problem,
        planned: PlannedDays,
        odds: Odds,
        draws: Draws,
        targets: Targets,
        *,
        follows: bool = False,
    ) -> None:
        """Put in what is alive, what hangs in the rooms and what lies in the store.

        With ``follows`` as many units are started as the plan says, in whole units over the
        batches of a step, whatever was lost.
        """
        self.follows = follows
        self.problem, self.planned, self.odds = problem, planned, odds
        self.draws, self.targets = draws, targets
        self.harvest = Harvest(problem, draws)
        self.reached = Targets()
        self.started: dict[Key, float] = {}  # units, where there is one season only
        self.whole = WholeUnits()
        self.delivered = np.zeros((len(problem.orders), draws.seasons), np.float32)
        self.rooms = GrowRooms(problem, draws.seasons, problem.days + AFTER_DAYS, planned.kept)
        self.stores = {
            (r, k): Store()
            for r, recipe in enumerate(problem.recipes)
            for k in range(len(recipe.makings))
        }
        self.still_to_move = [np.zeros(draws.seasons, np.float32) for _ in problem.recipes]
        self.owed: dict[tuple[int, int], Row] = {}
        self.varieties = {recipe.variety: r for r, recipe in enumerate(problem.recipes)}
        self._put_stock_in()
        for lot in problem.in_rooms:
            self._hang_up(lot)

    def live(self, day: int) -> None:
        """Let one day pass: units move, are sold and are started; then buyers are served."""
        self.rooms.clear(day)
        for r, recipe in enumerate(self.problem.recipes):
            if day < recipe.days:
                self._move(r, recipe, day)
                for k in range(len(recipe.makings) - 1, -1, -1):
                    store = self.stores[r, k]
                    store.forget(day)
                    self._sell_units(r, k, store, day)
                    self._start(r, k, recipe, day)
            if day == 0:
                self._hand_over(r, IN_STORE)
            self.harvest.pick(r, day)
            self._hand_over(r, day)

    def _hand_over(self, r: int, day: int) -> None:
        """Serve what a day's picking is the last for, in the order in which it is handed over."""
        numbers = self.planned.picked.get((r, day), [])
        orders = [self.problem.orders[number] for number in numbers]
        wanted = [(order.amount, order.due) for order in orders]
        for number, grams in zip(numbers, self.harvest.hand_over(r, wanted), strict=True):
            self.delivered[number] = grams

    def _put_stock_in(self) -> None:
        for lot in self.problem.stock:
            r = self.varieties[lot.variety]
            recipe = self.problem.recipes[r]
            k = next(i for i, making in enumerate(recipe.makings) if making.step == lot.step)
            growing = self.odds.growing.get(lot.lot)
            ready = np.full(self.draws.seasons, float(lot.ready_day), np.float32)
            units = np.full(self.draws.seasons, lot.units, np.float32)
            expected = units.copy()
            if growing is not None and self.draws.is_whole:
                late = self.draws.ripened(growing)
                losses = [(growing.now.loss, growing.loss_left)]
                losses += [(phase.loss, 1.0) for phase in growing.later]
                alive = np.full(self.draws.seasons, max(lot.alive, lot.units), np.float32)
                units = self.draws.survivors(alive, losses, lot.units / max(lot.alive, lot.units))
            else:
                late = np.zeros(self.draws.seasons, np.float32)
            cohort = Cohort(
                units, ready + late, lot.last_day + late, expected, lot.ready_day,
                max(0, lot.ready_day // 2),
            )  # fmt: skip
            kept = self.planned.cold.get((lot.lot, lot.step, lot.last_day), 0.0)
            days = 0 if lot.cold is None else lot.cold.last_day - lot.last_day
            for part in with_cold_apart(cohort, kept, days):
                self.stores[r, k].add(part)

    def _hang_up(self, lot: InRoom) -> None:
        """Let what stands in the rooms bear on, and keep its places until then."""
        r = self.varieties.get(lot.variety)
        late = np.zeros(self.draws.seasons, np.float32)
        if r is not None:
            bearing, age = self._odds_of(r).bearing, lot.waits_days
            late = self.harvest.bear(r, ONE, lot.picks, bearing, age=age, slowness=lot.slowness)
            if self.harvest.hung:
                self.harvest.hung[-1].places = lot.places
        self.rooms.occupy(lot.room, lot.places, late + np.float32(lot.leaves_day))

    def _move(self, r: int, recipe: Recipe, day: int) -> None:
        fruiting = recipe.fruiting
        if fruiting is None or not self.rooms.is_open(r, day):
            return
        if day not in self.planned.move_days(r, fruiting):
            return
        k = next(i for i, making in enumerate(recipe.makings) if making.step == fruiting.parent)
        store = self.stores[r, k]
        bearing = self._odds_of(r).bearing
        own = None if not self.draws.is_whole or bearing is None else bearing.curve
        curve = fruiting.borne(day, own)
        asked = np.float32(self.planned.moves.get((r, day), 0.0)) + np.maximum(
            self.still_to_move[r], self._lacking(r, day, curve)
        )
        wanted = asked
        if self.draws.is_whole:
            wanted = np.ceil(wanted - np.float32(1e-4))
            wanted = np.minimum(wanted, self.rooms.room_for(r, fruiting.places))
        moved = store.take(wanted, day)
        coming = store.late(day) + store.usable(day)
        self.still_to_move[r] = np.maximum(ZERO, np.minimum(asked - moved, coming))
        slowness = fruiting.slowness_on(day)
        late = self.harvest.bear(r, moved, curve, bearing, entered=day, slowness=slowness)
        until = late + np.float32(day + fruiting.room_days_on(day))
        self.rooms.enter(r, moved * np.float32(fruiting.places), until)

    def _lacking(self, r: int, day: int, curve: Sequence[Picking]) -> Row | np.float32:
        """Return the units by which what hangs and lies falls short of the plan's.

        Set against each other are the grams that can be sold until what is moved today has borne
        its first flush. So what moved or bears late, or bore little, is made up for.
        """
        if self.follows or not curve:
            return ZERO
        days, grams = first_flush([pick for _, pick in self.problem.gathered(curve, day)])
        supply = self.harvest.coming(r, day, day + days)
        if not self.draws.is_whole:
            self.reached.supply[r, day] = float(supply[0])
        return units_lacking(supply, self.targets.supply.get((r, day)), grams)

    def _sell_units(self, r: int, k: int, store: Store, day: int) -> None:
        for number in self.planned.sales.get((r, k, day), ()):
            amount = np.full(self.draws.seasons, self.problem.orders[number].amount, np.float32)
            self.delivered[number] = store.take(amount, day)

    def _start(self, r: int, k: int, recipe: Recipe, day: int) -> None:
        making, key = recipe.makings[k], (r, k, day)
        if day not in making.start_days and key not in self.planned.starts:
            return
        store = self.stores[r, k]
        planned = self.planned.starts.get(key, 0.0)
        there = store.expected(day)
        if not self.draws.is_whole:
            units = np.full(1, planned, np.float32)
            for a, parents in self.planned.parents.get(key, {}).items():
                self._parents(r, recipe, making.arcs[a].parent).take(
                    np.full(1, parents, np.float32), day
                )
            self.reached.positions[key] = float(np.max(there)) + planned * making.usable
        else:
            units = (
                np.full(
                    self.draws.seasons,
                    self.whole.begun(r, k, planned, making.minimum_batch),
                    np.float32,
                )
                if self.follows
                else self._wanted(key, recipe, there)
            )
            if not units.any():
                return
            units = self._with_parents(key, recipe, units)
        if planned <= 0.0 and not units.any():
            return
        if self.draws.seasons == 1:
            self.started[key] = float(units[0])
        late = self.draws.grown(self._odds_of(r).phases.get(making.step, ()))
        late = slowed(late, making.slowness_on(day))
        losses = [(phase.loss, 1.0) for phase in self._odds_of(r).phases.get(making.step, ())]
        ready = making.ready(day)
        store.add(
            Cohort(
                self.draws.survivors(units, losses, making.usable),
                late + np.float32(ready),
                late + np.float32(ready + making.window_days - 1),
                units * np.float32(making.usable),
                ready,
                day + (ready - day) // 2,
            )
        )

    def _wanted(self, key: Key, recipe: Recipe, there: Row | np.float32) -> Row:
        """Return how many units are started: as many as bring stock back to the plan's.

        Where a start is planned and something is needed, no less than the least batch: weeks that
        are planned in fractions know of none.
        """
        r, k, _ = key
        making = recipe.makings[k]
        target = np.float32(self.targets.positions.get(key, 0.0)) + self._owed(r, k)
        wanted = np.ceil((target - there) / np.float32(max(making.usable, 1e-3)) - np.float32(1e-3))
        planned, largest = self.planned.starts.get(key, 0.0), self.planned.largest.get((r, k), 0.0)
        most = np.float32(ceil(max(planned, MAKE_UP * largest)))
        batch = np.float32(max(1, making.minimum_batch))
        least = max(batch, np.float32(LEAST_MAKE_UP * largest)) if planned <= 0.0 else np.float32(1)
        wanted = np.broadcast_to(np.minimum(wanted, most), (self.draws.seasons,))
        return np.where(wanted >= least, np.maximum(wanted, batch), ZERO).astype(np.float32)

    def _owed(self, r: int, k: int) -> Row | np.float32:
        """Return the units that were to be used and wait for those that are late."""
        recipe = self.problem.recipes[r]
        owed = self.owed.get((r, k), ZERO)
        fruiting = recipe.fruiting
        if fruiting is not None and fruiting.parent == recipe.makings[k].step:
            owed = owed + self.still_to_move[r]
        return owed

    def _with_parents(self, key: Key, recipe: Recipe, units: Row) -> Row:
        """Take the parents of a start; return how many units they allow."""
        r, k, day = key
        making = recipe.makings[k]
        if not making.arcs:
            return units
        planned = self.planned.parents.get(key, {})
        order = sorted(range(len(making.arcs)), key=lambda a: -planned.get(a, 0.0))
        left = units.copy()
        for a in order:
            arc = making.arcs[a]
            each = np.float32(arc.units_per_parent)
            needed = left / each if arc.part_use else np.ceil(left / each - np.float32(1e-4))
            store = self._parents(r, recipe, arc.parent)
            taken = store.take(needed, day)
            if a == order[0]:
                parent = next(i for i, m in enumerate(recipe.makings) if m.step == arc.parent)
                self.owed[r, parent] = np.minimum(needed - taken, store.late(day))
            left = np.maximum(ZERO, left - taken * each)
        done: Row = np.floor(units - left + np.float32(1e-3)).astype(np.float32)
        return done

    def _parents(self, r: int, recipe: Recipe, step: str) -> Store:
        k = next(i for i, making in enumerate(recipe.makings) if making.step == step)
        return self.stores[r, k]

    def _odds_of(self, r: int) -> VarietyOdds:
        return self.odds.varieties.get(self.problem.recipes[r].variety, VarietyOdds({}))
