"""From a variety's route to a planning recipe: leads, windows, usable fractions, picking curve.

Durations are means rounded up to whole days. Losses and yields are expected values unless a
:class:`Safety` asks for quantiles. Costs are assumed prices of time and material that only weigh
one plan against another; no page shows them.
"""

from __future__ import annotations

from collections.abc import Mapping
from datetime import timedelta
from math import floor

from pinset.chain.cold_stores import cold_store_of, only_too_cold
from pinset.chain.readiness import lead_days
from pinset.chain.register import FarmBook, RoomKind, Route, Step, StepKind, Variety
from pinset.chain.stages import Stage
from pinset.chain.vessel_keys import mix_words
from pinset.planning.building.calendar import WorkDays, days_before, rhythm
from pinset.planning.building.season_numbers import lead_from, months_of, pick_days_of
from pinset.planning.building.start_days import (
    EVERY_DAY,
    TWICE_FROM_DAYS,
    missed_deliveries,
    start_days,
    with_open_days,
)
from pinset.planning.building.step_numbers import (
    Safety,
    curve_of,
    groups,
    keeps_days,
    litres_of,
    making_code,
    planned_loss,
    stays_of,
)
from pinset.planning.recipes import Arc, Fruiting, Making, PrepTime, Recipe
from pinset.units import Quantity, show

COST_PER_MINUTE = 0.02  # only breaks ties: hours are limited by themselves and paid anyway
COST_PER_KG_FILL = 0.40  # assumed
COST_PER_UNIT = 0.05  # assumed
COST_PER_BATCH = 0.5  # assumed
HOLD_SHARE = 0.004  # of a unit's cost, per night kept: old spawn is worth less
LEAST_SHORT_PER_KG = 25.0  # price of a kilogram short; far above what one costs to make
AFTER_FIRST_PICK_DAYS = 35  # a slow chain is planned this far past its first possible pick
CULTURE_STAGES = frozenset({Stage.TUBE, Stage.PLATE, Stage.LIQUID, Stage.GRAIN})
LATE_DAYS = 3  # a late start may be made up on any of so many working days


def recipe_of(
    book: FarmBook,
    variety: Variety,
    route: Route,
    *,
    work: WorkDays,
    horizon_days: int,
    longest: int,
    turn: int,
    late: frozenset[str],
    safety: Safety,
    keeps_rhythm: bool,
    waits: Mapping[str, int],
) -> tuple[Recipe, tuple[str, ...]]:
    """Return the recipe of one variety, and what of its route could not be planned.

    ``waits`` gives by kind of cook how many days after its load vessels are cool at the soonest.
    """
    remarks: list[str] = []
    fruit = next((step for step in route.steps if step.kind is StepKind.FRUIT), None)
    grouped = groups(route)
    days = horizon_days
    if grouped:
        first, stands = grouped[-1]
        lead = lead_from((first, *stands), work.start)
        picked_from = work.start + timedelta(days=lead)
        pick = lead_days(fruit, since=picked_from) if fruit is not None else 0
        days = min(longest, max(days, lead + pick + AFTER_FIRST_PICK_DAYS))
        if lead + pick >= longest:
            remarks.append(
                f"{variety.name} takes {lead + pick} days from its last transfer to the first "
                f"pick; the plan looks {longest} days ahead."
            )
    makings: list[Making] = []
    cost: dict[str, float] = {}
    for place, (first, stands) in enumerate(grouped):
        making = _making(
            book,
            variety,
            route,
            first,
            stands,
            earlier=tuple(makings),
            has_children=any(
                making_code(route, parent.step) == first.code
                for later, _ in grouped[place + 1 :]
                for parent in later.parents
            ),
            cost=cost,
            work=work,
            days=days,
            turn=turn,
            is_late=first.code in late,
            safety=safety,
            keeps_rhythm=keeps_rhythm,
            waits=waits,
            remarks=remarks,
        )
        makings.append(making)
    fruiting = None
    if fruit is not None and makings:
        fruiting = _fruiting(
            book, variety, fruit, makings[-1], work, days, turn, safety, keeps_rhythm, remarks
        )
    short = LEAST_SHORT_PER_KG
    if fruiting is not None and fruiting.grams > 0:
        short = max(short, 4.0 * cost[fruiting.parent] / (fruiting.grams / 1000.0))
    return Recipe(
        variety=variety.code,
        name=variety.name,
        days=days,
        makings=tuple(makings),
        fruiting=fruiting,
        picked_keeps_days=max(0, floor(variety.picked_keeps_days)),
        short_cost_per_kg=short,
    ), tuple(remarks)


