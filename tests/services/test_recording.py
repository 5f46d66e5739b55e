"""Every kind of job is written down once, as it was done, and can be taken back."""

from __future__ import annotations

import secrets
from collections.abc import Callable
from datetime import date, timedelta

import pytest

from farm.small_farm import CODES, NOW, TODAY, Taps, lot
from pinset.chain.stages import Stage
from pinset.errors import InputError, RefusedError
from pinset.farm import door, job_store, trade, whereabouts
from pinset.farm.check import check
from pinset.farm.models import Entry, Job, Lot, Mention
from pinset.farm.queries.lots import lot_by_code, rows_of
from pinset.services import cook_verdict_entries, lot_actions, lots, recording
from pinset.services.job_records import JobKind, LotAmount, VarietyGrams
from pinset.services.lot_actions import Saying

LayJob = Callable[..., str]


def counts(code: str) -> dict[str, int]:
    [row] = rows_of([lot_by_code(code)])
    names = ("made", "alive", "used", "lost", "culled", "spent", "sold", "unexplained")
    return {name: getattr(row.counts, name) for name in names if getattr(row.counts, name)}


def new_id() -> str:
    return secrets.token_hex(16)


def do(job: str, **more: object) -> recording.Done:
    return recording.done(job, person="ada", client_id=new_id(), **more)  # type: ignore[arg-type]


def transfer(lay: LayJob, stock: dict[str, str], count: int = 24, parents: int = 3) -> str:
    return lay(
        JobKind.TRANSFER,
        step="grain",
        stage="grain",
        count=count,
        lots=(LotAmount(stock["plate"], parents, "plate"),),
    )


def test_a_transfer_uses_parents_and_makes_a_lot(lay: LayJob, stock: dict[str, str]) -> None:
    answer = do(transfer(lay, stock))
    [child] = answer.new_lots
    assert counts(child) == {"made": 24, "alive": 24}
    assert counts(stock["plate"]) == {"made": 20, "alive": 17, "used": 3}
    assert lot_by_code(child).culture == "g1"
    assert check() == ()


def test_fewer_made_opens_fewer_parents(lay: LayJob, stock: dict[str, str]) -> None:
    [child] = do(transfer(lay, stock), count=8).new_lots
    assert counts(child) == {"made": 8, "alive": 8}
    assert counts(stock["plate"])["used"] == 1


def test_parents_are_opened_by_the_units_made(lay: LayJob, stock: dict[str, str]) -> None:
    job = transfer(lay, stock, count=18, parents=3)  # six of each
    recording.part_done(job, person="ada", client_id=new_id(), count=12)
    assert counts(stock["plate"])["used"] == 2
    do(job, count=12)
    assert counts(stock["plate"])["used"] == 4
    do(transfer(lay, stock, count=12, parents=2), count=24)
    assert counts(stock["plate"])["used"] == 8


def test_other_lots_than_planned(lay: LayJob, stock: dict[str, str]) -> None:
    do(transfer(lay, stock), lots=[(stock["plate"], 5)])
    assert counts(stock["plate"])["used"] == 5


def test_a_lot_that_is_no_parent_here_is_refused(lay: LayJob, stock: dict[str, str]) -> None:
    job = transfer(lay, stock)
    with pytest.raises(RefusedError, match="is not made on this route"):
        do(job, lots=[(stock["block"], 2)])
    assert counts(stock["block"]) == {"made": 20, "alive": 20}


def test_an_unknown_lot_is_refused_and_nothing_is_written(
    lay: LayJob, stock: dict[str, str]
) -> None:
    before = Entry.objects.count()
    job = transfer(lay, stock)
    with pytest.raises(RefusedError, match="There is no lot 22222"):
        do(job, lots=[("22222", 2)])
    assert Entry.objects.count() == before


def test_the_same_tap_twice_is_one_entry(lay: LayJob, stock: dict[str, str]) -> None:
    job, tap = transfer(lay, stock), new_id()
    first = recording.done(job, person="ada", client_id=tap)
    again = recording.done(job, person="ada", client_id=tap)
    assert (first.already, again.already) == (False, True)
    assert counts(stock["plate"])["used"] == 3
    assert Entry.objects.filter(job=job).count() == 1


