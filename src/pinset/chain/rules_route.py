"""What must hold of a route: its steps, where each begins, its numbers."""

from __future__ import annotations

from collections.abc import Collection, Iterator
from itertools import pairwise

from pinset.chain.phases import CONTINUING, made_in
from pinset.chain.register import Flush, Parent, Route, Step, StepKind
from pinset.chain.rules_basis import (
    Bound,
    bad_code,
    disordered,
    outside,
    repeated,
    unknown,
    warning,
    wrong,
)
from pinset.chain.rules_farm import TEMPERATURE
from pinset.chain.season_days import LEAST_SHARE, MONTHS, MOST_SHARE
from pinset.chain.spawn_rates import planned_units_per_parent
from pinset.chain.stages import FRUITING_STAGES, Stage
from pinset.errors import Finding
from pinset.tables.cautions import cautions

LONGEST_STEP_DAYS = 400.0
MOST_YIELD_PER_SUBSTRATE = 5.0
"""kg of mushrooms per kg of wet substrate; nothing grown comes near it."""

CULTURE_STAGES = frozenset({Stage.TUBE, Stage.PLATE, Stage.LIQUID})
"""Stages a route may hold without parents: a culture received or kept as stock."""

RENEWED_FROM_THEMSELVES = frozenset({Stage.TUBE, Stage.PLATE, Stage.GRAIN})
"""Stages whose units may start units of the same step; the counters of lineage bound them."""

_MOSTLY_WATER = frozenset({Stage.TUBE, Stage.PLATE, Stage.LIQUID})
"""Stages filled with agar or broth."""

_NEARLY_ONE = 0.02
_FEW_FLUSHES = 0.3
_RATE_TOLERANCE = 0.25
_ROUTE = (
    Bound("generation_limit", 1, 10, "grain generations"),
    Bound("transfer_limit", 1, 50, "transfers"),
)
_STEP = (
    TEMPERATURE,
    Bound("fill_g", 0, 2_000_000, "g"),
    Bound("keeps_days_warm", 0.0, 4000.0, "days"),
    Bound("keeps_days_cold", 0.0, 4000.0, "days"),
    Bound("cold_min_c", -200.0, 40.0, "°C"),
    Bound("opened_keeps_days", 0.0, 4000.0, "days"),
    Bound("places", 0.0, 1000.0, "places"),
    Bound("bench_minutes", 0.0, 480.0, "min a unit"),
    Bound("bench_setup_minutes", 0.0, 480.0, "min a batch"),
    Bound("hands_minutes", 0.0, 1440.0, "min a unit"),
    Bound("minimum_batch", 1, 100_000, "units"),
    Bound("yield_g", 0.0, 10_000_000.0, "g a unit"),
    Bound("yield_spread", 0.0, 2.0, "(standard deviation of the logarithm)"),
    Bound("pick_minutes_per_kg", 0.0, 120.0, "min a kg"),
    Bound("supplier_days", 0, 365, "days"),
    Bound("price_cents", 0, 100_000_000, "cents"),
)
_MOISTURE = (Bound("fill_moisture", 0.0, 0.95, "of wet mass"),)
WETTEST = 0.99
_MOISTURE_OF_LIQUIDS = (Bound("fill_moisture", 0.0, WETTEST, "of wet mass"),)
"""Broth and agar hold 10 g to 40 g dissolved in a kilogram; common practice, no source."""
_PREPARATION = (
    Bound("lead_hours", 0.0, 400.0, "h"),
    Bound("minutes_per_unit", 0.0, 480.0, "min"),
    Bound("minutes_fixed", 0.0, 1440.0, "min"),
)
_FLUSH = (
    Bound("share", 0.0, 1.0, "of the whole yield"),
    Bound("pick_days", 1, 60, "days"),
    Bound("lost_before", 0.0, 1.0, "of units"),
)


def check_route(
    route: Route, vessels: Collection[str] = (), cooks: Collection[str] = ()
) -> Iterator[Finding]:
    """Yield what is not right with a route.

    Parameters
    ----------
    route : Route
        The route.
    vessels, cooks : collection of str
        Codes of the farm's vessels, and of the kinds of cook its sterilisers do.

    Yields
    ------
    Finding
        All at once; the record is ``routes CODE step CODE``.
    """
    at = f"routes {route.code}"
    yield from bad_code(at, route.code)
    yield from outside(at, route, _ROUTE, "route.number")
    if not route.steps:
        yield wrong("route.empty", at, "steps", (), "at least one step")
        return
    yield from repeated(f"{at} step", (step.code for step in route.steps))
    for position, step in enumerate(route.steps):
        record = f"{at} step {step.code}"
        yield from bad_code(record, step.code)
        yield from _check_numbers(record, step)
        yield from _check_order(record, route, position)
        yield from _check_start(record, step)
        yield from _check_parents(record, route, position)
        yield from _check_preparations(record, step)
        if step.vessel:
            yield from unknown(record, "vessel", step.vessel, vessels, "vessels")
        if step.cook:
            yield from unknown(record, "cook", step.cook, cooks, "kinds of cook")
        if step.kind is StepKind.FRUIT:
            yield from _check_fruiting(record, route, step)


