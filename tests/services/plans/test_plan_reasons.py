"""Why a plan differs: what was left undone, and how much of it."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import pytest

from farm.small_farm import BOOK, CODES, NOW, TODAY, Taps, describe, lot
from pinset.chain.stages import Stage
from pinset.farm import door, trade
from pinset.planning.plan import Plan
from pinset.services.jobs.matching import KnownJob
from pinset.services.jobs.records import JobKind, LotAmount, PlannedJob
from pinset.services.plans.plan_reasons import reasons
from pinset.services.plans.planning_day import Planned, with_those_before
from pinset.services.views import Change

YESTERDAY = TODAY - timedelta(days=1)
MOVE = PlannedJob(
    "move:lion", JobKind.MOVE, "move", YESTERDAY, 33, "units", "blocks in", "growing",
    step="fruiting", variety="lion",
)  # fmt: skip


@pytest.mark.django_db
@pytest.mark.parametrize(
    ("done", "said"),
    [
        (0, "Fruiting of 11 March was not done."),
        (20, "Of fruiting of 11 March 20 of 33 were done."),
    ],
)
def test_what_was_partly_done_was_not_left_undone(done: int, said: str) -> None:
    reason = reasons(0, NOW, [KnownJob("J1", MOVE, done)], TODAY, YESTERDAY)
    assert reason(MOVE) == said


@pytest.mark.django_db
def test_what_was_recorded_since_is_named_of_a_cook_too() -> None:
    describe(BOOK)
    made = lot(CODES[3], Stage.BLOCK, "block")
    opened = trade.opening(Taps()(hours=-1), made, 24, "inc-1")
    cook = PlannedJob(
        "cook:kettle:block", JobKind.COOK, "load", TODAY, 33, "units", "vessels", "steriliser",
        feeds=(LotAmount("", 33, "block", "oyster-straw"),),
    )  # fmt: skip
    before = reasons(0, NOW, [], TODAY, YESTERDAY, BOOK)
    assert before(cook) == (
        "No single cause is known: the plan sees a day further and weighs all varieties together "
        "anew."
    )
    door.record([opened], now=NOW)
    after = reasons(0, NOW, [], TODAY, YESTERDAY, BOOK)
    assert after(cook) == f"24 units of {made.code} made."
    assert after(replace(cook, feeds=())) == before(cook), "of another variety"


def plan_of(day: date) -> Plan:
    return Plan(day, 56, 14, (), (), (), (), (), (), (), 0.0, 0.0, 0.0, 0.0, "proven")


@pytest.mark.parametrize(("day", "kept"), [(TODAY, True), (YESTERDAY, False)])
def test_a_second_plan_of_a_day_keeps_what_the_first_told(day: date, *, kept: bool) -> None:
    told = (Change("New: 9 units of grain, today", "because"), Change("A moved", "so"))
    before = Planned(plan_of(day), (), (Change("A moved", "it was"), Change("B is gone", "x")),
                     NOW, 0)  # fmt: skip
    found = with_those_before(told, before, TODAY)
    assert found == ((*told, Change("B is gone", "x")) if kept else told)
    assert with_those_before(told, None, TODAY) == told