def _arcs(
    variety: Variety,
    route: Route,
    step: Step,
    earlier: tuple[Making, ...],
    remarks: list[str],
) -> tuple[Arc, ...]:
    made = {making.step for making in earlier}
    arcs = []
    for parent in step.parents:
        code = making_code(route, parent.step)
        if code in made and code is not None and parent.units_per_parent > 0:
            arcs.append(Arc(code, parent.units_per_parent, parent.part_use))
        elif parent.step == step.code:
            remarks.append(
                f"{variety.name}: {step.code} from {step.code} is not planned ahead; give the "
                "second pass a step of its own in the route, or record it when it is done."
            )
        else:
            remarks.append(
                f"{variety.name}: step {step.code} names {parent.step} as its parent, which is "
                "not an earlier step that makes units; that way of starting it is left out."
            )
    return tuple(arcs)


def _making(
    book: FarmBook,
    variety: Variety,
    route: Route,
    step: Step,
    stands: tuple[Step, ...],
    *,
    earlier: tuple[Making, ...],
    has_children: bool,
    cost: dict[str, float],
    work: WorkDays,
    days: int,
    turn: int,
    is_late: bool,
    safety: Safety,
    keeps_rhythm: bool,
    waits: Mapping[str, int],
    remarks: list[str],
) -> Making:
    arcs = _arcs(variety, route, step, earlier, remarks)
    all_steps = (step, *stands)
    last = all_steps[-1]
    lead = sum(lead_days(each) for each in all_steps)
    usable = 1.0
    for each in all_steps:
        usable *= 1.0 - planned_loss(each, safety)
    is_purchase = step.kind is StepKind.BUY
    window = keeps_days(book, last) + 1

    def lead_on(day: int) -> int:
        return lead_from(all_steps, work.start + timedelta(days=day))

    starts, ready = start_days(
        book, step, arcs, earlier, work, days, turn, keeps_rhythm=keeps_rhythm, lead=lead_on
    )
    if is_late and not is_purchase:
        soon = work.every(work.days)[:LATE_DAYS]
        starts = tuple(sorted({*starts, *soon}))
    why_not = _cannot_start(book, variety, step, arcs)
    if why_not:
        remarks.append(why_not)
        starts, ready = (), ()
    cook_lead = max((days_before(p) for p in step.preparations if p.task == "cook"), default=1)
    cook_hours = max((p.lead_hours for p in step.preparations if p.task == "cook"), default=0.0)
    later = max(0, waits.get(step.cook, 0) - cook_lead)  # the clock asks for more than the route
    preparations = tuple(
        PrepTime(
            days_before(each) + (later if each.lead_hours > cook_hours else 0),
            each.minutes_per_unit,
            each.minutes_fixed,
            cook_hours < each.lead_hours and days_before(each) == cook_lead,
        )
        for each in step.preparations
        if each.task != "cook"
    )
    minutes = (
        step.bench_minutes + step.hands_minutes + sum(p.minutes_per_unit for p in preparations)
    )
    fixed = step.bench_setup_minutes + sum(p.minutes_fixed for p in preparations)
    unit_cost = COST_PER_UNIT + COST_PER_MINUTE * minutes
    unit_cost += step.price_cents / 100.0 if is_purchase else COST_PER_KG_FILL * step.fill_g / 1000
    batch_cost = COST_PER_BATCH + COST_PER_MINUTE * fixed
    parent_cost = min((cost[arc.parent] / arc.units_per_parent for arc in arcs), default=0.0)
    cost[step.code] = (unit_cost + batch_cost / 20.0 + parent_cost) / max(usable, 0.05)
    vessel = next((each for each in book.vessels if each.code == step.vessel), None)
    return Making(
        step=step.code,
        stage=step.stage,
        lead_days=lead,
        window_days=window,
        usable=usable,
        start_days=starts,
        open_days=() if is_purchase or step.weekdays or not starts else work.every(days),
        ready_days=ready,
        missed=missed_deliveries(step, work, days, lead_on) if is_purchase else (),
        arcs=arcs,
        is_purchase=is_purchase,
        minimum_batch=max(1, step.minimum_batch),
        unit_cost=unit_cost,
        batch_cost=batch_cost,
        hold_cost=HOLD_SHARE * cost[step.code],
        short_cost=max(10.0, 4.0 * cost[step.code]),
        bench_minutes=step.bench_minutes,
        bench_setup_minutes=step.bench_setup_minutes,
        hands_minutes=step.hands_minutes,
        preparations=preparations,
        cook="" if is_purchase else step.cook,
        litres=litres_of(book, step),
        mix=mix_words(step),
        cook_days_before=cook_lead + later,
        vessel=step.vessel if vessel is not None and vessel.in_circulation is not None else "",
        stays=() if is_purchase else stays_of(book, all_steps),
        waits_in=_waits_in(book, last),
        waits_places=last.places,
        culture_stock=(
            1.0 if has_children and not is_purchase and step.stage in CULTURE_STAGES else 0.0
        ),
        months=() if is_purchase else months_of(book, all_steps, work.start, days),
    )


