"""The words of a sizing: the verdict, what is wanted beside what there is, what is full first."""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil

from pinset.chain.register import FarmBook
from pinset.chain.stages import noun_of
from pinset.planning.sizing.records import PICKED, Full, ResourceNeed, Sizing, Wanted
from pinset.services.words import GRAMS, WEEKDAYS, first_upper, joined, kilograms, plural, sentences

HOURS = "h"
WHOLE_FROM_G = 100_000
TASK_WORDS = {
    "bench": "at the clean bench",
    "preparation": "preparing vessels",
    "cooks": "loading, watching and unloading cooks",
    "moving": "moving, shaking and unwrapping",
    "picking": "picking",
    "packing": "packing",
    "rounds": "morning rounds",
}
METHOD = (
    (
        "Every week is taken to be like every other. From what leaves the farm the routes are "
        "followed back: units used in a week, over one less the mean loss, over units per parent."
    ),
    (
        "Places are Little's law by weekday: units a week times the days they stand, over seven, "
        "on the fullest day. Units wait from the day they are ready until the weekday that uses "
        "them."
    ),
    (
        "Whole units and batches: half a parent is left over in each batch, a part load is a "
        "whole cook, one of each culture step stays in hand and is renewed before its time. What "
        "is in proportion leaves all that out: it doubles when the kilograms do."
    ),
    (
        "Steps without weekdays of their own get those the plan would give them; days off are "
        "left aside."
    ),
    (
        "Bottlenecks: all that is wanted is multiplied by one number, and each thing the farm has "
        "is full at its own. A room that can give several climates is given to one, shared out as "
        "is best today."
    ),
    (
        "Packing takes 2 min a kilogram (0.9 min a pound), and a place at the clean bench 1.2 m "
        "(4 ft); both are common practice, with no source."
    ),
    (
        "Not in it: good and bad weeks, room turn-round and cleaning, looking over and clearing "
        "out, prepared vessels that stand in stock, the weeks until the chain is full."
    ),
    "It is a prediction of the average and no proof: leave room.",
)


@dataclass(frozen=True, slots=True)
class NeedRow:
    """One resource as it is read."""

    name: str
    need: str
    has: str
    in_proportion: str
    share: float | None  # of what there is; None: not described
    is_short: bool
    detail: str  # its busiest weekday; empty: none


@dataclass(frozen=True, slots=True)
class CookRow:
    """One kind of cook as it is read."""

    kind: str
    litres: str
    cooks: str
    whole_cooks: str
    hours_a_day: str
    would_do: str


def what_is_wanted(sizing: Sizing, units: str) -> str:
    """Return ``190 kg a week``, with units sold where there are any."""
    sold = sum(each.amount for each in sizing.wanted if each.step != PICKED)
    parts = [kilograms(sizing.grams, units)] if sizing.grams else []
    parts += [plural(round(sold), "unit sold", "units sold")] if sold else []
    return f"{joined(parts)} a week"


def verdict(sizing: Sizing, units: str) -> str:
    """Return the answer in one sentence, with its number."""
    asked = what_is_wanted(sizing, units)
    short = [each for each in sizing.resources if each.is_short]
    if short:
        worst = max(short, key=lambda each: each.need / each.has if each.has else float("inf"))
        others = len(short) - 1
        more = f"{plural(others, 'more thing')} {'is' if others == 1 else 'are'} short"
        takes = f"it takes {_counted(worst, worst.need)} {worst.name}{_a_week(worst)}"
        has = f"has {_counted(worst, worst.has or 0.0, down=True)}"
        said = f"For {asked} this farm is too small: {takes} and {has}"
        return sentences([said, more if others else ""])
    if not sizing.full:
        return f"{asked}: nothing is described that could be full; the table says what it takes."
    first = sizing.full[0]
    more = f"{_times(first.factor)} as much{_worth(sizing, first, units)}"
    big = f"This farm is big enough for {asked}, on average"
    return f"{big}: it could do {more}, until {first.name} are all taken."