def test_a_finished_job_is_not_done_again_by_another_tap(
    lay: LayJob, stock: dict[str, str]
) -> None:
    job = transfer(lay, stock)
    do(job)
    with pytest.raises(RefusedError, match="recorded as done"):
        do(job)


def test_part_done_leaves_the_rest(lay: LayJob, stock: dict[str, str]) -> None:
    job = transfer(lay, stock)
    recording.part_done(job, person="ada", client_id=new_id(), count=8)
    assert not job_store.job_by_code(job).is_closed  # type: ignore[union-attr]
    [child] = do(job).new_lots
    assert counts(child)["made"] == 16
    assert job_store.job_by_code(job).is_closed  # type: ignore[union-attr]
    assert counts(stock["plate"])["used"] == 3


def test_undo_is_a_correcting_entry_and_opens_the_job_again(
    lay: LayJob, stock: dict[str, str]
) -> None:
    job = transfer(lay, stock)
    answer = do(job)
    recording.undo(answer.entry, person="ben", client_id=new_id(), reason="wrong jars")
    assert counts(stock["plate"]) == {"made": 20, "alive": 20}
    assert not job_store.job_by_code(job).is_closed  # type: ignore[union-attr]
    assert Entry.objects.filter(job=job).count() == 2
    assert check() == ()
    do(job)
    assert counts(stock["plate"])["used"] == 3


def test_more_used_than_stood_there_needs_a_reason(lay: LayJob, stock: dict[str, str]) -> None:
    job = transfer(lay, stock)
    with pytest.raises(RefusedError, match=r"25 of lot \w+ are named, and 20 stand there"):
        do(job, lots=[(stock["plate"], 25)])
    answer = do(job, lots=[(stock["plate"], 25)], reason="five more stood behind")
    assert answer.findings
    assert counts(stock["plate"]) == {"made": 20, "used": 25, "unexplained": -5}


@pytest.mark.parametrize("kind", [JobKind.MOVE, JobKind.SHAKE, JobKind.CLEAR, JobKind.DISCARD])
def test_more_than_stands_there_is_not_worked_on_without_a_reason(
    lay: LayJob, stock: dict[str, str], kind: JobKind
) -> None:
    planned = (LotAmount(stock["block"], 20, "block"),)
    job = lay(kind, count=20, lots=planned, to_step="fruiting", to_room="grow")
    with pytest.raises(RefusedError, match="40 of lot"):
        do(job, lots=[(stock["block"], 40)])
    assert counts(stock["block"]) == {"made": 20, "alive": 20}


def test_cook_makes_prepared_vessels_which_transfers_use(
    lay: LayJob, stock: dict[str, str]
) -> None:
    cook = lay(
        JobKind.COOK,
        steriliser="kettle",
        cook_kind="grain",
        variety="",
        count=30,
        feeds=(LotAmount("", 30, "grain"),),
    )
    [prepared] = do(cook).new_lots
    assert counts(prepared) == {"made": 30, "alive": 30}
    code = lot_by_code(prepared).cook
    cook_verdict_entries.judge_by_hand(
        new_id(), "ada", code, "pass", "90 min at 1.0 bar by the gauge"
    )
    do(transfer(lay, stock))
    assert counts(prepared) == {"made": 30, "alive": 6, "used": 24}


def test_move_into_a_grow_room(lay: LayJob, stock: dict[str, str]) -> None:
    job = lay(
        JobKind.MOVE,
        count=20,
        to_step="fruiting",
        to_room="grow",
        lots=(LotAmount(stock["block"], 20, "block"),),
    )
    do(job)
    [row] = rows_of([lot_by_code(stock["block"])])
    assert row.places == ("grow-1",)