def _check_numbers(record: str, step: Step) -> Iterator[Finding]:
    yield from disordered(record, "days", step.days, 0.0, LONGEST_STEP_DAYS)
    yield from disordered(record, "loss", step.loss, 0.0, 1.0)
    if step.loss.mean >= 1.0:
        yield wrong("route.loss", record, "loss", step.loss.mean, "a mean below 1")
    yield from outside(record, step, _STEP, "route.number")
    moisture = _MOISTURE_OF_LIQUIDS if step.stage in _MOSTLY_WATER else _MOISTURE
    yield from outside(record, step, moisture, "route.number")
    for field, days in (("shake_days", step.shake_days), ("look_days", step.look_days)):
        for day in days:
            if not 0 <= day <= LONGEST_STEP_DAYS:
                yield wrong("route.number", record, field, day, f"0 to {LONGEST_STEP_DAYS:g} days")
    yield from _check_season(record, step)
    floor = step.cold_min_c
    if floor is not None and step.temperature_c < floor:
        given = f"{round(step.temperature_c, 1):g} °C"
        accepted = f"{round(floor, 1):g} °C or more, below which it dies"
        yield wrong("route.too-cold", record, "temperature_c", given, accepted)


def _check_season(record: str, step: Step) -> Iterator[Finding]:
    """Yield what is not right with the shares of the months."""
    shares = step.days_by_month
    is_in_range = all(LEAST_SHARE <= share <= MOST_SHARE for share in shares)
    given = " ".join(f"{share:g}" for share in shares)
    if shares and step.kind is StepKind.BUY:
        accepted = "nothing: what is bought comes when its supplier brings it"
        yield wrong("route.season", record, "days_by_month", given, accepted)
    elif shares and (len(shares) != MONTHS or not is_in_range):
        accepted = (
            f"nothing, or {MONTHS} numbers from {LEAST_SHARE:g} to {MOST_SHARE:g}, "
            "January to December"
        )
        yield wrong("route.season", record, "days_by_month", given, accepted)


def _check_order(record: str, route: Route, position: int) -> Iterator[Finding]:
    step = route.steps[position]
    before = route.steps[position - 1] if position else None
    if before is not None and before.kind is StepKind.FRUIT:
        yield wrong("route.after-fruiting", record, "step", step.code, "nothing after fruiting")
    if step.kind not in CONTINUING:
        return
    if before is None:
        accepted = "a step that makes or buys units"
        yield wrong("route.first-step", record, "first step", step.kind.value, accepted)
    elif before.stage is not step.stage:
        accepted = f"{before.stage.value}, as in step {before.code}: the same units go on"
        yield wrong("route.stage", record, "stage", step.stage.value, accepted)
    if step.kind is StepKind.FRUIT and step.stage not in FRUITING_STAGES:
        accepted = ", ".join(sorted(stage.value for stage in FRUITING_STAGES))
        yield wrong("route.stage", record, "stage", step.stage.value, accepted)


def _check_start(record: str, step: Step) -> Iterator[Finding]:
    """Yield a finding if nothing can start a step, or it names parents it cannot have."""
    if step.kind is not StepKind.TRANSFER:
        if step.parents:
            given = ", ".join(parent.step for parent in step.parents)
            accepted = f"none: a step of kind {step.kind.value} has no parents"
            yield wrong("route.parents", record, "parents", given, accepted)
        return
    comes_from_others = any(parent.step != step.code for parent in step.parents)
    if not comes_from_others and step.stage not in CULTURE_STAGES:
        accepted = "the step its units are started from"
        hint = "Only tubes, plates and liquid cultures may come from outside; else use kind buy."
        given = ", ".join(parent.step for parent in step.parents) or "none"
        yield wrong("route.cannot-start", record, "parents", given, accepted, hint)


def _check_parents(record: str, route: Route, position: int) -> Iterator[Finding]:
    step = route.steps[position]
    earlier = {each.code for each in route.steps[:position]}
    every = {each.code for each in route.steps}
    yield from repeated(f"{record} parent", (parent.step for parent in step.parents))
    for parent in step.parents:
        if parent.step not in every:
            yield from unknown(record, "parent", parent.step, every, "steps")
        elif parent.step == step.code:
            if step.stage not in RENEWED_FROM_THEMSELVES:
                accepted = "an earlier step; only tubes, plates and grain start their own kind"
                yield wrong("route.circle", record, "parent", parent.step, accepted)
        elif parent.step not in earlier:
            accepted = f"an earlier step: {', '.join(sorted(earlier)) or 'there is none'}"
            yield wrong("route.forward", record, "parent", parent.step, accepted)
        yield from _check_link(record, route, step, parent)


