"""Spawn that arrives on its day of use is counted in first, then drawn on as its lot."""

from __future__ import annotations

import secrets
from collections.abc import Callable
from dataclasses import replace
from datetime import timedelta

import pytest

from farm.small_farm import CODES, NOW, TODAY, Taps, describe, lot
from pinset.chain.register import FarmBook, StepKind
from pinset.chain.stages import Stage
from pinset.errors import RefusedError
from pinset.farm import door, job_store, trade
from pinset.farm.models import Lot
from pinset.planning.plan import LotShare, ParentUse, Start
from pinset.services import memory
from pinset.services.answers import putting_off, recording, taking_back
from pinset.services.book_reader import Reader
from pinset.services.day import today
from pinset.services.day.fitting import what_follows
from pinset.services.jobs.of_starts import start_in_words, transfer_job
from pinset.services.jobs.on_shelves import arrivals
from pinset.services.jobs.records import JobKind, LotAmount
from pinset.services.plans import stock_now

LayJob = Callable[..., str]


@pytest.fixture
def book(farm: FarmBook) -> FarmBook:
    [route] = farm.routes
    steps = tuple(
        replace(step, kind=StepKind.BUY, parents=(), supplier="Sporehouse")
        if step.code == "grain"
        else step
        for step in route.steps
    )
    buying = replace(farm, routes=(replace(route, steps=steps),))
    describe(buying)
    memory.forget_all()
    return buying


@pytest.fixture
def order(book: FarmBook) -> str:  # noqa: ARG001
    said = {"variety": "grey", "step": "grain", "arrives": TODAY.isoformat(), "count": 10}
    entry = trade.order(Taps(start=70_000)(hours=-100), "Grey oyster grain", 10, details=said)
    door.record([entry], now=NOW - timedelta(hours=99))
    return entry.client_id


def using(order: str) -> Start:
    use = ParentUse("grain", 2.0, (LotShare(f"order {order[:6]}", 2.0),))
    ready = TODAY + timedelta(days=14)
    return Start(TODAY, "grey", "block", Stage.BLOCK, 20, (use,), 19.0, ready, (), "")


def laid(lay: LayJob, order: str) -> tuple[str, str]:
    receive = lay(JobKind.RECEIVE, step="grain", count=10, order=order)
    lots = (LotAmount(f"order {order[:6]}", 2, "grain"),)
    use = lay(JobKind.TRANSFER, step="block", count=20, detail="Ready soon", lots=lots)
    return receive, use


def do(job: str, **more: object) -> recording.Done:
    return recording.done(job, person="ada", client_id=secrets.token_hex(16), **more)  # type: ignore[arg-type]


def test_the_delivery_is_counted_in_before_it_is_used(book: FarmBook, order: str) -> None:
    reader = Reader(book, TODAY)
    [receive] = arrivals(stock_now.ordered(book, TODAY), reader)
    use = transfer_job(using(order), reader)
    jobs = [("J1", use, 30), ("J2", receive, 10)]
    assert what_follows(jobs) == {"J1": ("J2",)}
    assert use.what == "blocks from 2 spawn bags"


@pytest.mark.parametrize(("bought", "noun"), [(True, "spawn bags"), (False, "grain jars")])
def test_a_start_is_named_as_its_job_names_it(bought: bool, noun: str) -> None:  # noqa: FBT001
    ready = TODAY + timedelta(days=7)
    start = Start(
        TODAY, "grey", "grain", Stage.GRAIN, 9, (), 9.0, ready, (), "", is_purchase=bought
    )
    assert start_in_words(start) == f"9 {noun}"


def test_before_the_delivery_done_asks_for_it(lay: LayJob, order: str) -> None:
    _, use = laid(lay, order)
    view = today.job_view(use)
    assert view.detail == "Ready soon; waits for the delivery: count it in first"
    assert view.from_lots == ()
    before = Lot.objects.count()
    with pytest.raises(RefusedError) as refused:
        do(use)
    assert "Count the delivery in first" in refused.value.hint
    assert Lot.objects.count() == before


def test_after_the_delivery_its_lot_is_drawn_on(lay: LayJob, order: str) -> None:
    receive, use = laid(lay, order)
    [spawn] = do(receive).new_lots
    view = today.job_view(use)
    assert [(lot.lot, lot.units) for lot in view.from_lots] == [(spawn, 2)]
    assert view.detail == f"Ready soon; delivered as {spawn}"
    do(use, reason="its age was seen to")
    assert stock_alive(spawn) == 8


