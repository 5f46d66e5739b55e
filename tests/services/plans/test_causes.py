"""A change names what touches it: failed cooks, undone entries, vessels that are gone."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import timedelta

import pytest

from farm.small_farm import CODES, NOW, TODAY, Taps, lot
from pinset.chain.register import FarmBook
from pinset.chain.stages import Stage
from pinset.farm import door, trade
from pinset.farm.queries.story import last_entry_number
from pinset.services.answers import putting_off, taking_back
from pinset.services.answers.lot_actions import Saying, lose
from pinset.services.cooks.judge import verdict_entries
from pinset.services.jobs.records import JobKind, LotAmount, PlannedJob
from pinset.services.plans.plan_reasons import reasons
from services.conftest import FULL_BOOK
from services.recorded import LayJob, do, new_id, transfer

YESTERDAY = TODAY - timedelta(days=1)
COOK = "kettle-20260311-1000"
MADE = CODES[30]
KNOWN_NOT = "No single cause is known: the plan sees a day further and weighs all varieties"


def cooked_book() -> FarmBook:
    """Grain and blocks go through a cook, each its own."""
    route = FULL_BOOK.routes[0]
    cooks = {"grain": "grain", "block": "block"}
    steps = tuple(replace(step, cook=cooks.get(step.code, "")) for step in route.steps)
    return replace(FULL_BOOK, routes=(replace(route, steps=steps),))


def cook_of(step: str, units: int = 11) -> PlannedJob:
    return PlannedJob(
        f"cook:kettle:{step}", JobKind.COOK, "load", TODAY, units, "units", "vessels", "steriliser",
        cook_kind=step, feeds=(LotAmount("", units, step, "oyster-straw"),),
    )  # fmt: skip


def make(step: str, *lots: str) -> PlannedJob:
    return PlannedJob(
        f"make:{step}", JobKind.TRANSFER, "transfer", TODAY, 9, "units", "x", "laboratory",
        step=step, variety="grey", lots=tuple(LotAmount(code, 1) for code in lots),
    )  # fmt: skip


@pytest.fixture
def vessels(stock: dict[str, str], tap: Taps) -> str:  # noqa: ARG001
    """Eleven prepared jars for grain; returns their lot."""
    made = lot(MADE, Stage.PREPARED, "grain", variety="", culture="", made_on=YESTERDAY)
    entry = trade.cook(
        tap(hours=-23), COOK, [(made, 11)], "bay-1", steriliser="kettle", cook_kind="grain",
        hold_minutes=92,
    )  # fmt: skip
    door.record([entry], now=NOW)
    return MADE


def why() -> Callable[[PlannedJob], str]:
    return reasons(WHEN[-1], NOW, [], TODAY, YESTERDAY, cooked_book())


WHEN: list[int] = [0]


def mark() -> None:
    """Take the plan before as made of all that was written until now."""
    WHEN[-1] = last_entry_number()


def test_a_cook_that_failed_is_why_another_is_asked_for(vessels: str) -> None:
    mark()
    verdict_entries.judge_by_hand(new_id(), "ada", COOK, "fail", "the gauge fell")
    assert why()(cook_of("grain")) == f"Cook {COOK} failed."
    assert why()(make("grain")) == f"Cook {COOK} failed."
    assert why()(make("grain", vessels)).startswith(f"Cook {COOK} failed")
    assert why()(cook_of("block")).startswith(KNOWN_NOT), "vessels of another cook"


def test_vessels_that_are_gone_are_why_others_are_cooked(vessels: str) -> None:
    mark()
    lose(Saying(vessels, "ada", new_id()), 11)
    assert why()(cook_of("grain")) == f"11 units of {vessels} lost."
    assert why()(cook_of("block")).startswith(KNOWN_NOT)


def test_an_entry_that_was_taken_back_is_named(stock: dict[str, str], lay: LayJob) -> None:
    answer = do(transfer(lay, stock), count=24)
    mark()
    taking_back.undo(answer.entry, person="ada", client_id=new_id(), reason="a slip")
    assert "the transfer of" in why()(make("grain")).lower()
    assert "was taken back" in why()(make("grain"))
    assert "was taken back" in why()(make("plate")), "they stand again"


def test_a_job_that_was_dropped_is_named_with_its_reason(
    stock: dict[str, str], lay: LayJob
) -> None:
    mark()
    code = transfer(lay, stock)
    putting_off.not_at_all(code, person="ada", client_id=new_id(), reason="no time left")
    assert why()(make("grain")) == "Grain of 12 March was dropped (no time left)."


def test_what_was_done_as_planned_is_no_cause(stock: dict[str, str], lay: LayJob) -> None:
    mark()
    do(transfer(lay, stock), count=24)
    assert why()(make("grain")).startswith(KNOWN_NOT)
    mark()
    do(transfer(lay, stock, count=23), count=20)
    assert why()(make("grain")) == "Of grain of 12 March 20 of 23 were done."
    assert why()(make("block")) == "Of grain of 12 March 20 of 23 were done.", "made from it"


def test_a_mere_picking_of_the_variety_is_no_cause(stock: dict[str, str], tap: Taps) -> None:
    mark()
    picked = trade.pick(tap(hours=-1), stock["fruiting"], 900, 1, "cold-1")
    door.record([picked], now=NOW)
    assert why()(make("block")).startswith(KNOWN_NOT)
