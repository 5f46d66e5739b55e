"""Entries of picked weight that goes to an outlet, or into the drier, at its price."""

from __future__ import annotations

from pinset.chain.outlets import cents_per_fresh_kg
from pinset.chain.register import Outlet, OutletKind
from pinset.errors import InputError, RefusedError
from pinset.farm import trade
from pinset.farm.entries import NewEntry
from pinset.services.building.task import Task
from pinset.services.building.weight_sold import as_in_store, weight_to_sell
from pinset.services.words import GRAMS


def to_outlet(task: Task) -> NewEntry:
    """Return the entry of a job's weight that goes to its outlet.

    Raises
    ------
    InputError, RefusedError
        If no weight is given, the outlet or the variety is gone, or something speaks against it.
    """
    outlet = next((o for o in task.reader.book.outlets if o.code == task.job.outlet), None)
    if outlet is None or task.job.variety not in task.reader.varieties:
        raise RefusedError(f"{task.job.outlet} takes nothing of that any more.")
    given = sum(grams for _, grams in task.answer.lots) or task.answer.grams
    if given is None:
        raise InputError("grams", None, "the weight in grams, from the scale")
    grams = as_in_store(task, given)
    count = max(1, round(grams / GRAMS))
    task.details.update({"grams": grams, "count": count, "outlet": outlet.code})
    return entry_of(task, outlet, grams)


def entry_of(task: Task, outlet: Outlet, grams: int) -> NewEntry:
    """Return the entry of a weight handed to an outlet, or put into the drier.

    Raises
    ------
    RefusedError
        If nothing of it is in store, or something speaks against it and no reason is given.
    """
    taken = weight_to_sell(task, grams)  # what speaks against it is noted in the details
    if outlet.kind is OutletKind.DRYING:
        return trade.dry(task.tap, taken, details=task.details)
    variety = task.reader.varieties[task.job.variety]
    cents = round(cents_per_fresh_kg(outlet, variety) * grams / GRAMS)
    return trade.deliver(
        task.tap, taken, buyer=outlet.buyer, price_cents=cents, details=task.details
    )
