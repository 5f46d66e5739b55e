"""The planning programme: what is decided, what holds, and what it costs.

Numbers of the rows follow the method note (docs/methods/planning.md). Everything that a person
cannot do at once is soft: a promise may be short, the chain may run low at the end, a culture may
run out. So the programme always has a solution (start nothing, move nothing).
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterable
from dataclasses import dataclass, field

from pinset.chain.register import RoomKind
from pinset.planning.need import Need, needs
from pinset.planning.problem import Arc, Making, Problem, Recipe, Stock
from pinset.planning.programme import INFINITY, Programme, Term

GRAMS_PER_KG = 1000.0
MEAN_ROUNDING = 0.5  # of a parent per batch, where parents are not whole numbers
MOVE_COST = 0.01  # per unit moved; only so that nothing is moved for no reason
END_DAYS = 5  # beside the lead: half a start interval and a margin
HOUR = 60.0

# prices of one more unit of a resource, assumed; used to name what is lacking
STERILISER_PRICE = 30.0  # per hour
COOK_PRICE = 20.0  # per cook
MINUTE_PRICE = 0.5
PLACE_PRICE = 0.5  # per place and day
VESSEL_PRICE = 1.0


@dataclass(frozen=True, slots=True)
class Capacity:
    """A capacity row: which resource, on which day, and what more of it would cost."""

    row: int
    resource: str
    day: int
    capacity: float
    unit: str
    price: float
    varieties: frozenset[str]
    taken: float = 0.0  # by what is there already; not part of the row


@dataclass(slots=True)
class Model:
    """The programme with the meaning of its columns. Keys start with (recipe, making) numbers."""

    problem: Problem
    programme: Programme = field(default_factory=Programme)
    x: dict[tuple[int, int, int], int] = field(default_factory=dict)
    s: dict[tuple[int, int, int], int] = field(default_factory=dict)
    p: dict[tuple[int, int, int, int], int] = field(default_factory=dict)  # .., arc, day
    kept: dict[tuple[int, int, int], int] = field(default_factory=dict)
    v: dict[tuple[int, str, int], int] = field(default_factory=dict)  # recipe, room, day
    n: dict[tuple[str, str, int], int] = field(default_factory=dict)  # steriliser, kind, day
    fresh: dict[tuple[int, int], int] = field(default_factory=dict)
    short: dict[tuple[int, str, int], int] = field(default_factory=dict)  # recipe, step, day
    climate: dict[tuple[str, str, int], int] = field(default_factory=dict)  # room, climate, week
    events: dict[tuple[int, int], tuple[int, ...]] = field(default_factory=dict)
    needs: dict[int, tuple[Need, ...]] = field(default_factory=dict)
    capacities: list[Capacity] = field(default_factory=list)

    def is_whole(self, day: int) -> bool:
        """Whether decisions of a day are whole numbers."""
        return day < self.problem.whole_days


def build_model(problem: Problem) -> Model:
    """Return the programme of a problem."""
    model = Model(problem)
    for r, recipe in enumerate(problem.recipes):
        model.needs[r] = needs(problem, recipe)
        _starts(model, r, recipe)
        _moves(model, r, recipe)
    for r, recipe in enumerate(problem.recipes):
        for k in range(len(recipe.makings)):
            _stock(model, r, k)
        _fresh(model, r, recipe)
    _sterilisers(model)
    _bench(model)
    _hands(model)
    _places(model)
    _rooms(model)
    _vessels(model)
    return model


def _starts(model: Model, r: int, recipe: Recipe) -> None:
    """Batches (1) and parents (2)."""
    problem, lp = model.problem, model.programme
    for k, making in enumerate(recipe.makings):
        largest = model.needs[r][k].largest_batch
        for t in making.start_days:
            if t >= recipe.days:
                continue
            whole = model.is_whole(t)
            by_day = making.batch_cost_by_day
            batch_cost = by_day[t] if by_day else making.batch_cost
            x = lp.column(making.unit_cost, upper=largest, whole=whole)
            s = lp.column(batch_cost, upper=1.0, whole=whole)
            model.x[r, k, t], model.s[r, k, t] = x, s
            lp.at_most([(x, 1.0), (s, -largest)], 0.0)
            lp.at_least([(x, 1.0), (s, -float(making.minimum_batch))], 0.0)
            if not making.arcs:
                continue
            exact = t < problem.whole_parent_days
            terms: list[Term] = [(x, 1.0)]
            rounding = min(_lost_to_rounding(arc) for arc in making.arcs)
            if not exact:
                terms.append((s, rounding))
            for a, arc in enumerate(making.arcs):
                p = lp.column(whole=whole and exact and not arc.part_use)
                model.p[r, k, a, t] = p
                terms.append((p, -arc.units_per_parent))
            lp.at_most(terms, 0.0)


def _lost_to_rounding(arc: Arc) -> float:
    return 0.0 if arc.part_use else MEAN_ROUNDING * arc.units_per_parent


def _moves(model: Model, r: int, recipe: Recipe) -> None:
    fruiting = recipe.fruiting
    if fruiting is None or not fruiting.curve:
        return
    for room in fruiting.rooms:
        for t in fruiting.move_days:
            if t < recipe.days:
                model.v[r, room, t] = model.programme.column(MOVE_COST, whole=model.is_whole(t))


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
            (model.v[r, room, day], 1.0)
            for room in recipe.fruiting.rooms
            if (r, room, day) in model.v
        ]
    return terms


def sold(problem: Problem, recipe: Recipe, step: str) -> dict[int, float]:
    """Return what is promised of a step by day (grams for ``picked``)."""
    found: dict[int, float] = {}
    for order in problem.orders:
        if order.variety == recipe.variety and order.step == step and order.day < recipe.days:
            found[order.day] = found.get(order.day, 0.0) + order.amount
    return found


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


def stock_of(problem: Problem, recipe: Recipe, making: Making) -> list[Stock]:
    """Return the living lots of a making."""
    return [
        lot for lot in problem.stock if lot.variety == recipe.variety and lot.step == making.step
    ]


def _stock(model: Model, r: int, k: int) -> None:
    """Stock (3), age (4), end (11) and culture stock (12) of one making."""
    problem, lp = model.problem, model.programme
    recipe = problem.recipes[r]
    making = recipe.makings[k]
    need = model.needs[r][k]
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
        known = sum(
            lot.units
            for lot in lots
            if arrived_after < max(0, lot.ready_day) <= arrived_by and lot.last_day >= day
        )
        return terms, known

    before = -1
    for i, day in enumerate(events):
        following = events[i + 1] if i + 1 < len(events) else recipe.days
        kept = lp.column(making.hold_cost * (following - day if i + 1 < len(events) else 0))
        model.kept[r, k, day] = kept
        arrivals, known = usable(day, day, before)
        terms: list[Term] = [(kept, 1.0)]
        if i:
            terms.append((model.kept[r, k, events[i - 1]], -1.0))
        terms += [(x, -value) for x, value in arrivals]
        terms += use_terms(model, r, k, day)
        if day in orders:
            short = lp.column(making.short_cost, upper=orders[day])
            model.short[r, making.step, day] = short
            terms.append((short, -1.0))
            known -= orders[day]
        lp.at_most(terms, known)
        still, still_known = usable(following, day, -1)
        everything, everything_known = usable(0, day, -1)
        if len(still) < len(everything) or still_known < everything_known:
            lp.at_most([(kept, 1.0)] + [(x, -value) for x, value in still], still_known)
        if making.culture_stock > 0 and i + 1 < len(events):
            missing = lp.column(problem.weights.culture_missing, upper=making.culture_stock)
            lp.at_least([(kept, 1.0), (missing, 1.0)], making.culture_stock)
        before = day
    if problem.has_end_stock and events and need.end_rate > 0:
        target = need.end_rate * (making.lead_days + END_DAYS)
        missing = lp.column(problem.weights.end_missing * need.unit_cost, upper=target)
        under_way = [(x, making.usable) for ready, x in batches if ready > before]
        known = sum(lot.units for lot in lots if lot.ready_day > before)
        terms = [(model.kept[r, k, before], 1.0), (missing, 1.0), *under_way]
        lp.at_least(terms, target - known)


def _fresh(model: Model, r: int, recipe: Recipe) -> None:
    """Picked kilograms (10): kept, sold or short on each day something is promised."""
    problem, lp = model.problem, model.programme
    orders = sold(problem, recipe, "picked")
    keeps = recipe.picked_keeps_days
    known = [
        (pick.day, pick.day + keeps, pick.grams / GRAMS_PER_KG)
        for lot in problem.in_rooms
        if lot.variety == recipe.variety
        for pick in lot.picks
    ]
    known += [
        (0, each.last_day, each.grams / GRAMS_PER_KG)
        for each in problem.store
        if each.variety == recipe.variety
    ]
    planned: list[tuple[int, int, float]] = []
    if recipe.fruiting is not None:
        planned = [
            (t + each.day, column, each.grams / GRAMS_PER_KG)
            for (owner, _, t), column in model.v.items()
            if owner == r
            for each in recipe.fruiting.curve
        ]

    def pickings(day: int, until: int, after: int) -> tuple[list[Term], float]:
        terms = [
            (v, kg) for when, v, kg in planned if after < when <= until and when + keeps >= day
        ]
        total = sum(kg for when, last, kg in known if after < when <= until and last >= day)
        return terms, total

    days = sorted(orders)
    before = -1
    for i, day in enumerate(days):
        kept = lp.column()
        model.fresh[r, day] = kept
        arrivals, have = pickings(day, day, before)
        demand = orders[day] / GRAMS_PER_KG
        short = lp.column(recipe.short_cost_per_kg, upper=demand)
        model.short[r, "picked", day] = short
        terms: list[Term] = [(kept, 1.0), (short, -1.0)]
        if i:
            terms.append((model.fresh[r, days[i - 1]], -1.0))
        terms += [(v, -kg) for v, kg in arrivals]
        lp.at_most(terms, have - demand)
        if i + 1 < len(days):
            still, still_have = pickings(days[i + 1], day, -1)
            lp.at_most([(kept, 1.0)] + [(v, -kg) for v, kg in still], still_have)
        before = day


def _limit(
    model: Model,
    terms: Iterable[Term],
    capacity: float,
    *,
    resource: str,
    day: int,
    unit: str,
    price: float,
    varieties: Iterable[str],
    taken: float = 0.0,
) -> None:
    """Add a capacity row, remembered by what it limits.

    What is ``taken`` already may exceed the capacity (a room is fuller than it should be); then
    nothing more fits, which is no contradiction.
    """
    left = capacity - taken if taken > 0 else capacity
    row = model.programme.at_most(terms, max(0.0, left) if taken > 0 else left)
    model.capacities.append(
        Capacity(row, resource, day, capacity, unit, price, frozenset(varieties), taken)
    )


def _sterilisers(model: Model) -> None:
    """Cooks (5): vessels are cooked before they are used; kinds do not mix in one cook."""
    problem, lp = model.problem, model.programme
    resources = problem.resources
    need: dict[str, dict[int, list[Term]]] = {}
    users: dict[str, set[str]] = {}
    for (r, k, t), x in model.x.items():
        making = problem.recipes[r].makings[k]
        if not making.cook or making.litres <= 0:
            continue
        latest = t - making.cook_days_before
        if latest < 0 and not resources.is_sterile_counted:
            continue
        need.setdefault(making.cook, {}).setdefault(max(latest, -1), []).append((x, making.litres))
        users.setdefault(making.cook, set()).add(problem.recipes[r].variety)
    hours: dict[tuple[str, int], list[Term]] = {}
    count: dict[tuple[str, int], list[Term]] = {}
    for kind, by_day in sorted(need.items()):
        last_need = max(by_day)
        made: dict[int, list[Term]] = {}
        for steriliser in resources.sterilisers:
            for option in steriliser.cooks:
                if option.kind != kind:
                    continue
                for t in range(min(last_need + 1, problem.days)):
                    if steriliser.hours[t] < option.hours or steriliser.count[t] < 1:
                        continue
                    n = lp.column(option.cost, whole=model.is_whole(t))
                    model.n[steriliser.code, kind, t] = n
                    hours.setdefault((steriliser.code, t), []).append((n, option.hours))
                    count.setdefault((steriliser.code, t), []).append((n, 1.0))
                    made.setdefault(t, []).append((n, option.litres))
        _sterile_flow(model, kind, by_day, made, frozenset(users[kind]))
    cooked = {variety for kind in users.values() for variety in kind}
    for steriliser in resources.sterilisers:
        for t in range(problem.days):
            key = (steriliser.code, t)
            if key not in hours:
                continue
            shared = {"day": t, "resource": f"steriliser {steriliser.code}", "varieties": cooked}
            _limit(
                model, hours[key], steriliser.hours[t], unit="h", price=STERILISER_PRICE, **shared
            )
            _limit(model, count[key], steriliser.count[t], unit="cooks", price=COOK_PRICE, **shared)


def _sterile_flow(
    model: Model,
    kind: str,
    need: dict[int, list[Term]],
    made: dict[int, list[Term]],
    varieties: frozenset[str],
) -> None:
    lp = model.programme
    resources = model.problem.resources
    ready = sum(each.litres for each in resources.sterile if each.cook == kind)
    keeps = resources.sterile_keeps_days
    days = sorted({-1, *need, *made})
    before: int | None = None
    for i, day in enumerate(days):
        kept = lp.column()
        terms: list[Term] = [(kept, 1.0), *need.get(day, [])]
        terms += [(n, -litres) for n, litres in made.get(day, [])]
        if before is not None:
            terms.append((before, -1.0))
        # slack here is a vessel cooked elsewhere: it tells of a steriliser that is full or missing
        _limit(
            model,
            terms,
            ready if day == -1 else 0.0,
            resource=f"cooks of kind {kind}",
            day=max(day, 0),
            unit="L",
            price=0.5,
            varieties=varieties,
        )
        if i + 1 < len(days):
            following = days[i + 1]
            recent = [
                (n, -litres)
                for when, columns in made.items()
                if following - keeps <= when <= day
                for n, litres in columns
            ]
            left = ready if following < keeps else 0.0
            lp.at_most([(kept, 1.0), *recent], left)
        before = kept


def _bench(model: Model) -> None:
    """Bench minutes (6)."""
    problem = model.problem
    minutes = problem.resources.bench_minutes
    if not minutes:
        return
    by_day: dict[int, list[Term]] = {}
    users: dict[int, set[str]] = {}
    for (r, k, t), x in model.x.items():
        making = problem.recipes[r].makings[k]
        if making.bench_minutes > 0 or making.bench_setup_minutes > 0:
            row = by_day.setdefault(t, [])
            row.append((x, making.bench_minutes))
            row.append((model.s[r, k, t], making.bench_setup_minutes))
            users.setdefault(t, set()).add(problem.recipes[r].variety)
    for t, terms in sorted(by_day.items()):
        _limit(
            model,
            terms,
            minutes[t],
            resource="clean bench",
            day=t,
            unit="min",
            price=MINUTE_PRICE,
            varieties=users[t],
        )


def _hands(model: Model) -> None:
    """Hand minutes (7): bench, preparation, cooks, moving, picking. Mushrooms are picked anyway."""
    problem = model.problem
    hands = problem.resources.hands_minutes
    if not hands:
        return
    working = [day for day in range(len(hands)) if hands[day] > 0]
    by_day: dict[int, list[Term]] = {day: [] for day in range(problem.days)}
    known = dict.fromkeys(range(problem.days), 0.0)

    def on_working_day(day: int) -> int | None:
        place = bisect_right(working, day)
        return working[place - 1] if place else None

    for (r, k, t), x in model.x.items():
        making = problem.recipes[r].makings[k]
        s = model.s[r, k, t]
        by_day[t].append((x, making.bench_minutes + making.hands_minutes))
        by_day[t].append((s, making.bench_setup_minutes))
        for each in making.preparations:
            day = on_working_day(t - each.days_before) if t >= each.days_before else None
            if day is not None:
                by_day[day] += [(x, each.minutes_per_unit), (s, each.minutes_fixed)]
    cooks = {
        (steriliser.code, option.kind): option.hands_minutes
        for steriliser in problem.resources.sterilisers
        for option in steriliser.cooks
    }
    for (code, kind, t), n in model.n.items():
        by_day[t].append((n, cooks[code, kind]))
    for (r, _, t), v in model.v.items():
        fruiting = problem.recipes[r].fruiting
        if fruiting is None:
            continue
        by_day[t].append((v, fruiting.hands_minutes))
        for each in fruiting.curve:
            if t + each.day < problem.days:
                minutes = fruiting.pick_minutes_per_kg * each.grams / GRAMS_PER_KG
                by_day[t + each.day].append((v, minutes))
    rates = {
        recipe.variety: recipe.fruiting.pick_minutes_per_kg
        for recipe in problem.recipes
        if recipe.fruiting is not None
    }
    for lot in problem.in_rooms:
        for pick in lot.picks:
            if 0 <= pick.day < problem.days:
                known[pick.day] += rates.get(lot.variety, 3.0) * pick.grams / GRAMS_PER_KG
    everyone = [recipe.variety for recipe in problem.recipes]
    for day, terms in by_day.items():
        if hands[day] > 0 and terms:
            _limit(
                model,
                terms,
                hands[day],
                taken=known[day],
                resource="hands",
                day=day,
                unit="min",
                price=MINUTE_PRICE,
                varieties=everyone,
            )


def _check_days(model: Model, days: Iterable[int]) -> list[int]:
    """Return the days a slow-moving limit is written for: all near ones, weekly later."""
    chosen: dict[int, int] = {}
    near = []
    for day in sorted(set(days)):
        if day < model.problem.whole_days:
            near.append(day)
        else:
            chosen[day // 7] = day
    return near + sorted(chosen.values())


def _standing(model: Model, r: int, k: int, day: int) -> tuple[list[Term], float]:
    """Return units of a making that are usable and wait on a day: kept, and arrived since."""
    recipe = model.problem.recipes[r]
    making = recipe.makings[k]
    events = model.events[r, k]
    place = bisect_right(events, day)
    since = events[place - 1] if place else -1
    terms: list[Term] = [(model.kept[r, k, since], 1.0)] if place else []
    terms += [
        (model.x[r, k, t], making.usable)
        for t in making.start_days
        if (r, k, t) in model.x and since < making.ready(t) <= day
    ]
    known = sum(
        lot.units
        for lot in stock_of(model.problem, recipe, making)
        if since < max(0, lot.ready_day) <= day
    )
    return terms, known


def _places(model: Model) -> None:
    """Shelf places (8) by kind of room: under way, and waiting to be used."""
    problem = model.problem
    for limit in problem.resources.places:
        days = {
            t
            for (r, k, t) in model.x
            if any(stay.room is limit.room for stay in problem.recipes[r].makings[k].stays)
            or problem.recipes[r].makings[k].waits_in is limit.room
        }
        for day in _check_days(model, days):
            terms: list[Term] = []
            known = 0.0
            users: set[str] = set()
            for r, recipe in enumerate(problem.recipes):
                more, fixed = _places_of_recipe(model, r, recipe, limit.room, day)
                if more:
                    users.add(recipe.variety)
                terms += more
                known += fixed
            if terms:
                _limit(
                    model,
                    terms,
                    limit.places,
                    taken=known,
                    resource=f"places in {limit.room.value}",
                    day=day,
                    unit="places",
                    price=PLACE_PRICE,
                    varieties=users,
                )


def _places_of_recipe(
    model: Model, r: int, recipe: Recipe, room: RoomKind, day: int
) -> tuple[list[Term], float]:
    terms: list[Term] = []
    known = 0.0
    for k, making in enumerate(recipe.makings):
        for t in making.start_days:
            if t > day or (r, k, t) not in model.x:
                continue
            terms += [
                (model.x[r, k, t], stay.places)
                for stay in making.stays
                if stay.room is room and t + stay.from_day <= day < t + stay.until_day
            ]
        for lot in stock_of(model.problem, recipe, making):
            known += sum(
                lot.units * stay.places
                for stay in lot.stays
                if stay.room is room and stay.from_day <= day < stay.until_day
            )
        if making.waits_in is room and making.waits_places > 0:
            waiting, _ = _standing(model, r, k, day)
            terms += [(column, value * making.waits_places) for column, value in waiting]
    return terms, known


def _rooms(model: Model) -> None:
    """Grow rooms (9): places, and one climate a week where a room can give several."""
    problem = model.problem
    for room in problem.resources.rooms:
        inside = [lot for lot in problem.in_rooms if lot.room == room.code]
        moves: dict[str, list[tuple[int, int, int, float]]] = {}
        users: set[str] = set()
        for (r, code, t), v in model.v.items():
            recipe = problem.recipes[r]
            if code == room.code and recipe.fruiting is not None:
                fruiting = recipe.fruiting
                moves.setdefault(fruiting.climate, []).append(
                    (t, t + fruiting.days_in_room, v, fruiting.places)
                )
                users.add(recipe.variety)
        days = sorted({entry[0] for each in moves.values() for entry in each})
        for day in days:
            known = sum(lot.places for lot in inside if day < lot.leaves_day)
            terms = [
                (v, places)
                for each in moves.values()
                for enters, leaves, v, places in each
                if enters <= day < leaves
            ]
            _limit(
                model,
                terms,
                room.places,
                taken=known,
                resource=f"grow room {room.code}",
                day=day,
                unit="places",
                price=PLACE_PRICE,
                varieties=users,
            )
        climates = [climate for climate in moves if climate]
        if len(climates) > 1:
            _climates(model, room.code, room.places, moves, days)


def _climates(
    model: Model,
    room: str,
    places: float,
    moves: dict[str, list[tuple[int, int, int, float]]],
    days: list[int],
) -> None:
    problem, lp = model.problem, model.programme
    inside = [lot for lot in problem.in_rooms if lot.room == room and lot.climate]
    climates = sorted(climate for climate in moves if climate)
    for week in range(1 + problem.days // 7):
        standing = {lot.climate for lot in inside if 7 * week < lot.leaves_day}
        chosen = []
        for climate in climates:
            is_out = len(standing) == 1 and climate not in standing
            column = lp.column(upper=0.0 if is_out else 1.0, whole=model.is_whole(7 * week))
            model.climate[room, climate, week] = column
            chosen.append(column)
        lp.at_most([(column, 1.0) for column in chosen], 1.0)
    for climate in climates:
        checked = sorted({*days, *(7 * week for week in range(1 + problem.days // 7))})
        for day in checked:
            terms = [
                (v, taken) for enters, leaves, v, taken in moves[climate] if enters <= day < leaves
            ]
            if terms:
                lp.at_most([*terms, (model.climate[room, climate, day // 7], -places)], 0.0)


def _vessels(model: Model) -> None:
    """Reusable vessels in circulation: under way, waiting, and fruiting."""
    problem = model.problem
    for vessel in problem.resources.vessels:
        owners = [
            (r, k)
            for r, recipe in enumerate(problem.recipes)
            for k, making in enumerate(recipe.makings)
            if making.vessel == vessel.code
        ]
        days = {t for (r, k, t) in model.x if (r, k) in owners}
        for day in _check_days(model, days):
            terms: list[Term] = []
            known = sum(
                lot.units
                for lot in problem.in_rooms
                if lot.vessel == vessel.code and day < lot.leaves_day
            )
            for r, k in owners:
                recipe = problem.recipes[r]
                making = recipe.makings[k]
                terms += [
                    (model.x[r, k, t], 1.0)
                    for t in making.start_days
                    if (r, k, t) in model.x and t <= day < making.ready(t)
                ]
                known += sum(
                    lot.units
                    for lot in stock_of(problem, recipe, making)
                    if lot.ready_day > max(0, day)
                )
                waiting, _ = _standing(model, r, k, day)
                terms += waiting
                fruiting = recipe.fruiting
                if fruiting is not None and fruiting.parent == making.step:
                    terms += [
                        (v, 1.0)
                        for (owner, _, t), v in model.v.items()
                        if owner == r and t <= day < t + fruiting.days_in_room
                    ]
            _limit(
                model,
                terms,
                vessel.count,
                taken=known,
                resource=f"vessels {vessel.code}",
                day=day,
                unit="vessels",
                price=VESSEL_PRICE,
                varieties=[problem.recipes[r].variety for r, _ in owners],
            )


__all__ = ["INFINITY", "Capacity", "Model", "build_model", "sold", "stock_of", "use_terms"]