def _a_week(need: ResourceNeed) -> str:
    return " a week" if need.unit in {HOURS, "cooks"} else ""


def bottlenecks(sizing: Sizing, units: str) -> tuple[str, ...]:
    """Return what is full first as the farm grows, in order."""
    return tuple(
        f"{first_upper(each.name)}: all taken at {_times(each.factor)} as much"
        f"{_worth(sizing, each, units)}."
        if each.factor > 0.0
        else f"{first_upper(each.name)}: too little for any amount."
        for each in sizing.full
    )


def _worth(sizing: Sizing, full: Full, units: str) -> str:
    """Return what a multiple is in kilograms; rounded down, above 100 kg to whole ones."""
    grams = full.factor * sizing.grams
    if grams >= WHOLE_FROM_G:
        grams = grams // GRAMS * GRAMS
    return f", {kilograms(grams, units)} a week" if sizing.grams else ""


def _times(factor: float) -> str:
    shown = int(factor * 100 + 1e-6) / 100 if factor < 10 else int(factor)  # noqa: PLR2004
    return f"{shown:g} times"


def need_rows(sizing: Sizing) -> tuple[NeedRow, ...]:
    """Return what is wanted of each resource beside what there is."""
    return tuple(
        NeedRow(
            name=first_upper(each.name),
            need=_amount(each, each.need),
            has=_amount(each, each.has, down=True) if each.has is not None else "not described",
            in_proportion=_amount(each, each.in_proportion, exact=True),
            share=(each.need / each.has if each.has else None) if each.has is not None else None,
            is_short=each.is_short,
            detail=_busiest(each),
        )
        for each in sizing.resources
    )


def _busiest(need: ResourceNeed) -> str:
    if need.busiest is None:
        return ""
    day = WEEKDAYS[need.busiest]
    if need.has is None:
        return f"most on {day}, {need.busiest_need:.1f} h"
    return f"most on {day}, {need.busiest_need:.1f} of {need.busiest_has:.1f} h"


def busy_days(sizing: Sizing) -> tuple[str, ...]:
    """Return which weekdays are overfull though the week is not, and what to do."""
    return tuple(
        f"On {WEEKDAYS[each.busiest]} it takes {each.busiest_need:.1f} {each.name} and there are "
        f"{each.busiest_has:.1f}: put a step on another weekday."
        for each in sizing.resources
        if each.busiest is not None and each.has is not None and not each.is_short
        if each.busiest_need > each.busiest_has
    )


def _amount(need: ResourceNeed, value: float, *, exact: bool = False, down: bool = False) -> str:
    """Return an amount with its unit, as :func:`_counted` or to a tenth."""
    if exact and need.unit != HOURS:
        return f"{value:,.1f} {need.unit}"
    counted = _counted(need, value, down=down)
    return f"{counted} {need.unit.removesuffix('s') if counted == '1' else need.unit}"


def _counted(need: ResourceNeed, value: float, *, down: bool = False) -> str:
    """Return hours to a tenth; places, vessels and cooks whole, up unless there are no more."""
    if need.unit == HOURS:
        return f"{value:.1f}"
    return f"{int(value) if down else ceil(value - 1e-6):,}"


def cook_rows(sizing: Sizing) -> tuple[CookRow, ...]:
    """Return litres and cooks by kind."""
    return tuple(
        CookRow(
            kind=each.kind,
            litres=f"{each.litres:,.0f} L" if each.litres >= 1 else f"{each.litres:.1f} L",
            cooks=f"{each.cooks:.2f}" if each.cooks is not None else "",
            whole_cooks=f"{each.whole_cooks:.1f}".removesuffix(".0")
            if each.whole_cooks is not None
            else "",
            hours_a_day=f"{each.hours / max(1, sizing.cook_days):.1f} h"
            if each.hours is not None
            else "",
            would_do=f"{ceil(each.would_do - 1e-6):,} L" if each.would_do is not None else "",
        )
        for each in sizing.cooks
    )