def test_pick_pack_deliver_close_the_loop(lay: LayJob, stock: dict[str, str]) -> None:
    pick = lay(JobKind.PICK, count=6, unit="kg", lots=(LotAmount(stock["fruiting"], 20),))
    with pytest.raises(InputError, match="weight"):
        do(pick)
    do(pick, grams=6200)
    do(lay(JobKind.PACK, count=5, unit="kg", grams=5000, variety=""))
    deliver = lay(JobKind.DELIVER, count=5, unit="kg", grams=5000, promise="market-grey")
    answer = do(deliver)
    entry = Entry.objects.get(client_id=answer.entry)
    assert entry.details["promise"] == "market-grey"
    assert entry.details["for_day"] == TODAY.isoformat()
    assert entry.details["price_cents"] == 4500
    [row] = rows_of([lot_by_code(stock["fruiting"])])
    assert (row.counts.grown_g, row.counts.store_g, row.counts.delivered_g) == (6200, 1200, 5000)
    assert check() == ()


def test_packing_more_than_is_in_store_needs_a_reason(lay: LayJob, stock: dict[str, str]) -> None:
    weights = (VarietyGrams("grey", 5000),)
    pack = lay(JobKind.PACK, count=5, unit="kg", grams=5000, variety="", weights=weights)
    with pytest.raises(RefusedError, match="Nothing of Grey oyster is in the cold store, and 5"):
        do(pack)
    pick = lay(JobKind.PICK, count=6, unit="kg", lots=(LotAmount(stock["fruiting"], 20),))
    do(pick, grams=4000)
    for answer in ({}, {"count": 5}, {"grams": 4001}):
        with pytest.raises(RefusedError, match="Only 4 kg of Grey oyster are in the cold store"):
            do(pack, **answer)
    recording.part_done(pack, person="ada", client_id=new_id(), grams=4000, count=4)
    do(pack, grams=5000, reason="a box of our own")


def test_delivering_what_was_never_picked_is_refused(lay: LayJob, stock: dict[str, str]) -> None:
    deliver = lay(JobKind.DELIVER, count=5, unit="kg", grams=5000, promise="market-grey")
    with pytest.raises(RefusedError, match="Record what was picked first"):
        do(deliver)
    assert counts(stock["fruiting"])["alive"] == 20


def test_spawn_sold_in_units(lay: LayJob, stock: dict[str, str]) -> None:
    do(lay(JobKind.DELIVER, count=3, step="grain", promise="spawn"))
    assert counts(stock["grain"]) == {"made": 20, "alive": 17, "sold": 3}


def test_shake_look_round_clear_discard_prepare_order(lay: LayJob, stock: dict[str, str]) -> None:
    grain = (LotAmount(stock["grain"], 20, "grain"),)
    do(lay(JobKind.SHAKE, count=20, lots=grain))
    do(lay(JobKind.LOOK, count=20, lots=grain))
    do(lay(JobKind.ROUND, count=1, unit="rooms", variety=""))
    do(lay(JobKind.PREPARE, task="soak", count=30, variety=""))
    do(lay(JobKind.ORDER, step="grain", count=4))
    do(lay(JobKind.CLEAR, count=20, lots=(LotAmount(stock["fruiting"], 20),)))
    do(lay(JobKind.DISCARD, count=20, lots=grain))
    assert counts(stock["fruiting"]) == {"made": 20, "spent": 20}
    assert counts(stock["grain"]) == {"made": 20, "culled": 20}
    assert check() == ()


@pytest.mark.parametrize("count", [-1, 100_001])
def test_absurd_counts_are_refused(lay: LayJob, stock: dict[str, str], count: int) -> None:
    job = transfer(lay, stock)
    with pytest.raises(InputError, match="count"):
        do(job, count=count)


def test_nothing_done_is_said_another_way(lay: LayJob, stock: dict[str, str]) -> None:
    job = transfer(lay, stock)
    with pytest.raises(InputError, match="not today, or not at all"):
        do(job, count=0)


