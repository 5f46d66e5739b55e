"""From living lots to stock the planner can use."""

from __future__ import annotations

from collections.abc import Collection, Iterable
from dataclasses import replace
from datetime import date, timedelta
from math import floor

from pinset.chain.bearing import fruits
from pinset.chain.cold_stores import cold_store_of, store_for
from pinset.chain.keeping import is_too_cold, keeping_days
from pinset.chain.living import LivingLot
from pinset.chain.readiness import keeps_until, lead_days, life_left, ready_on
from pinset.chain.register import FarmBook, Step
from pinset.chain.seen_contaminated import against_part
from pinset.chain.stages import FRUITING_STAGES, Stage
from pinset.planning.building.cold_places import with_places
from pinset.planning.building.step_numbers import (
    Safety,
    groups,
    making_code,
    planned_loss,
    stays_of,
)
from pinset.planning.problem import Stock
from pinset.planning.recipes import Making, Recipe, Stay
from pinset.planning.resources import ColdKeeping


def stock_of(
    book: FarmBook,
    recipes: tuple[Recipe, ...],
    living: Iterable[LivingLot],
    today: date,
    safety: Safety,
    not_carried: Collection[str] = (),
) -> tuple[tuple[Stock, ...], tuple[str, ...]]:
    """Return what of the living lots is or will be usable, and what is not, in words.

    Lots that are ``not_carried`` into the cold store keep as long as where they stand.
    """
    by_variety = {recipe.variety: recipe for recipe in recipes}
    found: list[Stock] = []
    remarks: list[str] = []
    parts, said = with_places(book, tuple(living), today, not_carried)
    for lot, is_left_out in parts:
        recipe = by_variety.get(lot.variety)
        if lot.stage is Stage.PREPARED or recipe is None or fruits(lot):
            continue
        made = making_code(lot.route, lot.step)
        if made is None or recipe.making(made) is None:
            remarks.append(
                f"Lot {lot.code} is at step {lot.step}, which the route of {recipe.name} no longer "
                "has; it is left out of the plan."
            )
            continue
        why_not = _not_offered(book, lot)
        if why_not:
            remarks.append(why_not)
            continue
        found += _stock_of_lot(book, lot, made, today, safety, is_left_out=is_left_out)
    late = [stock for stock in found if stock.last_day < max(0, stock.ready_day)]
    remarks += [
        f"Lot {stock.lot} is past its time ({floor(stock.units)} units) and left out of the plan."
        for stock in late
    ]
    usable = [stock for stock in found if stock.last_day >= max(0, stock.ready_day)]
    return tuple(first_out_first(usable, recipes)), (*remarks, *said)


def first_out_first(stock: Iterable[Stock], recipes: tuple[Recipe, ...]) -> list[Stock]:
    """Return the stock with no lot kept longer than one that becomes usable after it.

    The model's age rows are exact for oldest-first use only then; a lot that would keep longer than
    a later one is given the later one's last day, which is on the safe side.
    """
    kept: list[Stock] = []
    pool = list(stock)
    for each in pool:
        last = each.last_day
        for other in pool:
            same = (other.variety, other.step) == (each.variety, each.step)
            if same and other.ready_day > max(0, each.ready_day):
                last = min(last, max(other.last_day, each.ready_day, 0))
        recipe = next(r for r in recipes if r.variety == each.variety)
        making = recipe.making(each.step)
        if making is not None and making.start_days:
            first = making.ready(making.start_days[0])
            if first > max(0, each.ready_day):
                last = min(last, first + making.window_days - 1)
        kept.append(
            replace(
                each,
                last_day=last,
                cold=_not_past(each, last, pool, making),
                keeps_day=each.last_day,
            )
        )
    return kept


def _not_past(
    stock: Stock, last: int, pool: Iterable[Stock], making: Making | None
) -> ColdKeeping | None:
    """Return the cold keeping of a lot, no longer than what becomes usable after it keeps."""
    if stock.cold is None:
        return None
    ready = max(0, stock.ready_day)
    ends = [
        max(other.last_day, ready)
        for other in pool
        if (other.variety, other.step) == (stock.variety, stock.step) and other.ready_day > ready
    ]
    if making is not None and making.start_days:
        ends.append(making.ready(making.start_days[0]) + making.window_days - 1)
    until = min([stock.cold.last_day, *ends])
    return replace(stock.cold, last_day=until) if until > last else None


