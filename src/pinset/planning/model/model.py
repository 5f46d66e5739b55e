"""The planning programme: what is decided, what holds, and what it costs.

Numbers of the rows follow the method note (docs/methods/planning.md). Everything that a person
cannot do at once is soft: a promise may be short, the chain may run low at the end, a culture may
run out. So the programme always has a solution (start nothing, move nothing).
"""

from __future__ import annotations

from pinset.planning.model.columns import (
    GRAMS_PER_KG,
    MEAN_ROUNDING,
    Model,
    batch_share,
    picked_for,
    sold,
    stock_of,
)
from pinset.planning.model.ending import keep_chain_filled, keep_rooms_filled
from pinset.planning.model.limits_cold import keep_cold, keeps_only_cold, kept_cold_of
from pinset.planning.model.limits_cooks import limit_sterilisers
from pinset.planning.model.limits_pins import counted, keep_pins
from pinset.planning.model.limits_places import limit_places
from pinset.planning.model.limits_rooms import limit_rooms, room_groups
from pinset.planning.model.limits_vessels import limit_vessels
from pinset.planning.model.limits_work import (
    limit_bench,
    limit_hands,
    wish_time_to_fill,
)
from pinset.planning.model.need import has_batches_far, needs
from pinset.planning.model.programme import Term
from pinset.planning.problem import IN_STORE, Problem
from pinset.planning.recipes import Arc, Making, Recipe
from pinset.planning.resources import GrowRoom

MOVE_COST = 0.01  # per unit moved; only so that nothing is moved for no reason
LEAST_SPARE = 0.001  # of a unit: the last parent opened serves at least so much
FEW = 3.0  # units: fewer are hardly worth a walk to the grow room


def build_model(problem: Problem) -> Model:
    """Return the programme of a problem."""
    model = Model(problem)
    model.groups.update(room_groups(problem))
    for r, recipe in enumerate(problem.recipes):
        model.needs[r] = needs(problem, recipe)
        _starts(model, r, recipe)
        _moves(model, r, recipe)
    keep_cold(model)
    for r, recipe in enumerate(problem.recipes):
        for k in range(len(recipe.makings)):
            _stock(model, r, k)
            keep_chain_filled(model, r, k)
        _fresh(model, r, recipe)
        keep_rooms_filled(model, r)
    limit_sterilisers(model)
    limit_bench(model)
    limit_hands(model)
    wish_time_to_fill(model)
    limit_places(model)
    limit_rooms(model)
    limit_vessels(model)
    keep_pins(model)
    return model


def _starts(model: Model, r: int, recipe: Recipe) -> None:
    """Batches (1) and parents (2)."""
    problem, lp = model.problem, model.programme
    pinned = counted(problem)
    for k, making in enumerate(recipe.makings):
        is_seldom = has_batches_far(making, model.needs[r][k])
        for t in making.start_days:
            if t >= recipe.days:
                continue
            whole = model.is_whole(t)
            by_hand = pinned.get((recipe.variety, making.step, t), 0.0)
            largest = max(model.needs[r][k].largest_batch, by_hand)
            least = min(making.minimum_batch, by_hand or making.minimum_batch)
            x = lp.column(making.unit_cost, upper=largest, whole=whole)
            model.x[r, k, t] = x
            if whole or is_seldom:
                s = model.s[r, k, t] = lp.column(upper=1.0, whole=True)
                lp.at_most([(x, 1.0), (s, -largest)], 0.0)
                lp.at_least([(x, 1.0), (s, -float(least))], 0.0)
            batch, share = batch_share(model, r, k, t)
            by_day = making.batch_cost_by_day
            lp.cost[batch] += share * (by_day[t] if by_day else making.batch_cost)
            if not making.arcs:
                continue
            exact = t < problem.whole_parent_days
            terms: list[Term] = [(x, 1.0)]
            if not exact:
                rounding = min(_lost_to_rounding(arc) for arc in making.arcs)
                terms.append((batch, share * rounding))
            for a, arc in enumerate(making.arcs):
                p = lp.column(whole=whole and exact and not arc.part_use)
                model.p[r, k, a, t] = p
                terms.append((p, -arc.units_per_parent))
            lp.at_most(terms, 0.0)
            if whole:  # no more are opened than are used, or shelves would be emptied for nothing
                most = max(0.0 if arc.part_use else arc.units_per_parent for arc in making.arcs)
                spare: list[Term] = []
                if exact and most > 0.0:
                    spare = [(model.s[r, k, t], most - LEAST_SPARE)]
                lp.at_least([*terms, *spare], 0.0)


