"""Each lot of a pick is in its own flush, and no word makes a lot younger."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest

from farm.small_farm import CODES, NOW, TODAY, Taps, describe, lot
from pinset.chain.register import FarmBook, Flush, Spread, StepKind
from pinset.chain.stages import Stage
from pinset.errors import RefusedError
from pinset.farm import door, trade
from pinset.farm.models import Mention
from pinset.farm.queries.alive import living
from pinset.services.jobs.records import JobKind, LotAmount
from services.recorded import LayJob, do

NEW, OLD = CODES[130], CODES[131]
TWO = (Flush(Spread(0, 0, 0), 0.6, 3, 0.0), Flush(Spread(9, 12, 15), 0.4, 3, 0.05))


@pytest.fixture
def flushing(farm: FarmBook) -> None:
    """One lot before its first flush, and one that gave it before it was loaded two days ago.

    The first flush takes 10 days and three of picking: it was over 13 days ago.
    """
    [route] = farm.routes
    steps = tuple(
        replace(step, flushes=TWO) if step.kind is StepKind.FRUIT else step for step in route.steps
    )
    describe(replace(farm, routes=(replace(route, steps=steps),)))
    tap = Taps(start=70_000)
    for code, days, more in ((NEW, 12, {}), (OLD, 25, {"picked_g": 7000, "flush": 1})):
        since = TODAY - timedelta(days=days)
        made = lot(code, Stage.BLOCK, "fruiting", made_on=since - timedelta(days=20))
        given = {"step_since": since, **more}
        door.record([trade.opening(tap(hours=-48), made, 20, "grow-1", **given)], now=NOW)


def pick_of_both(lay: LayJob, day: int = 0) -> str:
    lots = (LotAmount(NEW, 20, "fruiting"), LotAmount(OLD, 20, "fruiting"))
    return lay(JobKind.PICK, key=f"pick:{day}", count=6, unit="kg", grams=6000, lots=lots)


def picked(code: str) -> list[int]:
    rows = Mention.objects.filter(lot__code=code, role="flush").exclude(value="before")
    return list(rows.order_by("id").values_list("count", flat=True))


@pytest.mark.usefixtures("flushing")
def test_each_lot_is_in_its_own_flush(lay: LayJob) -> None:
    do(pick_of_both(lay), lots=[(NEW, 2500), (OLD, 500)])
    assert (picked(NEW), picked(OLD)) == ([1], [2])
    [old] = living(TODAY, lots=[OLD])
    assert (old.flush, old.flush_g) == (2, 500)


@pytest.mark.usefixtures("flushing")
def test_a_flush_that_was_not_over_when_a_lot_was_loaded_goes_on(lay: LayJob) -> None:
    young = CODES[132]
    since = TODAY - timedelta(days=13)
    made = lot(young, Stage.BLOCK, "fruiting", made_on=since - timedelta(days=20))
    entry = trade.opening(
        Taps(start=71_000)(hours=-48), made, 20, "grow-1", step_since=since, picked_g=4000, flush=1
    )
    door.record([entry], now=NOW)
    do(pick_of_both(lay), lots=[(young, 2000)])
    assert picked(young) == [1]
    [one] = living(TODAY, lots=[young])
    assert (one.flush, one.flush_g) == (1, 6000), "with what was picked before it was loaded"


@pytest.mark.usefixtures("flushing")
def test_a_lower_flush_than_one_picked_is_asked_about(lay: LayJob) -> None:
    job = pick_of_both(lay)
    do(job, lots=[(OLD, 900)])
    again = pick_of_both(lay, 1)
    with pytest.raises(RefusedError, match=f"Flush 1 of lot {OLD} is named; flush 2 is picked"):
        do(again, lots=[(OLD, 500)], flush=1)
    do(again, lots=[(OLD, 500)], flush=1, reason="small ones left of the first")
    [old] = living(TODAY, lots=[OLD])
    assert (old.flush, old.flush_g) == (2, 900)
    do(pick_of_both(lay, 2), lots=[(OLD, 400)])
    assert picked(OLD) == [2, 1, 2]
