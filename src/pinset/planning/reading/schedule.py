"""From traced decisions to the plan's records: starts, moves, cooks, picks, limits, weeks."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import timedelta

from numpy import float64
from numpy.typing import NDArray

from pinset.planning.model.columns import LEAST_CAPACITY, Model
from pinset.planning.model.cook_days import serves_cooks_of
from pinset.planning.model.limits_cooks import assumes_prepared
from pinset.planning.plan import (
    AtLimit,
    ExpectedPick,
    KeptCold,
    LotShare,
    Move,
    ParentUse,
    PlannedCook,
    Start,
    WeekTotal,
)
from pinset.planning.problem import Problem
from pinset.planning.reading.explain import day_in_words, promises_served, soonest, spoils, why
from pinset.planning.reading.pegging import NOTHING, Service, Use
from pinset.planning.reading.trace import Trace

FULL = 0.98  # of its capacity: a resource is at its limit
FAR_LEAST = 0.002  # units; less in the provisional weeks is noise of fractions


def shares(uses: Iterable[Use]) -> tuple[LotShare, ...]:
    """Return the living lots taken, oldest first; lots still to be started are not listed.

    Each names the shelf it stands on, other than what is first carried into a cold store.
    """
    taken: dict[tuple[str, str], float] = {}
    for use in uses:
        for batch, units in use.taken:
            if batch.lot:
                key = (batch.lot, "" if batch.is_cold else batch.place)
                taken[key] = taken.get(key, 0.0) + units
    return tuple(LotShare(lot, units, place) for (lot, place), units in taken.items())


def _stake(service: Service) -> tuple[float, str]:
    fed = soonest(service)
    if not fed:
        return 0.0, "gram"
    key, amount = fed[0]
    return amount, "gram" if key[1] == "picked" else "unit"


def starts_of(model: Model, found: Trace) -> list[Start]:
    """Return the batches to start, by day."""
    problem = model.problem
    starts = []
    for (r, k, t), units in sorted(found.starts.items(), key=lambda item: item[0][2]):
        is_far = not model.is_whole(t)
        if is_far and units < FAR_LEAST:
            continue
        recipe = problem.recipes[r]
        making = recipe.makings[k]
        uses = [
            (arc, found.uses[r, k, a, t])
            for a, arc in enumerate(making.arcs)
            if (r, k, a, t) in found.uses
        ]
        service = found.start_service.get((r, k, t), Service())
        slack = service.slack or 0
        for _, use in uses:
            for batch, _ in use.taken:
                slack = min(slack, batch.last_day - t)
        stake, measure = _stake(service)
        first = service.first_use
        starts.append(
            Start(
                day=problem.date_of(t),
                variety=recipe.variety,
                step=making.step,
                stage=making.stage,
                count=units,
                parents=tuple(
                    ParentUse(arc.parent, found.parents[r, k, a, t], shares([use]))
                    for a, (arc, use) in ((making.arcs.index(arc), (arc, use)) for arc, use in uses)
                ),
                expected_usable=units * making.usable,
                ready_on=problem.date_of(making.ready(t)),
                serves=promises_served(problem, service),
                why=why(problem, recipe, service, making),
                spoils=spoils(problem, [use for _, use in uses]),
                provisional=is_far,
                is_purchase=making.is_purchase,
                first_use_on=None if first is None else problem.date_of(first),
                slack_days=max(0, slack),
                at_stake=stake,
                at_stake_measure=measure,
                assumes_prepared=assumes_prepared(problem, making, t),
            )
        )
    return starts


def moves_of(model: Model, found: Trace) -> list[Move]:
    """Return the moves into grow rooms and into ripening, by day."""
    problem = model.problem
    moves = []
    for (r, room, t), units in found.moves.items():
        is_far = not model.is_whole(t)
        recipe = problem.recipes[r]
        if recipe.fruiting is None or (is_far and units < FAR_LEAST):
            continue
        use = found.move_uses[r, room, t]
        service = found.move_service.get((r, room, t), Service())
        slack = service.slack or 0
        for batch, _ in use.taken:
            slack = min(slack, batch.last_day - t)
        stake, measure = _stake(service)
        moves.append(
            Move(
                day=problem.date_of(t),
                variety=recipe.variety,
                step=recipe.fruiting.step,
                count=units,
                room=room,
                lots=shares([use]),
                serves=promises_served(problem, service),
                why=why(problem, recipe, service, None),
                provisional=is_far,
                slack_days=max(0, slack),
                at_stake=stake,
                at_stake_measure=measure,
            )
        )
    moves += _into_ripening(model, found)
    return sorted(moves, key=lambda move: (move.day, move.variety, move.room))


def _into_ripening(model: Model, found: Trace) -> Iterable[Move]:
    problem = model.problem
    hands = problem.resources.hands_minutes
    for r, recipe in enumerate(problem.recipes):
        for k, making in enumerate(recipe.makings):
            for batch in found.batches.get((r, k), []):
                if batch.is_cold:
                    continue
                if batch.start is not None:
                    t = batch.start[2]
                    stays = [(t + stay.from_day, stay) for stay in making.stays_on(t)]
                    service = found.start_service.get(batch.start, Service())
                    units = found.starts[batch.start]
                else:
                    lot = next(
                        each
                        for each in problem.stock
                        if (each.lot, each.place) == (batch.lot, batch.place)
                        and each.last_day == batch.last_day
                        and (each.variety, each.step) == (recipe.variety, making.step)
                    )
                    stays = [(stay.from_day, stay) for stay in lot.stays]
                    service = Service()
                    units = lot.alive or lot.units
                for begins, stay in stays:
                    day = begins
                    while hands and day < len(hands) and hands[day] <= 0:
                        day += 1
                    if not stay.is_move or not model.is_whole(day):
                        continue
                    yield Move(
                        day=problem.date_of(day),
                        variety=recipe.variety,
                        step=stay.step,
                        count=units,
                        room=stay.room_code,
                        lots=(LotShare(batch.lot, units, batch.place),) if batch.lot else (),
                        serves=promises_served(problem, service),
                        why=(
                            f"The step before is over on "
                            f"{day_in_words(problem.date_of(begins))}; {stay.step} begins."
                        ),
                    )


def kept_cold(model: Model, found: Trace) -> Iterable[KeptCold]:
    """Yield the blocks that are carried into a cold store, in whole units."""
    problem = model.problem
    for number, units in found.chilled.items():
        lot = problem.stock[number]
        if lot.cold is not None and units > NOTHING:
            yield KeptCold(
                lot=lot.lot,
                variety=lot.variety,
                step=lot.step,
                units=units,
                room=lot.cold.room,
                since=problem.date_of(max(0, lot.ready_day)),
                here=problem.date_of(lot.last_day),
                until=problem.date_of(lot.cold.last_day),
                place=lot.place,
            )


def _serves(model: Model, cook: tuple[str, str, int], day: int) -> int:
    """Return the latest cook day of the soonest start a planned cook may go into."""
    problem = model.problem
    code, kind, t = cook
    before = [
        making.cook_days_before
        for recipe in problem.recipes
        for making in recipe.makings
        if making.cook == kind
    ]
    served = serves_cooks_of(model, code, kind, model.days_of(t), min(before, default=1))
    return served if served is not None else day + 1


def cooks_of(model: Model, found: Trace) -> list[PlannedCook]:
    """Return the cooks, each with the litres that the starts after it need."""
    problem = model.problem
    options = {
        (steriliser.code, option.kind): option
        for steriliser in problem.resources.sterilisers
        for option in steriliser.cooks
    }
    need: dict[str, dict[int, float]] = {}
    for (r, k, t), units in found.starts.items():
        making = problem.recipes[r].makings[k]
        if making.cook:
            day = t - making.cook_days_before
            by_day = need.setdefault(making.cook, {})
            by_day[day] = by_day.get(day, 0.0) + units * making.litres
    filled: dict[tuple[str, str, int], float] = {}
    for kind, by_day in need.items():
        # latest cooks first: a vessel waits as short a time as it can
        mine = sorted((key for key in found.cooks if key[1] == kind), key=lambda key: -key[2])
        room = {key: found.cooks[key] * options[key[0], kind].litres for key in mine}
        for day in sorted(by_day):
            left = by_day[day]
            for key in mine:
                if _serves(model, key, day) <= day and room[key] > NOTHING and left > NOTHING:
                    litres = min(left, room[key])
                    room[key] -= litres
                    left -= litres
                    filled[key] = filled.get(key, 0.0) + litres
    cooks = [
        PlannedCook(
            day=problem.date_of(t),
            steriliser=code,
            kind=kind,
            cooks=count,
            litres=filled.get((code, kind, t), 0.0),
            hours=count * options[code, kind].hours,
            provisional=not model.is_whole(t),
            filled=found.filled.get((code, kind, t), ()),
        )
        for (code, kind, t), count in found.cooks.items()
        if (model.is_whole(t) or count > FAR_LEAST)
        and not (_is_pinned(problem, code, kind, t) and filled.get((code, kind, t), 0.0) <= 0.0)
    ]
    return sorted(cooks, key=lambda cook: (cook.day, cook.steriliser, cook.kind))


def _is_pinned(problem: Problem, steriliser: str, kind: str, day: int) -> bool:
    key = (steriliser, kind, day)
    return any((pin.steriliser, pin.step, pin.day) == key for pin in problem.pins)


def picks_of(model: Model, found: Trace) -> list[ExpectedPick]:
    """Return what is expected to be picked, by day, variety and flush."""
    problem = model.problem
    grams: dict[tuple[int, str, int], float] = {}
    lots: dict[tuple[int, str, int], dict[int, LotShare]] = {}
    hung: dict[tuple[int, str, int], dict[int, float]] = {}
    for number, lot in enumerate(problem.in_rooms):
        for day, pick in problem.gathered(lot.picks):
            key = (day, lot.variety, pick.flush)
            grams[key] = grams.get(key, 0.0) + pick.grams
            lots.setdefault(key, {})[number] = LotShare(lot.lot, lot.units)
            if pick.day < 0:
                since = hung.setdefault(key, {})
                since[pick.day] = since.get(pick.day, 0.0) + pick.grams
    for (r, _, t), units in found.moves.items():
        recipe = problem.recipes[r]
        borne = recipe.fruiting.borne(t) if recipe.fruiting is not None else ()
        for day, each in problem.gathered(borne, t):
            key = (day, recipe.variety, each.flush)
            grams[key] = grams.get(key, 0.0) + units * each.grams
    return [
        ExpectedPick(
            day=problem.date_of(day),
            variety=variety,
            grams=weight,
            lots=tuple(lots.get((day, variety, flush), {}).values()),
            flush=flush,
            ripe_on=problem.date_of(min(ripe)) if ripe else None,
            hung=ripe[min(ripe)] if ripe else 0.0,
        )
        for (day, variety, flush), weight in sorted(grams.items())
        for ripe in (hung.get((day, variety, flush), {}),)
        if day < problem.days and weight > NOTHING
    ]


def limits_of(model: Model, values: NDArray[float64]) -> list[AtLimit]:
    """Return the resources that are full on near days."""
    lp = model.programme
    full = []
    for capacity in model.capacities:
        is_there = capacity.capacity >= LEAST_CAPACITY
        if not model.is_whole(capacity.day) or capacity.unit == "L" or not is_there:
            continue
        begin, end = lp.starts[capacity.row], lp.starts[capacity.row + 1]
        used = capacity.taken + sum(
            lp.value[i] * float(values[lp.index[i]]) for i in range(begin, end)
        )
        if used >= FULL * capacity.capacity:
            full.append(
                AtLimit(
                    resource=capacity.resource,
                    day=model.problem.date_of(capacity.day),
                    used=used,
                    capacity=capacity.capacity,
                    unit=capacity.unit,
                )
            )
    return sorted(full, key=lambda each: (each.day, each.resource))


def weeks_of(starts: Iterable[Start], moves: Iterable[Move]) -> list[WeekTotal]:
    """Return the provisional weeks as totals by variety and step."""
    totals: dict[tuple[str, str, str], float] = {}
    mondays = {}
    everything: list[Start | Move] = [*starts, *moves]
    for each in everything:
        if each.provisional:
            monday = each.day - timedelta(days=each.day.weekday())
            key = (monday.isoformat(), each.variety, each.step)
            mondays[key] = monday
            totals[key] = totals.get(key, 0.0) + each.count
    return [WeekTotal(mondays[key], key[1], key[2], count) for key, count in sorted(totals.items())]