def _check_link(record: str, route: Route, step: Step, parent: Parent) -> Iterator[Finding]:
    where = f"units_per_parent from {parent.step}"
    if not 0.0 < parent.units_per_parent <= 100_000.0:  # noqa: PLR2004 - units of one parent
        yield wrong("route.number", record, where, parent.units_per_parent, "above 0, to 100 000")
    rate = parent.spawn_rate
    if rate is None:
        return
    if not 0.0 < rate <= 1.0:
        yield wrong("route.rate", record, "spawn_rate", rate, "a fraction above 0, at most 1")
        return
    if parent.spawn_rate_basis is None:
        accepted = "wet on wet, wet on dry or dry on dry"
        hint = "They differ by factors of two to three."
        yield wrong("route.rate-basis", record, "spawn_rate_basis", "", accepted, hint)
        return
    source = next((each for each in route.steps if each.code == parent.step), None)
    if source is None or source.stage is Stage.LIQUID:
        return
    is_weighable = source.fill_g > 0 and step.fill_g > 0
    if not (is_weighable and 0.0 <= source.fill_moisture < 1.0 and 0.0 <= step.fill_moisture < 1.0):
        accepted = f"weights above 0 and moistures below 1 for {source.code} and {step.code}"
        given = (source.fill_g, step.fill_g, source.fill_moisture, step.fill_moisture)
        yield wrong(
            "route.rate-weights", record, "fill of a step with a spawn rate", given, accepted
        )
        return
    by_rate = planned_units_per_parent(parent, source, step)
    if abs(by_rate - parent.units_per_parent) > _RATE_TOLERANCE * by_rate:
        yield warning(
            "route.rate-disagrees",
            record,
            f"{parent.units_per_parent:g} units from one {source.code}, but the spawn rate "
            f"({rate:g} {parent.spawn_rate_basis.value}) makes it {by_rate:.3g}.",
            "The spawn rate is used.",
        )


def caution_keys() -> tuple[str, ...]:
    """Return the keys that a preparation may name as its caution."""
    return tuple(cautions())


def _check_preparations(record: str, step: Step) -> Iterator[Finding]:
    for preparation in step.preparations:
        at = f"{record} {preparation.task}"
        yield from outside(at, preparation, _PREPARATION, "route.number")
        if preparation.caution and preparation.caution not in cautions():
            yield from unknown(at, "caution", preparation.caution, cautions(), "cautions")


def _check_fruiting(record: str, route: Route, step: Step) -> Iterator[Finding]:
    if not step.yield_g > 0.0:
        yield wrong("route.yield", record, "yield_g", step.yield_g, "more than 0 g a unit")
    fill_g = step.fill_g or made_in(route, step.code).fill_g
    if fill_g > 0 and step.yield_g > MOST_YIELD_PER_SUBSTRATE * fill_g:
        accepted = f"at most {MOST_YIELD_PER_SUBSTRATE:g} times the {fill_g} g of substrate"
        yield wrong("route.yield", record, "yield_g", step.yield_g, accepted)
    if not step.flushes:
        yield wrong("route.flushes", record, "flushes", (), "at least one flush")
        return
    for number, flush in enumerate(step.flushes, start=1):
        at = f"{record} flush {number}"
        yield from outside(at, flush, _FLUSH, "route.number")
        yield from disordered(at, "gap_days", flush.gap_days, 0.0, LONGEST_STEP_DAYS)
    yield from _check_flush_sums(record, step.flushes)


def _check_flush_sums(record: str, flushes: tuple[Flush, ...]) -> Iterator[Finding]:
    shares = sum(flush.share for flush in flushes)
    if not 0.0 < shares <= 1.0 + _NEARLY_ONE:
        accepted = "above 0, at most 1; less than 1 if later flushes are not taken"
        yield wrong("route.flush-shares", record, "sum of flush shares", shares, accepted)
    elif shares < _FEW_FLUSHES:
        yield warning(
            "route.flushes-few",
            record,
            f"the flushes taken carry {shares:.0%} of the yield.",
            "Are the shares meant as fractions of the whole?",
        )
    for earlier, later in pairwise(flushes):
        if later.lost_before < earlier.lost_before:
            given = (earlier.lost_before, later.lost_before)
            accepted = "fractions counted from room entry, so never falling"
            yield wrong("route.flush-losses", record, "lost_before", given, accepted)