def _waits_in(book: FarmBook, last: Step) -> RoomKind:
    """Return where usable units wait: a cold store that is not too cold for them, if there is one.

    What the route would keep cold stands in an incubation room where every cold store kills it.
    """
    if cold_store_of(book, last) is not None:
        return RoomKind.COLD
    is_kept_out = last.room is RoomKind.COLD and only_too_cold(book, last) is not None
    return RoomKind.INCUBATION if is_kept_out else last.room


def _cannot_start(book: FarmBook, variety: Variety, step: Step, arcs: tuple[Arc, ...]) -> str:
    if step.kind is StepKind.BUY or arcs:
        return ""
    if step.parents:
        return f"{variety.name}: {step.code} has no parent it could be started from."
    own = [culture for culture in book.cultures if culture.variety == variety.code]
    if not own and book.cultures:
        return f"{variety.name} has no culture, so no new {step.code} can be started."
    if own and not any(culture.cleared for culture in own):
        return f"No culture of {variety.name} is cleared for use, so no {step.code} is started."
    return ""


def _fruiting(
    book: FarmBook,
    variety: Variety,
    step: Step,
    parent: Making,
    work: WorkDays,
    days: int,
    turn: int,
    safety: Safety,
    keeps_rhythm: bool,  # noqa: FBT001  (passed through)
    remarks: list[str],
) -> Fruiting:
    curve = curve_of(step, variety, safety)
    rooms = tuple(
        room.code
        for room in book.rooms
        if room.kind is RoomKind.GROWING
        and (not step.climate or not room.climates or step.climate in room.climates)
    )
    if not rooms:
        remarks.append(
            f"No grow room gives the climate {step.climate!r} that {variety.name} needs, "
            "so none of it can be moved in."
        )
    if not curve:
        remarks.append(f"{variety.name} has no yield in its route, so no picking is planned.")
    if keeps_rhythm or step.weekdays:
        times = 2 if parent.window_days >= TWICE_FROM_DAYS else EVERY_DAY
        regular = work.on_weekdays(rhythm(step.weekdays, book.farm, turn + 1, times=times), days)
        moves = with_open_days(step, regular, work)
    else:
        moves = work.every(days)
    pick_days = pick_days_of(step, variety, work.start, days) if curve else ()
    in_room = max((picking.day for picking in curve), default=lead_days(step)) + 1
    longest = max((each[-1] + 1 for each in pick_days), default=in_room)
    ahead = days + longest if variety.season else 0
    return Fruiting(
        step=step.code,
        parent=parent.step,
        move_days=moves,
        days_in_room=in_room,
        curve=curve,
        rooms=rooms,
        climate=step.climate,
        climate_words=_climate_in_words(step, book.farm.units),
        places=step.places,
        hands_minutes=step.hands_minutes,
        pick_minutes_per_kg=step.pick_minutes_per_kg,
        open_days=() if step.weekdays else work.every(days),
        season=tuple(variety.season_on(work.start + timedelta(days=day)) for day in range(ahead)),
        pick_days=pick_days,
    )


def _climate_in_words(step: Step, units: str) -> str:
    """Return the climate of a step with its temperature: ``cool (16 °C)``."""
    if not step.climate:
        return ""
    return f"{step.climate} ({show(Quantity.TEMPERATURE, step.temperature_c, units)})"