def test_not_today_keeps_the_job_and_not_at_all_closes_it(
    lay: LayJob, stock: dict[str, str]
) -> None:
    job = transfer(lay, stock)
    recording.not_today(job, person="ada", client_id=new_id(), reason="no time")
    assert not job_store.job_by_code(job).is_closed  # type: ignore[union-attr]
    recording.not_at_all(job, person="ada", client_id=new_id(), reason="not needed")
    assert job_store.job_by_code(job).is_closed  # type: ignore[union-attr]
    with pytest.raises(InputError, match="reason"):
        recording.not_today(job, person="ada", client_id=new_id(), reason=" ")


def test_only_one_person_holds_a_claim(lay: LayJob, stock: dict[str, str]) -> None:
    job = transfer(lay, stock)
    assert recording.claim(job, "ada")
    assert recording.claim(job, "ada")
    assert not recording.claim(job, "ben")
    assert not recording.release(job, "ben")
    assert recording.release(job, "ada")
    assert recording.claim(job, "ben")


def test_numbers_far_from_the_plan_need_a_reason(lay: LayJob, stock: dict[str, str]) -> None:
    pick = lay(JobKind.PICK, count=6, unit="kg", lots=(LotAmount(stock["fruiting"], 20),))
    with pytest.raises(RefusedError, match="Look at the scale"):
        do(pick, grams=4_000_000)
    do(pick, grams=40_000, reason="two flushes at once")
    look = lay(JobKind.LOOK, count=20, lots=(LotAmount(stock["grain"], 20),))
    with pytest.raises(RefusedError, match="far above the 20 planned"):
        do(look, count=5000)


def test_work_of_another_day_needs_a_reason(lay: LayJob, stock: dict[str, str]) -> None:
    job = lay(JobKind.SHAKE, day=TODAY + timedelta(days=1), lots=(LotAmount(stock["grain"], 12),))
    with pytest.raises(RefusedError, match="planned for 2026-03-13"):
        do(job)
    do(job, reason="had time")


def test_picking_from_a_lot_on_the_shelves_needs_a_reason(
    lay: LayJob, stock: dict[str, str]
) -> None:
    pick = lay(JobKind.PICK, count=6, unit="kg", lots=(LotAmount(stock["fruiting"], 20),))
    with pytest.raises(RefusedError, match="does not stand in a grow room"):
        do(pick, lots=[(stock["block"], 2000)])
    do(pick, lots=[(stock["block"], 2000)], reason="it pinned on the shelf")
    assert check() == ()


def test_picking_long_before_the_first_flush_needs_a_reason(
    lay: LayJob, half_fruiting: str
) -> None:
    """Moved a day ago; its route gives 8 to 12 days."""
    pick = lay(JobKind.PICK, count=2, unit="kg", lots=(LotAmount(half_fruiting, 14),))
    with pytest.raises(RefusedError, match="for 1 day; its first flush takes 8 days or more"):
        do(pick, grams=2000)
    do(pick, grams=2000, reason="it pinned in the bag")
    assert check() == ()


def test_what_speaks_against_a_parent_is_said_and_needs_a_reason(
    lay: LayJob, stock: dict[str, str]
) -> None:
    lot_actions.hold(Saying(stock["plate"], "ada", new_id()), "a green speck")
    job = transfer(lay, stock)
    with pytest.raises(RefusedError, match="held back: a green speck"):
        do(job)
    assert counts(stock["plate"]) == {"made": 20, "alive": 20}
    answer = do(job, reason="far from the speck")
    assert any("held back" in finding for finding in answer.findings)
    entry = Entry.objects.get(client_id=answer.entry)
    assert entry.details["reason"] == "far from the speck"
    assert entry.details["against"]


def test_a_parent_that_is_not_ready_or_past_its_time_needs_a_reason(
    lay: LayJob, stock: dict[str, str]
) -> None:
    for code, age, said in ((CODES[120], 2, "not ready"), (CODES[121], 300, "past its time")):
        made = lot(code, Stage.PLATE, "plate", made_on=TODAY - timedelta(days=age))
        door.record([trade.opening(Taps(9000 + age)(hours=-1), made, 5, "inc-1")], now=NOW)
        with pytest.raises(RefusedError, match=said):
            do(transfer(lay, stock), lots=[(code, 2)])


