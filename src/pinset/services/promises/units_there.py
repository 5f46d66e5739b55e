"""How many living units each promise of spawn or blocks will find usable on its day.

What is due first takes first, as with picked weight, and the oldest units first. Usable are units
that are ready by then, within their time, not held back and of a cleared culture; spawn on order
counts if it is to arrive by the day on which it is set ready.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from datetime import date

from pinset.chain.living import LivingLot
from pinset.chain.readiness import LotState, state
from pinset.chain.register import StepKind
from pinset.chain.stages import Stage
from pinset.planning.building.step_numbers import making_code
from pinset.planning.plan import Short
from pinset.services.book_reader import Reader
from pinset.services.promises.allotment import GRAM, in_order
from pinset.services.promises.due_deliveries import DueDelivery, open_amount, packed_on

UnitsThere = Mapping[tuple[str, date], int]
"""Units that will be usable, by promise and the day it is due."""


def is_of_step(lot: LivingLot, variety: str, step: str) -> bool:
    """Say whether units of a variety were made in the step that is sold, or stand in it."""
    return lot.variety == variety and step in {lot.step, _made_in(lot)}


def _made_in(lot: LivingLot) -> str:
    """Return the step in which fruiting units, too, were made."""
    before = ""
    for step in lot.route.steps:
        if step.code == lot.step:
            break
        before = step.code
    of = before if lot.now_step().kind is StepKind.FRUIT else lot.step
    return making_code(lot.route, of) or of


def units_there(
    due: Iterable[DueDelivery], living: Sequence[LivingLot], reader: Reader
) -> UnitsThere:
    """Return how many usable units there will be for each delivery of units that is open.

    Parameters
    ----------
    due : iterable of DueDelivery
        Deliveries of earlier days and to come; picked weight is left out.
    living : sequence of LivingLot
        Everything alive now, what is on order among it.
    reader : Reader
        The farm's book and day.

    Returns
    -------
    mapping of (promise code, day) to int
        No more than is open of the delivery. [units]
    """
    lots = sorted(living, key=lambda lot: (lot.made_on, lot.code))
    left = [lot.alive for lot in lots]
    found = {}
    for each in in_order(due, reader):
        promise, wanted = each.promise, open_amount(each)
        if promise.measure == GRAM:
            continue
        taken = 0
        for number, lot in enumerate(lots):
            if is_of_step(lot, promise.variety, promise.step) and _is_usable(lot, each, reader):
                units = min(wanted - taken, left[number])
                left[number] -= units
                taken += units
        found[promise.code, each.day] = taken
    return found


def units_given(
    there: UnitsThere, due: Iterable[DueDelivery], short: Iterable[Short]
) -> UnitsThere:
    """Return how many of the units that will be there the plan gives to each delivery.

    The others it uses for something else: blocks bear for what is promised by weight.
    """
    lacks: dict[tuple[str, date], float] = defaultdict(float)
    for lack in short:
        lacks[lack.promise.split("@")[0], lack.day] += lack.amount
    found = dict(there)
    for each in due:
        key = (each.promise.code, each.day)
        if key in there and key in lacks:
            found[key] = min(there[key], max(0, open_amount(each) - round(lacks[key])))
    return found


def _is_usable(lot: LivingLot, each: DueDelivery, reader: Reader) -> bool:
    if lot.held or lot.stage is Stage.PREPARED or lot.now_step().kind is StepKind.FRUIT:
        return False
    if lot.order and not reader.today <= lot.made_on <= packed_on(each, reader):
        return False
    return state(lot, max(each.day, reader.today)).state is LotState.READY
