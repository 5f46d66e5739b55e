"""Pins of the book on the recipes: days opened and closed by hand, and what cannot be asked at all.

A pin of none closes its day. A pin of some opens it, whatever the rhythm; the model then keeps to
the number at a very high price. What no plan could do (a day off, a supplier who does not deliver)
is not asked of the model: it is said.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from datetime import date

from pinset.chain.living import LivingLot
from pinset.chain.pins import Pin
from pinset.planning.building.calendar import WorkDays
from pinset.planning.problem import Pinned
from pinset.planning.reading.explain import day_in_words, units_for
from pinset.planning.recipes import Fruiting, Making, Recipe


def with_pins(
    recipes: Iterable[Recipe],
    pins: Iterable[Pin],
    living: Iterable[LivingLot],
    work: WorkDays,
) -> tuple[list[Recipe], tuple[Pinned, ...]]:
    """Return the recipes with days opened and closed, and every pin of today or later.

    What was started or moved today already counts towards a pin of today.
    """
    found = {recipe.variety: recipe for recipe in recipes}
    standing = tuple(living)
    asked: dict[tuple[str, str, int], Pinned] = {}
    refused: list[Pinned] = []
    cooks: list[Pinned] = []
    for pin in sorted(pins, key=lambda each: each.day):
        day = (pin.day - work.start).days
        if day < 0:
            continue
        if pin.steriliser:
            cooks.append(
                Pinned(pin.code, "", "", pin.step, day, float(pin.count), steriliser=pin.steriliser)
            )
            continue
        recipe = found.get(pin.variety)
        name = recipe.name if recipe is not None else pin.variety
        pinned = Pinned(pin.code, pin.variety, name, pin.step, day, float(pin.count))
        why = _why_not(recipe, pinned, work)
        key = (pin.variety, pin.step, day)
        before = asked.get(key)
        if before is not None and before.count != pinned.count:
            why = (
                f"{said(recipe, before, work)} and {_number(pinned.count)} are pinned: "
                "the first is kept; take one of the two off"
            )
        if why or recipe is None or before is not None:
            refused.append(replace(pinned, refused=f"{why}." if why else "It is pinned twice."))
            continue
        done = _done_today(standing, pinned, work.start)
        asked[key] = replace(pinned, count=max(0.0, pinned.count - done), done=done)
        found[pin.variety] = _on_its_day(recipe, asked[key])
    return list(found.values()), (*asked.values(), *cooks, *refused)


def said(recipe: Recipe | None, pinned: Pinned, work: WorkDays) -> str:
    """Return a pin in words: ``12 blocks of Shiitake on 3 March``."""
    when = day_in_words(work.date_of(pinned.day))
    making = making_of(recipe, pinned) if recipe is not None else None
    count = round(pinned.count)
    what = units_for(making, count) if making is not None else f"{count} of {pinned.step}"
    return f"{what} of {pinned.name} on {when}"


def making_of(recipe: Recipe, pinned: Pinned) -> Making | None:
    """Return the making whose units a pin counts; of a move, those that are moved."""
    fruiting = recipe.fruiting
    is_move = fruiting is not None and fruiting.step == pinned.step
    return recipe.making(fruiting.parent if fruiting is not None and is_move else pinned.step)


def _number(count: float) -> str:
    return str(round(count)) if count else "none"


def _why_not(recipe: Recipe | None, pinned: Pinned, work: WorkDays) -> str:
    """Return why a pin cannot be asked of any plan; nothing if it can."""
    if recipe is None or making_of(recipe, pinned) is None:
        return f"{pinned.name} has no step {pinned.step} that is planned"
    what = said(recipe, pinned, work)
    if pinned.day >= recipe.days:
        last = day_in_words(work.date_of(recipe.days - 1))
        return f"{what} are further ahead than the plan looks, which is to {last}"
    if not pinned.count:
        return ""
    if not work.working[pinned.day]:
        return f"{what} cannot be: nobody works on that day"
    return _why_no_way(recipe, pinned, what)


def _why_no_way(recipe: Recipe, pinned: Pinned, what: str) -> str:
    fruiting, making = recipe.fruiting, recipe.making(pinned.step)
    if fruiting is not None and fruiting.step == pinned.step:
        return "" if fruiting.move_days else f"{what} cannot be moved: no grow room is for them"
    if making is None or not making.start_days:
        return f"{what} cannot be started: there is nothing they could be started from"
    if making.is_purchase and pinned.day not in making.start_days:
        return f"{what} cannot be ordered: an order of that day reaches no delivery"
    return ""


def _done_today(living: Iterable[LivingLot], pinned: Pinned, today: date) -> float:
    if pinned.day > 0:
        return 0.0
    return float(
        sum(
            lot.alive
            for lot in living
            if (lot.variety, lot.step) == (pinned.variety, pinned.step) and lot.step_since == today
        )
    )


def _on_its_day(recipe: Recipe, pinned: Pinned) -> Recipe:
    fruiting = recipe.fruiting
    if fruiting is not None and fruiting.step == pinned.step:
        return replace(recipe, fruiting=_move_day(fruiting, pinned))
    return replace(
        recipe,
        makings=tuple(
            _start_day(making, pinned) if making.step == pinned.step else making
            for making in recipe.makings
        ),
    )


def _move_day(fruiting: Fruiting, pinned: Pinned) -> Fruiting:
    return replace(
        fruiting,
        move_days=_days(fruiting.move_days, pinned),
        open_days=_less(fruiting.open_days, pinned),
    )


def _start_day(making: Making, pinned: Pinned) -> Making:
    if making.ready_days:  # bought: the day of an order has its own delivery
        kept = [
            (day, ready)
            for day, ready in zip(making.start_days, making.ready_days, strict=True)
            if pinned.count or day != pinned.day
        ]
        return replace(
            making,
            start_days=tuple(day for day, _ in kept),
            ready_days=tuple(ready for _, ready in kept),
        )
    return replace(
        making,
        start_days=_days(making.start_days, pinned),
        open_days=_less(making.open_days, pinned),
    )


def _days(days: tuple[int, ...], pinned: Pinned) -> tuple[int, ...]:
    if pinned.count:
        return tuple(sorted({*days, pinned.day}))
    return _less(days, pinned)


def _less(days: tuple[int, ...], pinned: Pinned) -> tuple[int, ...]:
    return days if pinned.count else tuple(day for day in days if day != pinned.day)