def test_a_delivery_in_two_parts_is_drawn_on_from_both(lay: LayJob, order: str) -> None:
    receive, use = laid(lay, order)
    part = recording.part_done(receive, person="ada", client_id=secrets.token_hex(16), count=1)
    [rest] = do(receive).new_lots
    [first] = part.new_lots
    assert [(lot.lot, lot.units) for lot in today.job_view(use).from_lots] == [
        (first, 1),
        (rest, 1),
    ]


def expected(book: FarmBook) -> list[int]:
    return [lot.alive for lot in stock_now.ordered(book, TODAY)]


def test_of_a_delivery_that_falls_short_the_rest_is_still_expected(
    lay: LayJob, book: FarmBook, order: str
) -> None:
    receive = lay(JobKind.RECEIVE, step="grain", count=10, order=order)
    answer = do(receive, count=7)
    assert answer.sentence.endswith(
        "recorded, the rest is still expected; say “not at all” if it does not come."
    )
    assert expected(book) == [3]
    assert not job_store.job_by_code(receive).is_closed
    [rest] = arrivals(stock_now.ordered(book, TODAY), Reader(book, TODAY))
    assert (rest.count, rest.key) == (3, f"receive:{order}")
    do(receive)
    assert expected(book) == []
    assert job_store.job_by_code(receive).is_closed


def test_not_at_all_ends_the_rest_and_a_change_of_mind_brings_it_back(
    lay: LayJob, book: FarmBook, order: str
) -> None:
    receive = lay(JobKind.RECEIVE, step="grain", count=10, order=order)
    do(receive, count=7)
    dropped = putting_off.not_at_all(
        receive, person="ada", client_id=secrets.token_hex(16), reason="sold out"
    )
    assert expected(book) == []
    undo(dropped.entry)
    assert expected(book) == [3]


def test_an_order_that_never_comes_is_ended_by_not_at_all(
    lay: LayJob, book: FarmBook, order: str
) -> None:
    receive = lay(JobKind.RECEIVE, step="grain", count=10, order=order)
    putting_off.not_at_all(receive, person="ada", client_id=secrets.token_hex(16), reason="lost")
    assert expected(book) == []


def test_a_delivery_that_finished_its_order_short_ended_it(book: FarmBook, order: str) -> None:
    """As it was written down before the rest was waited for."""
    made = lot(CODES[60], Stage.GRAIN, "grain")
    details = {"count": 7, "order": order, "finishes": True}
    tap = Taps(start=71_000)(hours=-1)
    door.record([trade.receive(tap, made, 7, "inc-1", details=details)], now=NOW)
    assert expected(book) == []


def test_a_job_for_all_of_an_order_waits_for_the_rest(lay: LayJob, order: str) -> None:
    receive = lay(JobKind.RECEIVE, step="grain", count=10, order=order)
    lots = (LotAmount(f"order {order[:6]}", 10, "grain"),)
    use = lay(JobKind.TRANSFER, step="block", count=20, detail="Ready soon", lots=lots)
    [first] = do(receive, count=7).new_lots
    view = today.job_view(use)
    assert [(each.lot, each.units) for each in view.from_lots] == [(first, 7)]
    assert view.detail.endswith("waits for the delivery: count it in first")
    with pytest.raises(RefusedError) as refused:
        do(use)
    assert "A part of what this job uses is still on order" in refused.value.sentence
    do(use, count=14, reason="the rest comes on Monday")
    assert stock_alive(first) == 0


def test_a_plan_after_the_first_part_waits_for_the_second(
    lay: LayJob, book: FarmBook, order: str
) -> None:
    receive = lay(JobKind.RECEIVE, step="grain", count=10, order=order)
    do(receive, count=7)
    [left] = stock_now.ordered(book, TODAY)
    use = lay(
        JobKind.TRANSFER, step="block", count=20, detail="Soon", lots=(LotAmount(left.code, 2),)
    )
    assert today.job_view(use).from_lots == ()
    [again] = arrivals([left], Reader(book, TODAY))
    laid_use = replace(
        transfer_job(using(order), Reader(book, TODAY)), lots=(LotAmount(left.code, 2),)
    )
    assert what_follows([("J1", laid_use, 30), ("J2", again, 10)]) == {"J1": ("J2",)}
    [second] = do(receive).new_lots
    assert [(each.lot, each.units) for each in today.job_view(use).from_lots] == [(second, 2)]


