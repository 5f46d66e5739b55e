"""Entries of transfers, cooks and bought spawn."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import timedelta

from pinset.chain.cold_stores import cold_store_of, only_too_cold
from pinset.chain.register import Parent, RoomKind, Step
from pinset.chain.stages import Stage, noun_of, units_in_words
from pinset.chain.vessel_keys import vessel_key
from pinset.errors import RefusedError
from pinset.farm import codes, trade, whereabouts
from pinset.farm.entries import NewEntry, NewLot
from pinset.farm.glance import Glance
from pinset.farm.trade import ParentShare, Taken
from pinset.planning.building.prepared_keeps import prepared_days
from pinset.services.building.mixed import feeds_loaded
from pinset.services.building.named import named_first, with_amounts
from pinset.services.building.parents_opened import OF_PARENTS
from pinset.services.building.parts_taken import places
from pinset.services.building.suitable import ask_about_missing, ask_about_parents, settle
from pinset.services.building.task import (
    Task,
    chosen,
    looked_up,
    need_units,
    room_for,
)
from pinset.services.clock import farm_time
from pinset.services.jobs.records import units_by_lot
from pinset.services.loads.despite import DESPITE, settle_cooks
from pinset.services.loads.loaded import FEEDS
from pinset.services.loads.unopened import not_to_be_used_yet, still_full
from pinset.services.loads.vessels import Sound, Vessels, standing_vessels
from pinset.services.words import joined, plural


def transfer(task: Task) -> NewEntry:
    """Return the entry of a new lot made from parents."""
    job, count = task.job, need_units(task)
    step = task.reader.step(job.variety, job.step)
    lots = chosen(task)
    if not lots and step.parents:
        raise RefusedError(
            f"No parent lot is known for {units_in_words(step.stage, count)}.",
            "Say which lots were used.",
        )
    seen = looked_up(task, lots)
    ask_about_missing(task, lots)
    ask_about_parents(task, lots, step.stage)
    ways = {parent.step: parent for parent in step.parents}
    parents = [ParentShare(lot.lot, 0) for lot in lots if not lot.units]  # opened before
    for taken in places(task, [lot for lot in lots if lot.units]):
        way = _way(ways, seen[taken.lot], step)
        parents.append(
            ParentShare(
                taken.lot,
                taken.quantity,
                taken.place,
                is_part=way.part_use or taken.lot in dict(task.answer.amounts),
            )
        )
    parents = with_amounts(parents, task.answer.amounts, {c: g.stage for c, g in seen.items()})
    [code] = codes.issue_codes(1)
    route = task.reader.varieties[job.variety].route
    cultures = (
        whereabouts.cultures_of({lot.lot for lot in lots})
        if lots
        else tuple(c.code for c in task.reader.book.cultures if c.variety == job.variety)[:1]
    )
    child = NewLot(
        code=code,
        stage=step.stage,
        variety=job.variety,
        step=job.step,
        route=route,
        made_on=task.day,
        culture=cultures[0] if len(cultures) == 1 else "",
        session=task.answer.bench.session if task.answer.bench else "",
    )
    if task.answer.bench:
        task.details.update(task.answer.bench.details())
    task.details["parents"] = sum(lot.units for lot in lots)
    task.details[OF_PARENTS] = units_by_lot(lots)
    vessels = _prepared(task, step, count)
    return trade.inoculate(
        task.tap,
        parents,
        child,
        count,
        room_for(task, step, count),
        vessels=vessels,
        details=task.details,
    )


def _way(ways: dict[str, Parent], seen: Glance, step: Step) -> Parent:
    way = ways.get(seen.step)
    if way is None:
        raise RefusedError(
            f"Lot {seen.code} is {noun_of(seen.stage, 2)} of step "
            f"{seen.step}, from which {step.code} is not made on this route.",
            f"Its parents are {joined(list(ways)) or 'none'}.",
        )
    return way


def _prepared(task: Task, step: Step, count: int) -> list[Taken]:
    """Return prepared vessels of the right sort, as many as there are and needed.

    Those named are taken first. Of the others those of cooks that passed come first, the oldest
    first, then those of cooks that nobody judged, then those of cooks that failed.

    Raises
    ------
    RefusedError
        If vessels of cooks that did not pass are needed and why is not said of these cooks.
    """
    taken, used, left = list[Taken](), list[tuple[Vessels, int]](), count
    for each in named_first(task, standing_vessels(), lambda one: _serves(task, step, one)):
        units = min(left, each.lot.alive)
        if units > 0 and (each.lot.code in task.answer.vessels or _serves(task, step, each)):
            taken.append(Taken(each.lot.code, units, each.lot.place))
            used.append((each, units))
            left -= units
    _ask_about_missing_vessels(task, step, count, left)
    _ask_about_cooks(task, used)
    return taken


def _serves(task: Task, step: Step, vessels: Vessels) -> bool:
    """Say whether vessels are of the sort a step wants, and still keep."""
    lot = vessels.lot
    route = task.reader.routes.get(lot.route)
    own = next((s for s in route.steps if s.code == lot.step), None) if route else None
    if own is None or vessel_key(own) != vessel_key(step):
        return False
    return task.day <= lot.made_on + timedelta(days=prepared_days(task.reader.book, step.cook))


def _ask_about_missing_vessels(task: Task, step: Step, count: int, left: int) -> None:
    """Ask for a reason where other vessels of that kind of cook stand, and too few of this sort."""
    if left <= 0 or not step.cook:
        return
    others = [each.lot.code for each in standing_vessels() if _cook_of(task, each) == step.cook]
    if others:
        settle(
            task,
            [_wanting(step, count, left, others)],
            "If those were used all the same, give a reason and take them out of the books.",
        )


def _wanting(step: Step, count: int, left: int, others: Sequence[str]) -> str:
    return (
        f"{count - left} of the {plural(count, 'vessel')} stand ready as {step.code} wants them; "
        f"{joined(list(others))} hold another mix or are too old."
    )


def _cook_of(task: Task, vessels: Vessels) -> str:
    route = task.reader.routes.get(vessels.lot.route)
    own = next((s for s in route.steps if s.code == vessels.lot.step), None) if route else None
    return own.cook if own else ""


def _ask_about_too_soon(task: Task, used: Sequence[tuple[Vessels, int]]) -> None:
    """Ask for a reason where vessels are still in their steriliser, or were and are not cool."""
    zone = task.reader.book.farm.time_zone
    too_soon = not_to_be_used_yet([each for each, _ in used], task.tap.at, zone)
    settle(
        task,
        [
            f"{plural(units, 'vessel')} would be taken from {too_soon[each.lot.cook]}."
            for each, units in used
            if each.lot.cook in too_soon
        ],
        "What is too warm kills the spawn put into it. If they are cool all the same, give a "
        "reason.",
    )


def _ask_about_cooks(task: Task, used: Sequence[tuple[Vessels, int]]) -> None:
    """Ask for a reason of its own where vessels come from a cook that did not pass."""
    _ask_about_too_soon(task, used)
    kept = settle_cooks(used, task.answer.despite, _ways_out(used))
    if kept:
        task.details[DESPITE] = kept


def _ways_out(used: Sequence[tuple[Vessels, int]]) -> str:
    """Return what is done about vessels nobody judged, or whose cook was too short."""
    said = ""
    waits = next((each.lot.cook for each, _ in used if each.sound is Sound.NOT_JUDGED), "")
    if waits:
        said += f"Judge cook {waits} on the Heat page. "
    if any(each.sound is Sound.WITH_AIR for each, _ in used):
        said += (
            "Units in a pocket of air may have got less than the one that was measured: look where "
            "they stood, and incubate some as controls first. "
        )
    if any(each.sound is Sound.FAILED for each, _ in used):
        said += (
            "Cook again or throw out what was too short: another log does not make it longer. A "
            "verdict that was wrong is undone on the page of its cook. "
        )
    return said


def cook(task: Task) -> NewEntry:
    """Return the entry of a load that was heat-treated, with the prepared vessels it made.

    Raises
    ------
    RefusedError
        If the farm does no such cooks any more; if it is not clear how many of each mix went in;
        if more are loaded than were prepared and no reason is given.
    """
    job, count = task.job, need_units(task)
    feeds = feeds_loaded(task, count)
    steriliser = next((s for s in task.reader.book.sterilisers if s.code == job.steriliser), None)
    if held := still_full(job.steriliser, job.key):
        place = steriliser.name if steriliser else job.steriliser
        settle(
            task,
            [f"{place} still holds its {joined(held)} cook, as far as the books know."],
            "Record its opening first. If it was emptied all the same, give a reason.",
        )
    kinds = steriliser.cooks if steriliser else ()
    kind = next((k for k in kinds if k.code == job.cook_kind), None)
    if steriliser is None or kind is None:
        raise RefusedError(
            f"{job.place or job.steriliser} does no {job.cook_kind} cooks any more.",
            "Plan again, or describe it in Settings.",
        )
    task.details[FEEDS] = [
        {"units": feed.units, "step": feed.step, "route": feed.route} for feed in feeds
    ]
    issued = codes.issue_codes(len(feeds))
    made = [
        (
            NewLot(
                code=code,
                stage=Stage.PREPARED,
                variety="",
                step=feed.step,
                route=feed.route or _route_with(task, feed.step),
                made_on=task.day,
            ),
            feed.units,
        )
        for code, feed in zip(issued, feeds, strict=True)
    ]
    began = farm_time(task.tap.at, task.reader.book.farm.time_zone)
    return trade.cook(
        task.tap,
        f"{steriliser.code}-{began:%Y%m%d-%H%M}",
        made,
        task.first_shelf(RoomKind.STERILISER) or task.first_shelf(RoomKind.LABORATORY),
        steriliser=steriliser.code,
        cook_kind=kind.code,
        hold_minutes=kind.hold_minutes,
        details=task.details,
    )


def _route_with(task: Task, step: str) -> str:
    """Return the first route that has a step of that code; for jobs laid before routes were."""
    routes = task.reader.book.routes
    return next((r.code for r in routes if any(s.code == step for s in r.steps)), "")


def order(task: Task) -> NewEntry:
    """Return the entry of spawn that was ordered."""
    job = task.job
    said = {
        **task.details,
        "variety": job.variety,
        "step": job.step,
        "arrives": job.for_day.isoformat() if job.for_day else "",
    }
    return trade.order(task.tap, f"{job.variety_name} {job.step}", need_units(task), details=said)


def receive(task: Task) -> NewEntry:
    """Return the entry of spawn that arrived."""
    job, count = task.job, need_units(task)
    step = task.reader.step(job.variety, job.step)
    [code] = codes.issue_codes(1)
    lot = NewLot(
        code=code,
        stage=step.stage,
        variety=job.variety,
        step=job.step,
        route=task.reader.varieties[job.variety].route,
        made_on=task.day,
        bought_from=step.supplier or "supplier",
    )
    return trade.receive(
        task.tap,
        lot,
        count,
        _place_of_bought(task, step, count),
        details={**task.details, "order": job.order},
    )


def _place_of_bought(task: Task, step: Step, count: int) -> str:
    """Return the shelf for what arrived: of a cold store that is not too cold for it, if any.

    Where every cold store is too cold, of an incubation room.
    """
    room = cold_store_of(task.reader.book, step)
    if room is not None and room.shelves:
        return room.shelves[0].code
    if only_too_cold(task.reader.book, step) is not None and step.room is RoomKind.COLD:
        warm = room_for(task, replace(step, room=RoomKind.INCUBATION), count)
        if warm:
            return warm
    return room_for(task, step, count)