def tasks(sizing: Sizing) -> tuple[tuple[str, str], ...]:
    """Return what people's time goes into, with the whole at the end."""
    rows = [(first_upper(TASK_WORDS[task]), f"{hours:.1f} h") for task, hours in sizing.tasks]
    return (*rows, ("All", f"{sum(hours for _, hours in sizing.tasks):.1f} h"))


def bench(sizing: Sizing) -> str:
    """Return the clean bench's size."""
    return (
        f"On its busiest weekday the clean bench is {sizing.workplaces:.1f} work places full: "
        f"{plural(ceil(sizing.workplaces - 1e-6), 'work place')}, "
        f"{ceil(sizing.workplaces - 1e-6) * sizing.bench_m / sizing.workplaces:.1f} m."
        if sizing.workplaces > 0.0
        else "Nothing is done at the clean bench."
    )


def chain(sizing: Sizing) -> tuple[tuple[str, ...], ...]:
    """Return every step: variety, step, units and batches a week, days, units standing."""
    return tuple(
        (
            each.name,
            f"{each.step}, bought" if each.is_purchase else each.step,
            f"{each.started:.1f}",
            f"{each.batches:.1f}",
            f"{each.days:.0f}",
            f"{each.standing:,.0f}",
        )
        for each in sizing.steps
    )


def keep(sizing: Sizing) -> tuple[str, ...]:
    """Return which cultures to keep: whole units alive, by variety."""
    found: dict[str, list[str]] = {}
    for each in sizing.steps:
        if each.to_keep:
            of_step = f" ({each.step})" if each.step != each.stage.value else ""
            noun = noun_of(each.stage, each.to_keep)
            found.setdefault(each.name, []).append(f"{each.to_keep} {noun}{of_step}")
    return tuple(f"{name}: {joined(parts)}." for name, parts in found.items())


def bought(sizing: Sizing, currency: str) -> tuple[str, ...]:
    """Return the spawn to buy, a week and a delivery."""
    return tuple(
        f"{each.name}: {each.started:.1f} {noun_of(each.stage, 2, is_bought=True)} a week"
        f"{f' from {each.supplier}' if each.supplier else ''}, "
        f"{ceil(each.delivered - 1e-6)} in a delivery"
        f"{f', {currency} {each.cost_cents / 100:.2f} a week' if each.cost_cents else ''}."
        for each in sizing.steps
        if each.is_purchase
    )


def used_up(sizing: Sizing, book: FarmBook) -> tuple[str, ...]:
    """Return the vessels that are thrown away, a week."""
    counts: dict[str, float] = {}
    for each in sizing.steps:
        if not each.is_purchase and each.vessel:
            counts[each.vessel] = counts.get(each.vessel, 0.0) + each.started
    return tuple(
        f"{vessel.name}: {ceil(counts[vessel.code] - 1e-6):,} a week, if used once."
        for vessel in book.vessels
        if vessel.in_circulation is None and vessel.code in counts
    )


def store(sizing: Sizing, units: str) -> str:
    """Return what the cold store of picked mushrooms must hold."""
    if sizing.store_g <= 0.0:
        return ""
    return (
        f"Picked mushrooms in the cold store at the most: {kilograms(sizing.store_g, units)}, with "
        "today's weekdays of handing over."
    )


def inputs(sizing: Sizing, book: FarmBook) -> tuple[str, ...]:
    """Return what the sizing was reckoned from."""
    names = {variety.code: variety.name for variety in book.varieties}
    days = [WEEKDAYS[day.number] for day in book.farm.working_days]
    return (
        *(_asked(each, names, book) for each in sizing.wanted if each.amount > 0.0),
        f"Working days: {joined(days)}.",
        "Days, units per parent, minutes, places, mean losses and yields: as the routes have them.",
    )


def _asked(wanted: Wanted, names: dict[str, str], book: FarmBook) -> str:
    name = names.get(wanted.variety, wanted.variety)
    if wanted.step == PICKED:
        return f"{name}: {kilograms(wanted.amount, book.farm.units)} a week."
    return f"{name}: {plural(round(wanted.amount), 'unit')} of {wanted.step} a week."