def test_cultures_are_not_mixed_without_a_word(lay: LayJob, stock: dict[str, str]) -> None:
    other = lot(CODES[122], Stage.PLATE, "plate", culture="g2", made_on=TODAY - timedelta(days=14))
    door.record([trade.opening(Taps(9500)(hours=-1), other, 5, "inc-1")], now=NOW)
    both = [(stock["plate"], 1), (other.code, 2)]
    job = transfer(lay, stock)
    with pytest.raises(RefusedError, match="cultures differ"):
        do(job, lots=both)
    [child] = do(job, lots=both, reason="a trial").new_lots
    assert lot_by_code(child).culture == ""


def test_count_and_lots_say_the_same(lay: LayJob, stock: dict[str, str]) -> None:
    clear = lay(JobKind.CLEAR, count=20, lots=(LotAmount(stock["fruiting"], 20),))
    with pytest.raises(InputError, match="the sum of the lots"):
        do(clear, count=5, lots=[(stock["fruiting"], 12)])
    recording.part_done(
        clear,
        person="ada",
        client_id=new_id(),
        lots=[(stock["fruiting"], 3), (stock["fruiting"], 2)],
    )
    assert counts(stock["fruiting"]) == {"made": 20, "alive": 15, "spent": 5}


def test_lots_repeated_as_planned_scale_with_the_part(lay: LayJob, stock: dict[str, str]) -> None:
    job = transfer(lay, stock, count=10, parents=2)
    planned = [(stock["plate"], 2)]
    recording.part_done(job, person="ada", client_id=new_id(), count=3, lots=planned)
    assert counts(stock["plate"])["used"] == 1
    do(job, lots=planned)
    assert counts(stock["plate"])["used"] == 2


def test_a_job_told_later_is_dated_when_it_happened(lay: LayJob, stock: dict[str, str]) -> None:
    [child] = do(transfer(lay, stock), at=NOW - timedelta(days=2)).new_lots
    assert lot_by_code(child).made_on == TODAY - timedelta(days=2)


def test_undoing_an_old_put_off_leaves_a_finished_job_finished(
    lay: LayJob, stock: dict[str, str]
) -> None:
    job = transfer(lay, stock)
    off = recording.not_today(job, person="ada", client_id=new_id(), reason="no time")
    do(job, count=20)
    recording.undo(off.entry, person="ada", client_id=new_id(), reason="a slip")
    with pytest.raises(RefusedError, match="recorded as done"):
        do(job)
    assert counts(stock["plate"])["used"] == 3


def test_an_id_that_belongs_to_something_else_is_no_answer(
    lay: LayJob, stock: dict[str, str]
) -> None:
    first, second = transfer(lay, stock), lay(JobKind.ROUND, count=1, unit="rooms", variety="")
    tap = new_id()
    recording.done(first, person="ada", client_id=tap)
    with pytest.raises(InputError, match="fresh random id"):
        recording.done(second, person="ada", client_id=tap)
    with pytest.raises(InputError, match="fresh random id"):
        recording.undo(tap, person="ada", client_id=tap, reason="a slip")


def test_a_withdrawn_job_needs_a_reason(lay: LayJob, stock: dict[str, str]) -> None:
    job = transfer(lay, stock)
    Job.objects.filter(code=job).update(withdrawn_at=NOW)
    with pytest.raises(RefusedError, match="no longer asks"):
        do(job)
    assert do(job, reason="was at it already").new_lots


def test_a_cook_that_is_described_no_more_is_refused_in_words(lay: LayJob) -> None:
    with pytest.raises(RefusedError, match="does no rice cooks"):
        do(lay(JobKind.COOK, steriliser="kettle", cook_kind="rice", variety="", count=3))


def test_another_variety_is_refused(lay: LayJob, stock: dict[str, str]) -> None:
    Lot.objects.filter(code=stock["plate"]).update(variety="pink")
    with pytest.raises(RefusedError, match="Take a lot of the right variety"):
        do(transfer(lay, stock))


