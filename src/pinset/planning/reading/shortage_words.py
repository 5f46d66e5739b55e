"""What is said of a shortage, promise by promise."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping
from datetime import date

from pinset.planning.model.columns import Model
from pinset.planning.model.reach import Causes
from pinset.planning.plan import Short
from pinset.planning.problem import Order
from pinset.planning.reading.biology import why_unavoidable
from pinset.planning.reading.closed_days import words_of
from pinset.planning.reading.early_hours import could_come_along
from pinset.planning.reading.explain import day_in_words, orders_of, units_for, weight_in_words
from pinset.planning.reading.lacking_words import lacking_of
from pinset.planning.reading.pegging import Key
from pinset.planning.reading.room_climates import RoomClimates
from pinset.planning.reading.short_reason import Reason, ShortReason
from pinset.planning.reading.shortfall import Lack, Shortfall, is_worth_saying
from pinset.planning.search.any_day import on_any_day

NAMED_OTHER_DAYS = 2
MOST = 0.5  # of what the days cost: that much ripens on closed days, and they are the reason
LEAST_SAID = {"gram": 50.0, "unit": 0.5}  # in words anything less would be nothing
UNTOLD_WORDS = (
    "The time for this plan was over before it was known why; plan again when the computer has "
    "less to do."
)


def is_said(amount: float, measure: str) -> bool:
    """Say whether an amount is still more than nothing once it is put in words."""
    return amount > LEAST_SAID.get(measure, 0.0)


def worth_a_word(shorts: Iterable[Short]) -> tuple[Short, ...]:
    """Return the shortages that are told: together enough of one promise on one day.

    The plan itself keeps all of them as they are.
    """
    told = tuple(shorts)
    total: dict[tuple[str, date, str], float] = defaultdict(float)
    for short in told:
        total[short.promise, short.day, short.measure] += short.amount
    return tuple(
        short
        for short in told
        if is_said(total[short.promise, short.day, short.measure], short.measure)
    )


def shorts_of(model: Model, short: Mapping[Key, float], found: Shortfall) -> list[Short]:
    """Return the shortages promise by promise, each with its reason.

    A day's shortage falls on its largest promise first, so that the fewest buyers are touched.
    """
    causes = Causes(model)
    said: list[Short] = []
    for key in sorted(short, key=lambda each: (each[2], each[3], each[0])):
        if is_worth_saying(key, short[key]):
            said += _of_day(model, causes, key, short[key], found)
    return said + _without_recipe(model)


def _of_day(model: Model, causes: Causes, key: Key, total: float, found: Shortfall) -> list[Short]:
    """Return what is short on one day: by nature, another form, pins, days, unknown, resources."""
    orders = sorted(orders_of(model.problem, key), key=lambda order: -order.amount)
    room = [order.amount for order in orders]
    kinds = {
        "nature": found.unavoidable,
        "shared": found.shared,
        "pins": found.pinned,
        "days": found.by_days,
        "untold": found.untold,
    }
    parts = {kind: amounts.get(key, 0.0) for kind, amounts in kinds.items()}
    comes = could_come_along(model.problem, key)
    said = []
    for kind, amount in (*parts.items(), ("work", total - sum(parts.values()))):
        left = amount
        for index, order in enumerate(orders):
            share = min(left, room[index])
            left -= share
            room[index] -= share
            if is_worth_saying(key, share):
                reason = _reason(model, causes, key, share, kind, found)
                left_out = (order.promised or order.amount) - share
                if reason.code is ShortReason.WHOLE_UNITS and not is_worth_saying(key, left_out):
                    reason = _nothing_fits(model, key, share)
                fixed_by_nature = kind == "nature" and is_worth_saying(key, amount - comes)
                said.append(_short(model, order, share, reason, is_unavoidable=fixed_by_nature))
    return said


def _reason(
    model: Model, causes: Causes, key: Key, amount: float, kind: str, found: Shortfall
) -> Reason:
    if kind in {"nature", "shared"}:
        told = on_any_day(model.problem)
        nature = why_unavoidable(found.any_day or model, key, found.wanting, told)
        return nature if kind == "nature" else _shared(model, key, amount, nature)
    if kind == "pins":
        return Reason(
            ShortReason.PINNED,
            f"Without what is pinned, {_what(model, key, amount)} more would be there for this; "
            "what the pins cost stands beside the plan.",
            (key[1],),
        )
    if kind == "days":
        return _fixed_days(model, key, amount, found)
    if kind == "untold":
        words = f"Short of {_what(model, key, amount)}. {UNTOLD_WORDS}"
        return Reason(ShortReason.UNTOLD, words, (key[1],))
    mine = [
        lack for lack in found.lacks if lack.day <= key[2] and causes.can_help(lack.capacity, key)
    ]
    return _resource(model, key, amount, mine, found.climates)


def _shared(model: Model, key: Key, amount: float, nature: Reason) -> Reason:
    """Return that what is alive would do, but goes to what is promised in another form."""
    form = "in units" if key[1] == "picked" else "by weight"
    name = model.problem.recipes[key[0]].name
    words = (
        f"What is alive now does not serve all that is promised of {name}. "
        f"{_what(model, key, amount)} would be there for this, but in the plan that goes to what "
        f"is promised {form}: it weighs a lack by what units cost to make, not by your prices. To "
        "have it otherwise, change what is promised."
    )
    return Reason(ShortReason.SHARED, words, nature.about)


def _short(
    model: Model, order: Order, amount: float, reason: Reason, *, is_unavoidable: bool
) -> Short:
    return Short(
        promise=order.promise,
        day=model.problem.date_of(order.due),
        variety=order.variety,
        amount=amount,
        measure=order.measure,
        promised=order.promised or order.amount,
        reason=reason.words,
        is_unavoidable=is_unavoidable,
        reason_code=reason.code,
        about=reason.about,
    )


def _fixed_days(model: Model, key: Key, amount: float, found: Shortfall) -> Reason:
    """Return what ripens while nobody works, or what another day than the farm's own would mend."""
    closed = found.closed.get(key)
    if closed is not None and closed.grams >= MOST * found.by_days[key]:
        return Reason(ShortReason.CLOSED, words_of(closed, model.problem), (key[1],))
    what = _what(model, key, amount)
    serving = [each for each in found.other_days if each.key == key]
    leave = f"The days set for starting and moving, and the days off, cost {what}"
    if not serving:
        return Reason(ShortReason.SET_DAYS, f"{leave}.", (key[1],))
    named = " and ".join(
        f"{each.words} on {day_in_words(model.problem.date_of(each.day))}"
        for each in serving[:NAMED_OTHER_DAYS]
    )
    return Reason(ShortReason.SET_DAYS, f"{leave}; {named} would help.", (key[1],))