def test_a_delivery_taken_back_is_waited_for_again(lay: LayJob, order: str) -> None:
    receive, use = laid(lay, order)
    arrived = do(receive)
    taking_back.undo(
        arrived.entry, person="ada", client_id=secrets.token_hex(16), reason="other job"
    )
    with pytest.raises(RefusedError):
        do(use)


def test_other_spawn_may_be_named_instead(lay: LayJob, order: str, stock: dict[str, str]) -> None:
    _, use = laid(lay, order)
    do(use, lots=[(stock["grain"], 2)], reason="the parcel is late")
    assert stock_alive(stock["grain"]) == 18


def stock_alive(code: str) -> int:
    return sum(lot.alive for lot in stock_now.living(TODAY, lots=[code]))


def test_an_order_that_arrived_is_not_taken_back(lay: LayJob, book: FarmBook) -> None:
    order = do(lay(JobKind.ORDER, step="grain", count=10, for_day=TODAY)).entry
    receive, _ = laid(lay, order)
    answer = do(receive)
    [spawn] = answer.new_lots
    with pytest.raises(RefusedError, match=f"it arrived on .* as lot {spawn}") as refused:
        undo(order)
    assert "Take back that delivery first" in refused.value.hint
    assert stock_now.ordered(book, TODAY) == ()
    undo(answer.entry)
    undo(order)
    assert stock_now.ordered(book, TODAY) == ()


def test_with_its_order_taken_back_nothing_is_to_be_counted_in(lay: LayJob) -> None:
    order = do(lay(JobKind.ORDER, step="grain", count=10, for_day=TODAY)).entry
    other = do(lay(JobKind.ORDER, step="grain", count=4, for_day=TODAY)).entry
    gone, stays = (lay(JobKind.RECEIVE, step="grain", count=9, order=o) for o in (order, other))
    undo(order)
    still = {row.code for row in job_store.open_jobs()}
    assert gone not in still
    assert stays in still


def undo(entry: str) -> None:
    taking_back.undo(entry, person="ada", client_id=secrets.token_hex(16), reason="a slip")


def test_of_spawn_that_came_short_the_job_asks_for_what_it_gives(
    lay: LayJob, book: FarmBook, order: str
) -> None:
    """Ordered ten, came seven, the rest is ended: of 20 blocks 14 are asked for, and made."""
    receive = lay(JobKind.RECEIVE, step="grain", count=10, order=order)
    lots = (LotAmount(f"order {order[:6]}", 10, "grain"),)
    use = lay(
        JobKind.TRANSFER, step="block", count=20, detail="Soon", lots=lots, minutes=40,
        what="blocks from 10 spawn bags",
    )  # fmt: skip
    [spawn] = do(receive, count=7).new_lots
    assert today.job_view(use).count == 20, "the rest may still come"
    ended = putting_off.not_at_all(
        receive, person="ada", client_id=secrets.token_hex(16), reason="sold out"
    )
    view = today.job_view(use)
    assert (view.count, view.minutes) == (14, 28)
    assert [(each.lot, each.units) for each in view.from_lots] == [(spawn, 7)]
    assert view.what == "blocks from 7 spawn bags"
    assert view.detail == f"Soon; 7 of 10 ordered came, so 14 of 20; delivered as {spawn}"
    assert expected(book) == []
    undo(ended.entry)
    assert today.job_view(use).count == 20
    putting_off.not_at_all(receive, person="ada", client_id=secrets.token_hex(16), reason="gone")
    [blocks] = do(use, reason="its age was seen to").new_lots
    assert (stock_alive(blocks), stock_alive(spawn)) == (14, 0)


def test_of_spawn_that_never_came_the_job_stays_as_it_was(lay: LayJob, order: str) -> None:
    receive, use = laid(lay, order)
    putting_off.not_at_all(receive, person="ada", client_id=secrets.token_hex(16), reason="lost")
    assert today.job_view(use).count == 20
