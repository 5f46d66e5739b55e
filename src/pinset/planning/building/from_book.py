"""From the farm's own records to a planning problem. Pure: no clock, no database."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass, replace
from datetime import date, timedelta
from math import floor

from pinset.chain.day_hours import clock_minute, hours_count
from pinset.chain.due import due_days
from pinset.chain.living import LivingLot
from pinset.chain.register import FarmBook, Promise, Route, StepKind, Variety
from pinset.chain.who_is_here import here_on, is_somebody_here
from pinset.errors import InputError
from pinset.planning.building.calendar import WorkDays
from pinset.planning.building.cold_places import places_for_blocks
from pinset.planning.building.from_resources import reckon_resources
from pinset.planning.building.from_rooms import rooms_of
from pinset.planning.building.from_route import recipe_of
from pinset.planning.building.from_stock import stock_of
from pinset.planning.building.owed import Owed, orders_owed
from pinset.planning.building.places_by_day import occupied_while_out
from pinset.planning.building.step_numbers import DEFAULT_SAFETY, Safety
from pinset.planning.building.taken import Taken, without_taken
from pinset.planning.model.cook_times import cooks_ready, days_waited
from pinset.planning.model.pins import with_pins
from pinset.planning.problem import InStore, Order, Problem, Stock
from pinset.planning.recipes import Recipe
from pinset.planning.resources import Begun

LONGEST_HORIZON = 300  # days; a slower chain is planned this far and no further
LEAST_HORIZON = 14
WHOLE_DAYS = 21  # days planned in whole units, unless told otherwise
PICKED_AND_PACKED_MINUTES = 120  # after work begins; common practice, no source
CATCH_DAYS = 28  # lots ready within so many days get a day to be used, whatever the rhythm


@dataclass(frozen=True, slots=True)
class Delivered:
    """What was already handed over of a promise due on a day (grams or units)."""

    promise: str
    day: date
    amount: float


@dataclass(frozen=True, slots=True)
class Picked:
    """Picked mushrooms standing in the cold store."""

    variety: str
    picked_on: date
    grams: float


def build_problem(
    book: FarmBook,
    living: tuple[LivingLot, ...],
    today: date,
    *,
    horizon_days: int = 112,
    whole_days: int = WHOLE_DAYS,
    delivered: Iterable[Delivered] = (),
    owed: Iterable[Owed] = (),
    store: Iterable[Picked] = (),
    late: Iterable[tuple[str, str]] = (),
    begun: Iterable[Begun] = (),
    since_hours: float = 0.0,
    not_before: Mapping[str, date] | None = None,
    not_carried: Collection[str] = (),
    taken: Iterable[Taken] = (),
    safety: Safety = DEFAULT_SAFETY,
    keeps_rhythm: bool = True,
    assume_prepared: bool = True,
) -> tuple[Problem, tuple[str, ...]]:
    """Return the planning problem of a farm as it stands today, and what could not be planned.

    Parameters
    ----------
    book : FarmBook
        The farm, its routes and its promises.
    living : tuple of LivingLot
        Everything alive; lots held back take up places but are not offered.
    today : date
        Day 0.
    horizon_days, whole_days : int
        How far to plan, and for how many days in whole units. A variety whose chain is longer than
        the horizon is planned further. [d]
    delivered, store : iterable
        What was handed over today or ahead, and picked mushrooms in the cold store.
    owed : iterable of Owed
        What was missed on earlier days and is handed over first today.
    late : iterable of (variety, step)
        Starts that should have happened already: any of the next working days will do for them.
    begun : iterable of Begun
        Vessels whose preparation (grain in the soak) was begun and that are not cooked; others wait
        until there is time for it.
    since_hours : float
        Hour of today from which work can begin. [h]
    not_before : mapping of lot code to date, optional
        Prepared vessels that are still in their steriliser or warm, and when they may be used.
    not_carried : collection of str
        Lots that somebody will not have carried into the cold store.
    taken : iterable of Taken
        Minutes that work beside the plan takes of its days: upkeep, the cold shelf.
    safety : Safety
        Which quantiles of losses and yields to plan with; expected values by default.
    keeps_rhythm : bool
        Give steps without weekdays two fixed ones; False leaves every working day open.
    assume_prepared : bool
        Where no prepared vessels are counted, take those of the first starts (too soon for a cook)
        as ready; those starts say so. False: they wait for the first cooks.

    Returns
    -------
    Problem
        What the solver takes.
    tuple of str
        What could not be planned, in words.

    Raises
    ------
    InputError
        If the horizon or the whole days are out of range.
    """
    if not LEAST_HORIZON <= horizon_days <= LONGEST_HORIZON:
        raise InputError("horizon_days", horizon_days, f"{LEAST_HORIZON} to {LONGEST_HORIZON} days")
    if not 0 <= whole_days <= horizon_days:
        raise InputError("whole_days", whole_days, f"0 to {horizon_days} days")
    book = without_days_alone(staffed(book), today)
    living = tuple(lot for lot in living if lot.alive > 0)
    remarks: list[str] = []
    routed = tuple(_routed(book, remarks))
    work = WorkDays.of(book.farm, today, LONGEST_HORIZON)
    ready = cooks_ready(book, work)
    waits = days_waited(ready)
    recipes: list[Recipe] = []
    for turn, (variety, route) in enumerate(routed):
        recipe, said = recipe_of(
            book,
            variety,
            route,
            work=work,
            horizon_days=horizon_days,
            longest=LONGEST_HORIZON,
            turn=turn,
            late=frozenset(step for name, step in late if name == variety.code),
            safety=safety,
            keeps_rhythm=keeps_rhythm,
            waits=waits,
        )
        recipes.append(recipe)
        remarks += said
    stock, said = stock_of(book, tuple(recipes), living, today, safety, not_carried)
    remarks += said
    recipes = [_with_days_for_stock(recipe, stock, work) for recipe in recipes]
    recipes, pins = with_pins(recipes, book.pins, living, work)
    days = max((recipe.days for recipe in recipes), default=horizon_days)
    in_rooms, said = rooms_of(book, living, today, safety)
    remarks += said
    first = orders_owed(book, {each.variety: each for each in recipes}, owed, _sold_step)
    coming = _orders(book, recipes, today, horizon_days, delivered, remarks, since_hours)
    orders = (*first, *coming)
    resources, said = reckon_resources(
        book,
        living,
        tuple(recipes),
        work,
        days,
        ready=ready,
        not_before=not_before or {},
        assume_prepared=assume_prepared,
        begun=begun,
        since_hours=since_hours,
    )
    remarks += said
    remarks += occupied_while_out(book, living, today, days)
    cold = places_for_blocks(book, living, today, not_carried)
    resources = without_taken(replace(resources, cold=cold), taken)
    problem = Problem(
        start=today,
        days=days,
        whole_days=whole_days,
        recipes=tuple(recipes),
        orders=orders,
        stock=stock,
        in_rooms=in_rooms,
        store=tuple(_store(book, store, today)),
        pins=pins,
        resources=resources,
        units=book.farm.units,
    )
    return problem, tuple(dict.fromkeys(remarks))


def staffed(book: FarmBook) -> FarmBook:
    """Return the book with only those working days on which somebody is here.

    A weekly rhythm must not fall on days when the farm is open and nobody comes.
    """
    days = book.farm.working_days
    here = tuple(
        day
        for day in days
        if any(hours_count(worker.hours[day.number]) > 0 for worker in book.workers)
    )
    if not here or here == days:
        return book
    return replace(book, farm=replace(book.farm, working_days=here))


def without_days_alone(book: FarmBook, today: date) -> FarmBook:
    """Return the book with the days on which everybody is away as days off."""
    if not book.workers or not book.outages:
        return book
    dates = [today + timedelta(days=day) for day in range(LONGEST_HORIZON)]
    alone = {
        day
        for day in dates
        if any(each.covers(day) for each in book.outages) and not is_somebody_here(book, day)
    }
    farm = replace(book.farm, days_off=tuple(sorted({*book.farm.days_off, *alone})))
    return replace(book, farm=farm)


def _routed(book: FarmBook, remarks: list[str]) -> Iterable[tuple[Variety, Route]]:
    routes = {route.code: route for route in book.routes}
    for variety in book.varieties:
        route = routes.get(variety.route)
        if route is None or not route.steps:
            remarks.append(f"{variety.name} has no route, so nothing is planned for it.")
        else:
            yield variety, route


def _orders(
    book: FarmBook,
    recipes: list[Recipe],
    today: date,
    horizon_days: int,
    delivered: Iterable[Delivered],
    remarks: list[str],
    since_hours: float,
) -> Iterable[Order]:
    gone: dict[tuple[str, date], float] = {}
    for each in delivered:
        gone[each.promise, each.day] = gone.get((each.promise, each.day), 0.0) + each.amount
    by_variety = {recipe.variety: recipe for recipe in recipes}
    known = {variety.code for variety in book.varieties}
    buyers = {buyer.code: buyer.name for buyer in book.buyers}
    for promise in sorted(book.promises, key=lambda each: clock_minute(_hour(book, each))):
        recipe = by_variety.get(promise.variety)
        if promise.variety not in known:
            remarks.append(
                f"Promise {promise.code} is for {promise.variety}, which the farm does not grow."
            )
        step = promise.step
        if promise.measure == "unit" and recipe is not None:
            step = _sold_step(recipe, book, promise.step)
            if recipe.making(step) is None:
                remarks.append(
                    f"Promise {promise.code} is for {promise.step} of {recipe.name}, "
                    "which its route does not make."
                )
        days = recipe.days if recipe is not None else horizon_days
        is_gone = (
            promise.measure == "gram" and clock_minute(_hour(book, promise)) < 60 * since_hours
        )
        for due in due_days(promise, today, today + timedelta(days=days - 1)):
            left = promise.amount - gone.get((promise.code, due), 0.0)
            before = int((due == today and is_gone) or _is_early(book, promise, due))
            if left > 0:
                yield Order(
                    promise=promise.code,
                    words=buyers.get(promise.buyer, promise.buyer),
                    variety=promise.variety,
                    day=(due - today).days - before,
                    amount=float(left),
                    measure=promise.measure,
                    step="picked" if promise.measure == "gram" else step,
                    promised=float(promise.amount),
                    due_after=before,
                )


def _is_early(book: FarmBook, promise: Promise, day: date) -> bool:
    """Say whether a weight is handed over too early for that day's picks to be in it."""
    return promise.measure == "gram" and is_early_hour(book, _hour(book, promise), day)


