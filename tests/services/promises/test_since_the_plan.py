"""Promises says what was picked and lost since the plan that its expectations are of."""

from __future__ import annotations

import secrets

import pytest

from farm.small_farm import NOW, Taps
from pinset.chain.register import FarmBook
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


def test_a_farm_without_a_plan_says_nothing_of_it(farm: FarmBook) -> None:
    assert farm.promises
    assert remarks() == ()