def _lost_to_rounding(arc: Arc) -> float:
    return 0.0 if arc.part_use else MEAN_ROUNDING * arc.units_per_parent


def _moves(model: Model, r: int, recipe: Recipe) -> None:
    fruiting = recipe.fruiting
    if fruiting is None or not fruiting.curve:
        return
    for group, rooms in model.groups.items():
        if not any(room.code in fruiting.rooms for room in rooms):
            continue
        for t in fruiting.move_days:
            if t < recipe.days:
                v = model.programme.column(MOVE_COST, whole=model.is_whole(t))
                model.v[r, group, t] = v
                if model.is_whole(t):
                    _charge_few(model, (r, group, t), rooms)


def _charge_few(model: Model, move: tuple[int, str, int], rooms: tuple[GrowRoom, ...]) -> None:
    """Make a move of fewer than a few units cost something, so that it is merged with another."""
    price = model.problem.weights.small_move
    fruiting = model.problem.recipes[move[0]].fruiting
    if price <= 0 or fruiting is None:
        return
    most = sum(room.places for room in rooms) / max(fruiting.places, 0.01)
    lp = model.programme
    v = model.v[move]
    is_made = model.made[move] = lp.column(upper=1.0, whole=True)
    few = lp.column(price)
    lp.at_most([(v, 1.0), (is_made, -most)], 0.0)
    lp.at_least([(v, 1.0 / FEW), (few, 1.0), (is_made, -1.0)], 0.0)


def use_terms(model: Model, r: int, k: int, day: int) -> list[Term]:
    """Return the columns that take usable units of a making on a day."""
    recipe = model.problem.recipes[r]
    code = recipe.makings[k].step
    terms: list[Term] = [
        (model.p[r, c, a, day], 1.0)
        for c, child in enumerate(recipe.makings)
        for a, arc in enumerate(child.arcs)
        if arc.parent == code and (r, c, a, day) in model.p
    ]
    if recipe.fruiting is not None and recipe.fruiting.parent == code:
        terms += [
            (model.v[r, group, day], 1.0) for group in model.groups if (r, group, day) in model.v
        ]
    return terms


def _event_days(model: Model, r: int, k: int) -> tuple[int, ...]:
    problem = model.problem
    recipe = problem.recipes[r]
    making = recipe.makings[k]
    days = set(sold(problem, recipe, making.step))
    for child in recipe.makings:
        if any(arc.parent == making.step for arc in child.arcs):
            days.update(child.start_days)
    if recipe.fruiting is not None and recipe.fruiting.parent == making.step:
        days.update(recipe.fruiting.move_days)
    if problem.every_day:
        days.update(making.ready(t) for t in making.start_days)
    return tuple(sorted(day for day in days if day < recipe.days))


def _stock(model: Model, r: int, k: int) -> None:
    """Stock (3), age (4) and culture stock (12) of one making."""
    problem, lp = model.problem, model.programme
    recipe = problem.recipes[r]
    making = recipe.makings[k]
    events = model.events[r, k] = _event_days(model, r, k)
    lots = stock_of(problem, recipe, making)
    batches = [
        (making.ready(t), model.x[r, k, t]) for t in making.start_days if (r, k, t) in model.x
    ]
    orders = sold(problem, recipe, making.step)

    def usable(day: int, arrived_by: int, arrived_after: int) -> tuple[list[Term], float]:
        terms = [
            (x, making.usable)
            for ready, x in batches
            if arrived_after < ready <= arrived_by and ready + making.window_days > day
        ]
        terms += [
            (column, 1.0)
            for column, lot in kept_cold_of(model, recipe, making)
            if arrived_after < max(0, lot.ready_day) <= arrived_by and keeps_only_cold(lot, day)
        ]
        known = sum(
            lot.units
            for lot in lots
            if arrived_after < max(0, lot.ready_day) <= arrived_by and lot.last_day >= day
        )
        return terms, known

    before = -1
    taken: list[Term] = []
    for i, day in enumerate(events):
        following = events[i + 1] if i + 1 < len(events) else recipe.days
        kept = lp.column(making.hold_cost * (following - day if i + 1 < len(events) else 0))
        model.kept[r, k, day] = kept
        arrivals, known = usable(day, day, before)
        terms: list[Term] = [(kept, 1.0)]
        if i:
            terms.append((model.kept[r, k, events[i - 1]], -1.0))
        terms += [(x, -value) for x, value in arrivals]
        uses = use_terms(model, r, k, day)
        terms += uses
        taken += uses
        if day in orders:
            short = lp.column(making.short_cost, upper=orders[day])
            model.short[r, making.step, day, day] = short
            terms.append((short, -1.0))
            taken.append((short, -1.0))
            known -= orders[day]
            _wish_spare(model, making, terms[1:], known, orders[day])
        model.supply[r, k, day] = lp.at_most(terms, known)
        still, still_known = usable(following, day, -1)
        everything, everything_known = usable(0, day, -1)
        if len(still) < len(everything) or still_known < everything_known:
            lp.at_most([(kept, 1.0)] + [(x, -value) for x, value in still], still_known)
        if model.is_whole(day):
            sold_so_far = sum(amount for when, amount in orders.items() if when <= day)
            stays = model.stays[r, k, day] = max(0.0, still_known - sold_so_far)
            if stays > 0:
                lp.at_least([(kept, 1.0), *taken], still_known - sold_so_far)
        if making.culture_stock > 0 and i + 1 < len(events):
            missing = lp.column(problem.weights.culture_missing, upper=making.culture_stock)
            model.wishes.append(missing)
            lp.at_least([(kept, 1.0), (missing, 1.0)], making.culture_stock)
        before = day