def test_more_than_is_in_store_needs_a_reason(lay: LayJob, stock: dict[str, str]) -> None:
    do(lay(JobKind.PICK, count=2, unit="kg", lots=(LotAmount(stock["fruiting"], 20),)), grams=2000)
    job = lay(JobKind.DELIVER, count=5, unit="kg", grams=5000, promise="market-grey")
    with pytest.raises(RefusedError, match=r"Only 2 kg"):
        do(job)
    assert do(job, reason="weighed at the market").findings


def test_vessels_of_another_recipe_are_never_taken(lay: LayJob, stock: dict[str, str]) -> None:
    cook = lay(
        JobKind.COOK,
        steriliser="kettle",
        cook_kind="grain",
        variety="",
        count=30,
        feeds=(LotAmount("", 30, "block", "oyster-straw"),),
    )
    [bags] = do(cook).new_lots
    do(transfer(lay, stock))
    assert counts(bags) == {"made": 30, "alive": 30}


def test_a_start_from_the_collection_needs_no_parent_lot(lay: LayJob) -> None:
    [child] = do(lay(JobKind.TRANSFER, step="plate", stage="plate", count=4)).new_lots
    assert lot_by_code(child).culture == "g1"
    assert counts(child) == {"made": 4, "alive": 4}


def test_a_text_is_kept_whole_or_refused(lay: LayJob, stock: dict[str, str]) -> None:
    job = transfer(lay, stock)
    with pytest.raises(InputError, match="at most 2000 signs"):
        do(job, note="x" * 3000)
    answer = do(job, note="two lids cracked\x1b[31m")
    event = next(e for e in lots.lot_view(answer.new_lots[0]).life if e.entry == answer.entry)
    assert event.note == "two lids cracked[31m"


@pytest.mark.parametrize("number", [0, -4])
def test_lots_without_units_are_refused(lay: LayJob, stock: dict[str, str], number: int) -> None:
    with pytest.raises(InputError, match="1 unit or more"):
        do(transfer(lay, stock), lots=[(stock["plate"], number)])


def test_taking_back_what_was_used_since_is_said(lay: LayJob, stock: dict[str, str]) -> None:
    move = lay(
        JobKind.MOVE,
        count=20,
        to_step="fruiting",
        to_room="grow",
        lots=(LotAmount(stock["block"], 20, "block"),),
    )
    answer = do(move)
    lot_actions.lose(Saying(stock["block"], "ada", new_id()), 20, "green dust")
    back = recording.undo(answer.entry, person="ada", client_id=new_id(), reason="wrong room")
    assert back.findings


def test_a_day_beyond_reach_is_refused(stock: dict[str, str]) -> None:
    with pytest.raises(InputError, match="within two years"):
        lot_actions.expect_ready(Saying(stock["block"], "ada", new_id()), date(9999, 12, 31))
    assert lots.lots_view().total == 4


def test_the_rest_of_a_job_is_done_on_the_lots_that_are_left(
    lay: LayJob, stock: dict[str, str]
) -> None:
    other = lot(CODES[160], Stage.BLOCK, "block", made_on=TODAY - timedelta(days=14))
    door.record([trade.opening(Taps(start=50_000)(hours=-48), other, 20, "inc-2")], now=NOW)
    job = lay(
        JobKind.MOVE,
        count=40,
        to_step="fruiting",
        to_room="grow",
        lots=(LotAmount(stock["block"], 20, "block"), LotAmount(other.code, 20, "block")),
    )
    recording.part_done(job, person="ada", client_id=new_id(), lots=[(stock["block"], 20)])
    done = do(job)
    assert done.findings == ()
    moved = Mention.objects.filter(role="step", entry__job=job).values_list("lot__code", "count")
    assert sorted(moved) == sorted([(stock["block"], 20), (other.code, 20)])
    assert check() == ()


@pytest.fixture
def half_fruiting(stock: dict[str, str]) -> str:
    """A lot of which 14 units fruit in the grow room and 6 are left on the shelf."""
    tap = Taps(start=60_000)
    taken = trade.Taken(stock["block"], 14, "inc-2")
    door.record([trade.move(tap(hours=-20), taken, "grow-1", step="fruiting")], now=NOW)
    return stock["block"]