def _hour(book: FarmBook, promise: Promise) -> str:
    """Return the clock time at which it is handed over."""
    buyer = next((each for each in book.buyers if each.code == promise.buyer), None)
    return (buyer.deliver_at if buyer else "") or book.farm.van_at


def is_early_hour(book: FarmBook, hour: str, day: date) -> bool:
    """Say whether a clock time is too early for that day's picks to be packed by then.

    They are picked and packed from when the first person comes.
    """
    return clock_minute(hour) < here_on(book, day).begins + PICKED_AND_PACKED_MINUTES


def _sold_step(recipe: Recipe, book: FarmBook, step: str) -> str:
    """Return the making whose units are sold under a step code (a ripening step is its block)."""
    if recipe.making(step) is not None:
        return step
    variety = next(v for v in book.varieties if v.code == recipe.variety)
    route = next(r for r in book.routes if r.code == variety.route)
    making = step
    for each in route.steps:
        if each.kind in {StepKind.TRANSFER, StepKind.BUY}:
            making = each.code
        if each.code == step:
            return making
    return step


def _store(book: FarmBook, store: Iterable[Picked], today: date) -> Iterable[InStore]:
    keeps: Mapping[str, float] = {v.code: v.picked_keeps_days for v in book.varieties}
    for each in store:
        last = (each.picked_on - today).days + floor(keeps.get(each.variety, 0.0))
        if last >= 0 and each.grams > 0:
            yield InStore(each.variety, each.grams, last)


def _with_days_for_stock(recipe: Recipe, stock: tuple[Stock, ...], work: WorkDays) -> Recipe:
    """Return the recipe with a day to use each living lot that no fixed weekday would catch."""
    makings = recipe.makings
    fruiting = recipe.fruiting
    for lot in stock:
        if lot.variety != recipe.variety or lot.ready_day > CATCH_DAYS:
            continue
        first = max(0, lot.ready_day)
        makings = tuple(
            replace(making, start_days=_catch(making.start_days, first, lot.last_day, work))
            if making.start_days
            and not making.ready_days
            and any(arc.parent == lot.step for arc in making.arcs)
            else making
            for making in makings
        )
        if fruiting is not None and fruiting.parent == lot.step:
            fruiting = replace(
                fruiting, move_days=_catch(fruiting.move_days, first, lot.last_day, work)
            )
    return replace(recipe, makings=makings, fruiting=fruiting)


def _catch(days: tuple[int, ...], first: int, last: int, work: WorkDays) -> tuple[int, ...]:
    if any(first <= day <= last for day in days):
        return days
    day = work.on_or_before(last)
    return days if day is None or day < first else tuple(sorted({*days, day}))
