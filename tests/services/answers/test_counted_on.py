"""What the plan still moves or uses is not asked to be thrown out the same day."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date, timedelta

from farm.small_farm import BOOK, ROUTE, TODAY
from pinset.chain.living import LivingLot
from pinset.chain.stages import Stage
from pinset.planning.plan import LotShare, Move, ParentUse, Plan, Start
from pinset.services.book_reader import Reader
from pinset.services.jobs.from_plan import units_counted_on
from pinset.services.jobs.on_shelves import past_their_time
from pinset.services.jobs.records import LotAmount, PlannedJob


def blocks(place: str = "inc-1", alive: int = 20) -> LivingLot:
    since = TODAY - timedelta(days=50)
    return LivingLot(
        code="AAAAA", variety="grey", step="block", stage=Stage.BLOCK, alive=alive, made_on=since,
        step_since=since, place=place, room="inc", temperature_c=24.0, route=ROUTE,
    )  # fmt: skip


def yesterday(_: LivingLot) -> date:
    return TODAY - timedelta(days=1)


def over(counted_on: Mapping[str, int], *lots: LivingLot) -> tuple[PlannedJob, ...]:
    return past_their_time(lots or (blocks(),), Reader(BOOK, TODAY), yesterday, counted_on)


def test_what_the_plan_moves_is_not_thrown_out() -> None:
    assert over({"AAAAA": 20}) == ()
    assert len(over({"BBBBB": 20})) == 1


def test_of_a_lot_that_is_partly_used_only_the_rest_is_asked_about() -> None:
    [job] = over({"AAAAA": 12})
    assert (job.count, job.minutes) == (8, 4)
    assert job.lots == (LotAmount("AAAAA", 8, "block", place="inc-1"),)
    [both] = over({"AAAAA": 12}, blocks(), blocks("inc-2", 5))
    assert both.count == 13


def test_moves_and_uses_of_every_day_count_in_whole_units() -> None:
    move = Move(TODAY, "grey", "fruiting", 20, "grow", (LotShare("AAAAA", 20.0),))
    use = ParentUse("plate", 0.6, (LotShare("CCCCC", 0.6),))
    starts = [
        Start(
            TODAY + timedelta(days=day), "grey", "grain", Stage.GRAIN, 5, (use,), 5.0,
            TODAY + timedelta(days=14), (), "", provisional=day > 1,
        )
        for day in (1, 2)
    ]  # fmt: skip
    plan = Plan(
        TODAY, 60, 30, tuple(starts), (move,), (), (), (), (), (), 0.0, 1.0, 0.0, 0.0, "proven"
    )
    assert units_counted_on(plan) == {"AAAAA": 20, "CCCCC": 2}
