"""Promises says what was picked and lost since the plan that its expectations are of."""

from __future__ import annotations

import secrets

import pytest

from farm.small_farm import CODES, NOW, Taps, lot
from pinset.chain.register import FarmBook
from pinset.chain.stages import Stage
from pinset.farm import door, trade
from pinset.services import memory
from pinset.services.answers import taking_back
from pinset.services.plans import planning_day
from pinset.services.promises import promises


def remarks() -> tuple[str, ...]:
    memory.forget_all()
    return tuple(each for each in promises.promises_view().remarks if each.startswith("Since"))


@pytest.mark.usefixtures("farm")
def test_what_was_picked_and_lost_is_said_until_the_next_plan(stock: dict[str, str]) -> None:
    planning_day.replan()
    assert remarks() == ()
    tap = Taps(start=60_000)
    pick = trade.pick(tap(hours=-1), stock["fruiting"], 1500, 1, "cold-1")
    lose = trade.lose(tap(hours=-1), trade.Taken(stock["grain"], 3, "inc-1"), cause="mould")
    door.record([pick, lose], now=NOW)
    [said] = remarks()
    assert "1.5 kg Grey oyster picked and 3 units of Grey oyster lost" in said
    assert said.endswith("plan again to count it in.")
    taking_back.undo(
        lose.client_id, person="ada", client_id=secrets.token_hex(16), reason="another jar"
    )
    [said] = remarks()
    assert "lost" not in said
    planning_day.replan()
    assert remarks() == ()


@pytest.mark.usefixtures("farm")
def test_vessels_out_of_a_cook_are_no_variety(stock: dict[str, str]) -> None:
    assert stock
    planning_day.replan()
    tap = Taps(start=60_000)
    made = lot(CODES[40], Stage.PREPARED, "grain", variety="", culture="")
    cook = trade.cook(
        tap(hours=-9), "kettle-1", [(made, 13)], "bay-1", steriliser="kettle", cook_kind="grain"
    )
    lose = trade.lose(tap(hours=-1), trade.Taken(made.code, 13, "bay-1"), cause="mould")
    door.record([cook, lose], now=NOW)
    [said] = remarks()
    assert "13 prepared vessels lost" in said


def test_a_farm_without_a_plan_says_nothing_of_it(farm: FarmBook) -> None:
    assert farm.promises
    assert remarks() == ()
