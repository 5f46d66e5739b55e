"""The life of a lot speaks of that lot alone, in words a grower says."""

from __future__ import annotations

import secrets
from collections.abc import Callable

from farm.small_farm import NOW, Taps
from pinset.chain.register import FarmBook
from pinset.farm import door, trade
from pinset.farm.queries.story import life
from pinset.services.answers import recording, taking_back
from pinset.services.books.life_words import sentence_of
from pinset.services.books.lots import lot_view
from pinset.services.jobs.records import JobKind, LotAmount

LayJob = Callable[..., str]


def told(code: str) -> list[str]:
    return [event.what for event in lot_view(code).life]


def do(job: str, **more: object) -> recording.Done:
    return recording.done(
        job,
        person="ada",
        client_id=secrets.token_hex(16),
        **more,  # type: ignore[arg-type]
    )


def test_a_cook_says_how_many_it_made(lay: LayJob, stock: dict[str, str]) -> None:
    assert stock
    feeds = (LotAmount("", 30, "grain"),)
    job = lay(JobKind.COOK, steriliser="kettle", cook_kind="grain", count=30, feeds=feeds)
    [prepared] = do(job).new_lots
    assert told(prepared) == ["cooked in kettle, 30 units"]


def test_a_look_over_several_lots_counts_the_one_that_is_shown(
    lay: LayJob, stock: dict[str, str]
) -> None:
    lots = (LotAmount(stock["grain"], 20, "grain"), LotAmount(stock["block"], 17, "block"))
    do(lay(JobKind.LOOK, count=37, lots=lots))
    assert told(stock["grain"])[-1] == "20 units looked over, nothing seen yet at day 14"
    assert told(stock["block"])[-1] == "17 units looked over, nothing seen yet at day 14"


def test_pounds_for_a_farm_that_weighs_in_pounds(stock: dict[str, str], tap: Taps) -> None:
    """4.5 kg are 9.92 lb: 4.5 / 0.45359237, the international pound of 1959."""
    door.record([trade.pick(tap(), stock["fruiting"], 4500, 1, "inc-1")], now=NOW)
    happened = life(stock["fruiting"])[-1]
    assert sentence_of(happened, stock["fruiting"]) == "4.5 kg picked, flush 1"
    assert sentence_of(happened, stock["fruiting"], "us") == "9.92 lb picked, flush 1"


def test_what_was_taken_back_is_named(lay: LayJob, stock: dict[str, str]) -> None:
    lots = (LotAmount(stock["block"], 20, "block"),)
    job = lay(JobKind.MOVE, count=20, to_step="fruiting", to_room="grow", lots=lots)
    entry = do(job).entry
    taking_back.undo(entry, person="ada", client_id=secrets.token_hex(16), reason="a slip")
    assert "the move was taken back" in told(stock["block"])


def test_a_move_names_the_new_place_only(stock: dict[str, str], tap: Taps, farm: FarmBook) -> None:
    assert farm
    taken = trade.Taken(stock["grain"], 5, "inc-1")
    door.record([trade.move(tap(), taken, "inc-2")], now=NOW)
    happened = life(stock["grain"])[-1]
    assert sentence_of(happened, stock["grain"]) == "5 units moved to inc-2"
