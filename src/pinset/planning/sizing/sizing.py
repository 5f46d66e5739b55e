"""How big a farm must be for what is to leave it every week, and what is full first as it grows.

Steady-state arithmetic on the farm's own routes; no solver lays days. It says what every week
wants on average, with the farm's weekdays; it knows nothing of spread, of bad weeks and of the way
there. A prediction, no proof.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from math import ceil

from pinset.chain.register import FarmBook
from pinset.planning.building.from_route import CULTURE_STAGES
from pinset.planning.sizing.chain import NO_FLOW, WEEK, Flow, StepFlow
from pinset.planning.sizing.farm import Chains, chains_of
from pinset.planning.sizing.limits import full_at, resources_of
from pinset.planning.sizing.places import (
    kept_picked,
    places_by_climate,
    room_places,
    standing,
)
from pinset.planning.sizing.records import (
    CookLoad,
    Sizing,
    StepNeed,
    Wanted,
)
from pinset.planning.sizing.work import (
    TASKS,
    WORKPLACE_M,
    WORKPLACE_MINUTES,
    CookNeed,
    bench_minutes,
    cook_needs,
    people_minutes,
    steriliser_share,
)

HOUR = 60.0


def size(book: FarmBook, wanted: Iterable[Wanted]) -> Sizing:
    """Return how big the farm must be.

    Parameters
    ----------
    book : FarmBook
        Routes, weekdays, sterilisers, benches, rooms, people, vessels, and the promises, whose
        weekdays say when picked mushrooms leave.
    wanted : iterable of Wanted
        Each week. [g or units a week]

    Returns
    -------
    Sizing
        Needs beside what the farm has, and what is full first.

    Raises
    ------
    InputError
        As :func:`pinset.planning.sizing.farm.chains_of`.
    """
    asked = tuple(wanted)
    chains = chains_of(book, asked)
    flows = chains.flows()
    cooks = cook_needs(chains.book, flows)
    bench = bench_minutes(flows)
    listed = [each.minutes_per_day for each in book.benches if each.minutes_per_day > 0]
    each_bench = sum(listed) / len(listed) if listed else WORKPLACE_MINUTES
    workplaces = max(bench) / each_bench
    tasks = people_minutes(chains.book, flows, cooks, chains.working, is_whole=True)
    climates = places_by_climate(
        chains.book, {climate: max(row) for climate, row in room_places(flows).items()}
    )
    resources = resources_of(chains, climates)
    return Sizing(
        wanted=asked,
        grams=sum(chain.grams for chain in chains.chains),
        steps=tuple(_step_need(chains, flow, step) for flow in flows for step in flow.steps
                    if step.started > NO_FLOW),
        cooks=tuple(_cook_load(chains, need, cooks) for need in cooks),
        tasks=tuple((task, sum(tasks[task]) / HOUR) for task in TASKS),
        resources=resources,
        full=full_at(chains, resources),
        cook_days=len(chains.working),
        workplaces=workplaces,
        bench_m=workplaces * WORKPLACE_M,
        store_g=sum(_in_store(chains, flow) for flow in flows),
        remarks=tuple(dict.fromkeys([
            *chains.remarks,
            *(remark for flow in flows for remark in flow.remarks),
            *_no_cook(chains.book, cooks),
        ])),
    )  # fmt: skip


def _step_need(chains: Chains, flow: Flow, step: StepFlow) -> StepNeed:
    making = step.making
    route = next(
        route
        for variety in chains.book.varieties
        for route in chains.book.routes
        if variety.code == flow.recipe.variety and route.code == variety.route
    )
    row = standing(step)
    own = route.step(making.step)
    is_culture = making.stage in CULTURE_STAGES and not making.is_purchase
    days = sum(each.started * (each.lead_days + each.wait_days) for each in step.cohorts)
    deliveries = max(1, len({each.weekday for each in step.cohorts}))
    bought = max(step.started / deliveries, float(making.minimum_batch))
    return StepNeed(
        variety=flow.recipe.variety,
        name=flow.recipe.name,
        step=making.step,
        stage=making.stage,
        started=step.started,
        usable=step.usable,
        batches=step.batches,
        days=days / step.started,
        standing=max(row),
        to_keep=ceil(max(row) + making.culture_stock - 1e-9) if is_culture else 0,
        vessel=own.vessel,
        is_purchase=making.is_purchase,
        supplier=own.supplier if making.is_purchase else "",
        delivered=bought if making.is_purchase else 0.0,
        cost_cents=step.started * own.price_cents if making.is_purchase else 0.0,
    )


def _cook_load(chains: Chains, need: CookNeed, cooks: Sequence[CookNeed]) -> CookLoad:
    shares = [
        steriliser_share(chains.book, cooks, len(chains.working), by=by, is_whole=False)
        for by in ("hours", "cooks")
    ]
    busiest = max((share for share in shares if share is not None), default=None)
    whole = need.whole_cooks
    return CookLoad(
        kind=need.kind,
        litres=need.litres,
        litres_each=need.litres_each,
        cooks=need.cooks,
        whole_cooks=whole,
        hours=whole * need.hours_each if whole is not None and need.hours_each else None,
        would_do=need.litres_each * busiest if need.litres_each and busiest is not None else None,
    )


def _no_cook(book: FarmBook, cooks: Iterable[CookNeed]) -> list[str]:
    """Say which cooks no steriliser of the farm can do."""
    return [
        f"No steriliser has time and room for a {need.kind} cook, so its hours are not in the sums."
        if book.sterilisers
        else f"No steriliser is described, so the hours of {need.kind} cooks are not in the sums."
        for need in cooks
        if need.cooks is None
    ]


def _in_store(chains: Chains, flow: Flow) -> float:
    """Return the most grams of a variety in store, handed over on the weekdays promised today."""
    handed = [0.0] * WEEK
    own = [each for each in chains.book.promises if each.variety == flow.recipe.variety]
    for promise in own:
        if promise.measure == "gram" and promise.weekday is not None:
            handed[promise.weekday.number] += promise.amount
    if not any(handed):
        handed = [1.0 if day in chains.working else 0.0 for day in range(WEEK)]
    picked = sum(flow.picks)
    factor = picked / sum(handed)
    return kept_picked(flow.picks, [factor * amount for amount in handed])