def _not_offered(book: FarmBook, lot: LivingLot) -> str:
    if lot.contaminated:
        them = "it" if lot.alive == 1 else "them"
        return f"{against_part(lot)}, so the plan does not use {them}."
    if lot.held:
        return f"Lot {lot.code} is held back ({lot.held}), so the plan does not use it."
    culture = next((each for each in book.cultures if each.code == lot.culture), None)
    if culture is not None and not culture.cleared:
        return f"Lot {lot.code} is of culture {culture.code}, which is not cleared for use."
    if is_too_cold(lot.now_step(), lot.temperature_c):
        return (
            f"Lot {lot.code} stands at {lot.temperature_c:g} °C, which is too cold for it, so the "
            "plan does not count on it."
        )
    if lot.generation > lot.route.generation_limit:
        return (
            f"Lot {lot.code} is grain generation {lot.generation}; the route allows "
            f"{lot.route.generation_limit}, so the plan does not use it."
        )
    return ""


def _stock_of_lot(
    book: FarmBook,
    lot: LivingLot,
    made: str,
    today: date,
    safety: Safety,
    *,
    is_left_out: bool = False,
) -> list[Stock]:
    steps = next((first, *stands) for first, stands in groups(lot.route) if first.code == made)
    place = [step.code for step in steps].index(lot.step)
    current, later = steps[place], steps[place + 1 :]
    since = (lot.step_since - today).days
    ends = (ready_on(lot).p50 - today).days
    ready = ends
    if later:
        ready = max(ends, 0)
        for step in later:
            ready += lead_days(step, since=today + timedelta(days=ready))
    remaining = 1.0
    if ends > 0:
        share = min(1.0, max(0.0, ends / max(1, ends - since)))
        remaining -= planned_loss(current, safety) * share
    for step in later:
        remaining *= 1.0 - planned_loss(step, safety)
    units = lot.alive * remaining
    last_step = steps[-1]
    last = _last_day(book, lot, last_step, ready, today, is_left_out=is_left_out)
    if later and (over := _over(lot, current, ends)) < 0:
        last = over  # what stood too long before it ripens does not become young by ripening
    stays: tuple[Stay, ...] = ()
    if ready > 0:
        stays = _stays(book, current, later, max(ends, 0), ready, today)
    stock = Stock(
        lot=lot.code,
        variety=lot.variety,
        step=made,
        units=units,
        ready_day=ready,
        last_day=last,
        stays=stays,
        made_day=(lot.made_on - today).days,
        alive=float(lot.alive),
        cold=None if is_left_out else _cold_keeping(book, lot, last_step, ready, last, today),
        place=lot.place,
        is_first=lot.use_by is not None,
    )
    if lot.opened_on is None or current.opened_keeps_days is None or ready > 0:
        return [stock]
    opened_last = min(last, (lot.opened_on - today).days + floor(current.opened_keeps_days))
    return [replace(stock, last_day=opened_last)]


def _stays(
    book: FarmBook, current: Step, later: tuple[Step, ...], ends: int, ready: int, today: date
) -> tuple[Stay, ...]:
    here = (Stay(current.code, current.room, current.places, 0, ends),) if ends > 0 else ()
    after = tuple(
        replace(stay, is_move=True, until_day=min(stay.until_day, ready))
        for stay in stays_of(book, later, ends, begins_on=today + timedelta(days=ends))
    )
    return (*here, *after)


def _over(lot: LivingLot, step: Step, ends: int) -> int:
    """Return the last day on which a lot may go on; today where the route does not end it."""
    keeps = floor(keeping_days(step, lot.temperature_c))
    return ends + keeps if keeps > 0 else 0


def _cold_keeping(
    book: FarmBook, lot: LivingLot, step: Step, ready: int, last: int, today: date
) -> ColdKeeping | None:
    """Return how long blocks would keep in a cold store from when they are ready, if longer.

    Of a lot that has stood ready in the warm, only the share of its life that is left goes along.
    """
    store = store_for(book, step) if step.stage in FRUITING_STAGES else None
    if store is None or lot.room == store.code or lot.opened_on is not None:
        return None
    left = life_left(lot, today) if step.code == lot.step else 1.0
    until = max(ready, 0) + floor(left * keeping_days(step, store.temperature_c))
    return ColdKeeping(store.code, until, step.places) if until > last else None


def _last_day(
    book: FarmBook, lot: LivingLot, step: Step, ready: int, today: date, *, is_left_out: bool
) -> int:
    """Return the last usable day; spawn standing warm is taken to go into the cold once ready.

    Of a lot that has stood ready in the warm, only the share of its life that is left goes along.
    What finds no place there keeps as long as where it stands.
    """
    is_now = step.code == lot.step
    here = keeping_days(step, lot.temperature_c if is_now else step.temperature_c)
    cold = cold_store_of(book, step)
    there = keeping_days(step, cold.temperature_c) if cold is not None else 0.0
    stays = keeps_until(replace(lot, opened_on=None)) if is_now else None
    last = ready + floor(here) if stays is None else (stays - today).days
    if there <= here or is_left_out:
        return last
    left = life_left(lot, today) if is_now else 1.0
    return max(ready, 0) + floor(left * there) if left > 0.0 else last