def _without_recipe(model: Model) -> list[Short]:
    problem = model.problem
    planned = {
        (r, order.step, order.day, order.due)
        for r, recipe in enumerate(problem.recipes)
        for order in problem.orders
        if order.variety == recipe.variety
    }
    known = {recipe.variety: r for r, recipe in enumerate(problem.recipes)}
    said = []
    for order in problem.orders:
        key = (known.get(order.variety, -1), order.step, order.day, order.due)
        if key in planned and key in model.short:
            continue
        if order.variety in known:
            words = f"The route of {order.variety} does not make {order.step}."
            reason = Reason(ShortReason.NO_STEP, words, (order.step,))
        else:
            words = f"There is no route for {order.variety}, so none of it can be planned."
            reason = Reason(ShortReason.NO_ROUTE, words)
        said.append(_short(model, order, order.amount, reason, is_unavoidable=True))
    return said


def _what(model: Model, key: Key, amount: float) -> str:
    """Return what is short in units: of blocks, if mushrooms for half a block or more are short."""
    recipe = model.problem.recipes[key[0]]
    fruiting = recipe.fruiting
    if key[1] == "picked" and fruiting is not None and fruiting.grams > 0:
        making = recipe.making(fruiting.parent)
        count = amount / fruiting.grams
    else:
        making = recipe.making(key[1])
        count = amount
    if making is None:
        return weight_in_words(amount, model.problem.units)
    if key[1] == "picked" and round(count) < 1:
        return weight_in_words(amount, model.problem.units)
    return units_for(making, max(1, round(count)))


def _resource(
    model: Model, key: Key, amount: float, lacks: list[Lack], climates: RoomClimates | None
) -> Reason:
    """Return which resource is lacking, on which days, and how much more of it would mend it.

    ``lacks`` are only those from which what is short can come in time.
    """
    what = _what(model, key, amount)
    lacking = lacking_of(model, key, lacks, climates)
    if lacking is None:
        words = (
            f"Short of {what}: whole units and the least and largest batches leave this much over."
        )
        return Reason(ShortReason.WHOLE_UNITS, words, (key[1],))
    words = f"Short of {what} because {lacking.because}; {lacking.mend} would mend it."
    return Reason(lacking.code, words, lacking.about)


def _nothing_fits(model: Model, key: Key, amount: float) -> Reason:
    """Return that no batch serves an order at all, though nothing is full: none is left over."""
    words = (
        f"Short of {_what(model, key, amount)}, all that is promised: nobody is without time and "
        "nothing is full, but no batch of whole units, from the least to the largest, serves it."
    )
    return Reason(ShortReason.WHOLE_UNITS, words, (key[1],))
