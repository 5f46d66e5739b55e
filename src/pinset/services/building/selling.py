"""Entries of picked weight and of what is sold: picked, packed, handed over, thrown out."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from pinset.chain.bearing import bears_early, most_borne_g
from pinset.chain.living import LivingLot
from pinset.chain.register import StepKind
from pinset.chain.season_days import days_from
from pinset.errors import InputError, RefusedError
from pinset.farm import trade, whereabouts
from pinset.farm.entries import NewEntry
from pinset.services.building.flushes import ask_about_flush, next_flush, standing_of
from pinset.services.building.suitable import settle
from pinset.services.building.task import (
    Task,
    looked_up,
    need_units,
    together,
)
from pinset.services.building.units_sold import units_to_sell
from pinset.services.building.weight_packed import ask_about_packed
from pinset.services.building.weight_sold import as_in_store, weight_to_sell, weight_to_throw_out
from pinset.services.jobs.records import LotAmount, PlannedJob
from pinset.services.plans.stock_now import delivered_on
from pinset.services.words import GRAMS, plural

EARLY = "Look at the code on the label; if it was picked all the same, give a reason."


def _weight(task: Task) -> int:
    if task.answer.grams is None:
        raise InputError("grams", None, "the weight in grams, from the scale")
    return task.answer.grams


def pick(task: Task) -> NewEntry:
    """Return the entry of a weight picked from one or several lots."""
    if task.answer.lots:
        weights = dict(task.answer.lots)
        looked_up(task, [LotAmount(code, 1) for code in weights])
        split = ""
    else:
        weights, split = _split(_weight(task), task.job)
    _refuse_unlikely(task, weights)
    ask_about_flush(task, weights)
    store = task.store_place()
    flushes, here = whereabouts.flushes_of(weights), standing_of(task.day, weights)
    entries = []
    for code, grams in weights.items():
        flush = task.answer.flush or next_flush(flushes.get(code), here.get(code, ()), task.day)
        entries.append(trade.pick(task.tap, code, grams, flush, store))
    total = sum(weights.values())
    task.details.update({"grams": total, "count": max(1, round(total / GRAMS))})
    if split:
        task.details["split"] = split
    return together(entries, task)


def _refuse_unlikely(task: Task, weights: dict[str, int]) -> None:
    """Ask for a reason where a lot cannot well have borne that weight.

    Raises
    ------
    RefusedError
        If there is none.
    """
    here = standing_of(task.day, weights)
    for code, grams in weights.items():
        bearing = [p for p in here.get(code, []) if p.now_step().kind is StepKind.FRUIT]
        if not bearing:
            said = f"Lot {code} does not stand in a grow room as far as the books know."
            settle(task, [said], "Record the move first, or give a reason.")
            continue
        if all(bears_early(part, task.day) for part in bearing):
            settle(task, [_early(code, bearing, task.day)], EARLY)
        units = sum(part.alive for part in bearing)
        whole = sum(part.alive * part.now_step().yield_g for part in bearing)
        if grams > most_borne_g(whole):
            said = (
                f"{task.reader.said(grams)} from {units} units of {code} is more than they can "
                f"well bear (about {task.reader.said(whole)} over all flushes)."
            )
            settle(task, [said], "Look at the scale and its unit; if it is right, give a reason.")


def _early(code: str, bearing: Sequence[LivingLot], day: date) -> str:
    """Return in words that units came into the room too lately to be picked."""
    since = min(part.step_since for part in bearing)
    days = min(days_from(part.now_step(), part.step_since).low for part in bearing)
    if day < since:
        return (
            f"Lot {code} came into its grow room on {since.isoformat()}, after the day it is said "
            f"to be picked on, {day.isoformat()}."
        )
    here = plural((day - since).days, "day")
    return (
        f"Lot {code} has stood in its grow room for {here}; its first flush takes {days:g} days "
        "or more by its route."
    )


def _split(grams: int, job: PlannedJob) -> tuple[dict[str, int], str]:
    """Return grams shared out over the lots of a pick, and by what: as each was expected to bear.

    A lot whose flush ends bears less a unit than one whose flush begins; where nothing is known of
    that, living units count.
    """
    expected = {each.lot for each in job.borne if each.units > 0}
    is_known = bool(expected) and expected == {lot.lot for lot in job.lots}
    weights = _shared(grams, job.borne if is_known else job.lots)
    by = "as expected" if is_known else "by units"
    return weights, by if len(weights) > 1 else ""


def _shared(grams: int, lots: Sequence[LotAmount]) -> dict[str, int]:
    """Return grams shared out in proportion, to the gram."""
    if not lots:
        raise RefusedError("No lot is known for this pick.", "Say which lots were picked.")
    total = sum(lot.units for lot in lots) or len(lots)
    shares: dict[str, int] = {}
    given = units = 0
    for lot in lots:
        units += lot.units or 1
        shares[lot.lot] = round(grams * units / total) - given
        given += shares[lot.lot]
    return {lot: share for lot, share in shares.items() if share > 0}


def pack(task: Task) -> NewEntry:
    """Return the entry of packing."""
    need_units(task)
    if task.job.unit == "units":  # set ready, and on the books until they are handed over
        return trade.pack(task.tap, (), details=task.details)
    ask_about_packed(task)
    return trade.pack(task.tap, (), details={**task.details, "grams": task.answer.grams or 0})


def deliver(task: Task) -> NewEntry:
    """Return the entry of grams or units handed to a buyer for a promise."""
    promise = next((p for p in task.reader.book.promises if p.code == task.job.promise), None)
    if promise is None:
        raise RefusedError(f"There is no promise {task.job.promise} any more.")
    is_weight = promise.measure == "gram"
    wanted = as_in_store(task, _weight_or_all(task)) if is_weight else need_units(task)
    taken = weight_to_sell(task, wanted) if is_weight else units_to_sell(task, wanted)
    said = {**task.details, "count": max(1, round(wanted / GRAMS)) if is_weight else wanted}
    if is_weight:
        said["grams"] = wanted
    rate = promise.price_cents * wanted / (GRAMS if is_weight else 1)
    build = trade.deliver if is_weight else trade.sell
    return build(
        task.tap,
        taken,
        buyer=promise.buyer,
        promise=promise.code,
        for_day=task.job.day,
        price_cents=round(rate),
        details=said,
    )


def _weight_or_all(task: Task) -> int:
    """Return the grams handed over: those given, else all that the job asks for."""
    if task.answer.grams is not None:
        return task.answer.grams
    if task.answer.lots:
        return sum(grams for _, grams in task.answer.lots)
    if not task.job.grams:
        return task.count * GRAMS
    return _grams_left(task) or _weight(task)


def _grams_left(task: Task) -> int:
    """Return the grams of a delivery that were not handed over in parts before."""
    job = task.job
    handed = delivered_on(job.day, job.day, task.reader.book.farm.time_zone)
    before = handed.get((job.promise, job.day), 0)
    promised = next(p.amount for p in task.reader.book.promises if p.code == job.promise)
    return max(0, min(job.grams, promised - before)) if before else job.grams


def throw_out(task: Task) -> NewEntry:
    """Return the entry of picked mushrooms thrown out."""
    given = task.answer.lots
    grams = sum(n for _, n in given) if given else task.answer.grams
    taken = weight_to_throw_out(task, grams)
    out = sum(each.quantity for each in taken)
    task.details.update({"grams": out, "count": max(1, round(out / GRAMS))})
    entry = trade.waste(task.tap, taken, cause=task.answer.reason or "past its keeping days")
    return together([entry], task)