def standing_at(code: str) -> dict[str, int]:
    return {each.place: each.quantity for each in whereabouts.units_of([code])[code]}


def test_what_is_past_its_time_is_taken_from_where_it_is(lay: LayJob, half_fruiting: str) -> None:
    job = lay(JobKind.DISCARD, count=6, room="inc", lots=(LotAmount(half_fruiting, 6, "block"),))
    do(job)
    assert standing_at(half_fruiting) == {"grow-1": 14}


def test_what_fruits_already_is_not_moved_again(lay: LayJob, half_fruiting: str) -> None:
    job = lay(
        JobKind.MOVE,
        count=6,
        to_step="fruiting",
        to_room="grow",
        lots=(LotAmount(half_fruiting, 6),),
    )
    do(job)
    assert standing_at(half_fruiting) == {"grow-1": 20}


def test_what_is_spent_is_cleared_out_of_its_room(lay: LayJob, half_fruiting: str) -> None:
    job = lay(JobKind.CLEAR, count=3, room="grow", lots=(LotAmount(half_fruiting, 3, "fruiting"),))
    do(job)
    assert standing_at(half_fruiting) == {"grow-1": 11, "inc-2": 6}


def test_a_flush_the_route_does_not_have_needs_a_reason(lay: LayJob, stock: dict[str, str]) -> None:
    job = lay(JobKind.PICK, count=2, unit="kg", lots=(LotAmount(stock["fruiting"], 20),))
    with pytest.raises(RefusedError, match=r"Flush 9 of lot .* its route has 1 flush"):
        do(job, grams=2000, flush=9)
    assert not Mention.objects.filter(role="flush").exists()
    answer = do(job, grams=2000, flush=9, reason="an old block that came again")
    assert any("Flush 9" in finding for finding in answer.findings)
    assert check() == ()


def test_a_flush_of_the_route_is_taken_without_a_word(lay: LayJob, stock: dict[str, str]) -> None:
    job = lay(JobKind.PICK, count=2, unit="kg", lots=(LotAmount(stock["fruiting"], 20),))
    assert do(job, grams=2000, flush=1).findings == ()


@pytest.mark.parametrize(
    ("first", "second", "words"),
    [
        ({"count": 8}, {"count": 9}, "done, count 8; now it says: done, count 9"),
        ({}, {"count": 9}, "done; now it says: done, count 9"),
        ({"lots": "plate=1"}, {"lots": "plate=2"}, "lots plate 1; now it says: done, lots plate 2"),
    ],
)
def test_one_id_with_other_numbers_is_another_answer(
    lay: LayJob,
    stock: dict[str, str],
    first: dict[str, object],
    second: dict[str, object],
    words: str,
) -> None:
    def answer(said: dict[str, object]) -> dict[str, object]:
        if "lots" not in said:
            return said
        return {"lots": [(stock["plate"], int(str(said["lots"])[-1]))]}

    job, tap = transfer(lay, stock), new_id()

    def tell(said: dict[str, object]) -> recording.Done:
        return recording.done(job, person="ada", client_id=tap, **answer(said))  # type: ignore[arg-type]

    tell(first)
    assert tell(first).already
    before = Entry.objects.count()
    with pytest.raises(RefusedError, match=words.replace("plate", stock["plate"])):
        tell(second)
    with pytest.raises(RefusedError, match="now it says: part done"):
        recording.part_done(job, person="ada", client_id=tap, count=8)
    with pytest.raises(RefusedError, match="now it says: not today"):
        recording.not_today(job, person="ada", client_id=tap, reason="no time")
    assert Entry.objects.count() == before


def test_one_id_put_off_is_not_dropped(lay: LayJob, stock: dict[str, str]) -> None:
    job, tap = transfer(lay, stock), new_id()
    recording.not_today(job, person="ada", client_id=tap, reason="no time")
    assert recording.not_today(job, person="ada", client_id=tap, reason="no time").already
    with pytest.raises(RefusedError, match="not today; now it says: not at all"):
        recording.not_at_all(job, person="ada", client_id=tap, reason="no time")
