"""Every kind of job is written down once, as it was done, and can be taken back."""

from __future__ import annotations

import secrets
from collections.abc import Callable
from datetime import timedelta

import pytest

from farm.small_farm import TODAY
from pinset.errors import InputError, RefusedError
from pinset.farm import job_store
from pinset.farm.check import check
from pinset.farm.models import Entry
from pinset.farm.queries.lots import lot_by_code, rows_of
from pinset.services import recording
from pinset.services.job_records import JobKind, LotAmount

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


def test_more_used_than_stood_there_is_kept_and_asked_about(
    lay: LayJob, stock: dict[str, str]
) -> None:
    answer = do(transfer(lay, stock), lots=[(stock["plate"], 25)])
    assert answer.findings
    assert counts(stock["plate"]) == {"made": 20, "used": 25, "unexplained": -5}


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
    do(lay(JobKind.OPEN, count=30, variety=""))
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