def _wish_spare(
    model: Model, making: Making, uses: list[Term], known: float, sold_units: float
) -> None:
    """Wish for some more units than are sold on a day, there beside them for what chance takes."""
    spare = making.spare * sold_units
    if spare <= 0.0:
        return
    price = model.problem.weights.spare_missing * making.short_cost
    missing = model.programme.column(price, upper=spare)
    model.wishes.append(missing)
    model.programme.at_most([*uses, (missing, -1.0)], known - spare)


def _fresh(model: Model, r: int, recipe: Recipe) -> None:
    """Picked kilograms (10): kept, sold or short for each day something is promised.

    What is packed on one day and handed over on it comes before what is handed over the next: so
    from each to the next neither the last picking nor the day due is earlier.
    """
    problem, lp = model.problem, model.programme
    orders = picked_for(problem, recipe)
    keeps = recipe.picked_keeps_days
    known = [
        (*picked, pick.grams / GRAMS_PER_KG)
        for lot in problem.in_rooms
        if lot.variety == recipe.variety
        for pick in lot.picks
        if (picked := problem.picked(pick.day, keeps)) is not None
    ]
    known += [
        (IN_STORE, each.last_day, each.grams / GRAMS_PER_KG)
        for each in problem.store
        if each.variety == recipe.variety
    ]
    planned: list[tuple[int, int, int, float]] = []
    if recipe.fruiting is not None:
        planned = [
            (*picked, column, each.grams / GRAMS_PER_KG)
            for (owner, _, t), column in model.v.items()
            if owner == r
            for each in recipe.fruiting.borne(t)
            if (picked := problem.picked(t + each.day, keeps)) is not None
        ]

    def pickings(due: int, until: int, after: int) -> tuple[list[Term], float]:
        terms = [(v, kg) for when, last, v, kg in planned if after < when <= until and last >= due]
        total = sum(kg for when, last, kg in known if after < when <= until and last >= due)
        return terms, total

    times = list(orders)
    never = before = IN_STORE - 1
    for i, (day, due) in enumerate(times):
        kept = lp.column()
        model.fresh[r, due, day] = kept
        arrivals, have = pickings(due, day, before)
        demand = orders[day, due] / GRAMS_PER_KG
        short = lp.column(recipe.short_cost_per_kg, upper=demand)
        model.short[r, "picked", day, due] = short
        terms: list[Term] = [(kept, 1.0), (short, -1.0)]
        if i:
            last_day, last_due = times[i - 1]
            terms.append((model.fresh[r, last_due, last_day], -1.0))
        terms += [(v, -kg) for v, kg in arrivals]
        spare = recipe.spare * demand  # also given away, so that what chance takes is there
        if spare > 0.0:
            missing = lp.column(
                problem.weights.spare_missing * recipe.short_cost_per_kg, upper=spare
            )
            model.wishes.append(missing)
            terms.append((missing, -1.0))
        lp.at_most(terms, have - demand - spare)
        if i + 1 < len(times):
            still, still_have = pickings(times[i + 1][1], day, never)
            lp.at_most([(kept, 1.0)] + [(v, -kg) for v, kg in still], still_have)
        before = day
