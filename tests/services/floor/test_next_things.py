"""What may happen to lots in hand, the usual thing first."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

from farm.small_farm import CODES, NOW, TODAY, Taps, describe
from farm.small_farm import lot as new_lot
from pinset.chain.register import FarmBook
from pinset.chain.stages import Stage
from pinset.farm import door, trade
from pinset.farm.trade import Taken
from pinset.farm.trade.looking import Verdict
from pinset.services.floor.next_things import hand_view
from pinset.services.floor.records import Deed, Held, NextThing
from pinset.services.jobs.records import JobKind, LotAmount
from services.conftest import FULL_BOOK, LayJob


def things(*held: str | Held) -> dict[Deed, NextThing]:
    view = hand_view(Held(each) if isinstance(each, str) else each for each in held)
    return {thing.deed: thing for thing in view.things}


def usual(*held: str | Held) -> NextThing:
    view = hand_view(Held(each) if isinstance(each, str) else each for each in held)
    [first] = [thing for thing in view.things if thing.is_usual]
    assert view.things[0] is first
    return first


def test_ready_grain_is_looked_over_and_never_moved(stock: dict[str, str]) -> None:
    assert usual(stock["grain"]).deed is Deed.LOOK
    found = things(stock["grain"])
    assert set(found) == {Deed.LOOK, Deed.LOSE, Deed.CARRY, Deed.HOLD}
    assert found[Deed.LOOK].amounts[0].count == 20
    assert found[Deed.LOSE].amounts[0].count == 1


def test_what_a_job_of_today_asks_comes_first(stock: dict[str, str], lay: LayJob) -> None:
    lots = (LotAmount(stock["grain"], 12, "grain"), LotAmount(stock["plate"], 3, "plate"))
    job = lay(JobKind.SHAKE, lots=lots, count=15)
    lay(JobKind.LOOK, lots=lots[:1], day=TODAY + timedelta(days=1))
    first = usual(stock["grain"])
    assert (first.deed, first.jobs, first.amounts[0].count) == (Deed.SHAKE, (job,), 12)
    assert things(stock["grain"])[Deed.LOOK].jobs == (), "that job is tomorrow's"


def test_ready_blocks_go_into_the_room_of_their_next_step(stock: dict[str, str]) -> None:
    first = usual(stock["block"])
    assert first.deed is Deed.MOVE
    assert first.words == "Moved into Grow room"


def test_young_blocks_do_not(farm: FarmBook) -> None:  # noqa: ARG001
    young = new_lot(CODES[120], Stage.BLOCK, "block", made_on=TODAY - timedelta(days=2))
    door.record([trade.opening(Taps()(hours=-40), young, 20, "inc-2")], now=NOW)
    assert Deed.MOVE not in things(young.code)


def test_a_lot_that_bears_is_picked(stock: dict[str, str], tap: Taps) -> None:
    assert Deed.PICK not in things(stock["fruiting"]), "its first flush is not due"
    seen = trade.judge(tap(hours=-1), stock["fruiting"], Verdict.READY, day=TODAY)
    door.record([seen], now=NOW)
    first = usual(stock["fruiting"])
    assert (first.deed, first.is_weighed) == (Deed.PICK, True)


def test_grain_is_shaken_at_its_age(farm: FarmBook) -> None:
    route = farm.routes[0]
    steps = tuple(
        replace(step, shake_days=(5, 9)) if step.code == "grain" else step for step in route.steps
    )
    describe(replace(FULL_BOOK, routes=(replace(route, steps=steps),)))
    tap = Taps(start=500)
    for number, days in enumerate((5, 6, 12)):
        made = new_lot(CODES[130 + number], Stage.GRAIN, "grain", made_on=TODAY - timedelta(days))
        door.record([trade.opening(tap(hours=-24 * 13), made, 10, "inc-1")], now=NOW)
    assert usual(CODES[130]).deed is Deed.SHAKE
    assert usual(CODES[131]).deed is Deed.LOOK
    assert Deed.SHAKE in things(CODES[131])
    assert Deed.SHAKE not in things(CODES[132])


def test_what_is_held_back_is_looked_over_or_offered_again(
    stock: dict[str, str], tap: Taps
) -> None:
    held = trade.judge(tap(hours=-5), stock["block"], Verdict.HELD, reason="looks odd")
    door.record([held], now=NOW)
    found = things(stock["block"])
    assert usual(stock["block"]).deed is Deed.LOOK
    assert Deed.RELEASE in found
    assert not {Deed.MOVE, Deed.HOLD, Deed.USE} & set(found)
    [in_hand] = hand_view([Held(stock["block"])]).lots
    assert in_hand.remarks == ("Held back: looks odd",)


def test_a_part_that_fruits_is_picked_and_the_rest_moves(half_fruiting: str) -> None:
    found = things(half_fruiting)
    assert found[Deed.MOVE].amounts[0].count == 6


def test_parents_are_offered_for_the_transfers_they_fit(stock: dict[str, str], lay: LayJob) -> None:
    lots = (LotAmount(stock["plate"], 2, "plate"),)
    job = lay(JobKind.TRANSFER, step="grain", stage="grain", lots=lots, count=16,
              what="grain jars from 2 plates")  # fmt: skip
    use = usual(stock["plate"])
    assert (use.deed, use.jobs, use.makes, use.amounts[0].count) == (Deed.USE, (job,), 16, 2)
    assert use.words == "Used for grain jars"
    assert Deed.USE not in things(stock["grain"])


def test_labels_of_units_say_how_many(stock: dict[str, str]) -> None:
    found = things(Held(stock["grain"], (3, 12)))
    assert {each.amounts[0].count for each in found.values()} == {2}
    assert found[Deed.LOOK].amounts[0].units == (3, 12)


def test_several_in_hand_share_what_may_happen_to_all(stock: dict[str, str], lay: LayJob) -> None:
    found = things(stock["grain"], stock["block"])
    assert set(found) == {Deed.LOOK, Deed.LOSE, Deed.CARRY, Deed.HOLD}
    assert [each.count for each in found[Deed.LOOK].amounts] == [20, 20]
    one = lay(JobKind.LOOK, lots=(LotAmount(stock["grain"], 20, "grain"),), count=20)
    found = things(stock["grain"], stock["block"])
    assert found[Deed.LOOK].jobs == (one,)
    assert found[Deed.LOOK].job_lots == (stock["grain"],)


def test_a_lot_that_is_gone_meanwhile_is_shown_and_left_out(
    stock: dict[str, str], tap: Taps
) -> None:
    lost = trade.lose(tap(hours=-9), Taken(stock["grain"], 20, "inc-1"), cause="green mould")
    door.record([lost], now=NOW)
    view = hand_view([Held(stock["grain"]), Held(stock["block"])])
    assert [each.sentence.startswith("nothing alive") for each in view.lots] == [True, False]
    assert {a.lot for thing in view.things for a in thing.amounts} == {stock["block"]}
    assert hand_view([Held(stock["grain"])]).things == ()


def test_cautions_stand_with_what_they_belong_to(stock: dict[str, str]) -> None:
    assert any("mould" in each for each in hand_view([Held(stock["grain"])]).cautions)
