"""Of a lot on several shelves the units that are meant are taken, else those that keep least."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import timedelta

import pytest

from farm.small_farm import NOW, TODAY, Taps, describe
from pinset.chain.readiness import keeps_until
from pinset.chain.register import FarmBook, Room, RoomKind, Shelf
from pinset.errors import InputError, RefusedError
from pinset.farm import door, trade, whereabouts
from pinset.farm.check import check
from pinset.farm.queries.alive import living
from pinset.services import clock, memory
from pinset.services.answers import lot_actions, recording
from pinset.services.book_reader import Reader
from pinset.services.day import today
from pinset.services.floor.plain_entries import plain_entry
from pinset.services.floor.records import Deed
from pinset.services.jobs.on_shelves import past_their_time
from pinset.services.jobs.records import INTO_STORE, JobKind, LotAmount
from pinset.services.plans import planning_day
from services.recorded import LayJob, do, new_id

FRIDGE = Room("fridge", "Fridge", RoomKind.COLD, 4.0, (Shelf("fridge-1", 40), Shelf("fridge-2", 9)))
INTO_GROW: dict[str, object] = {"to_step": "fruiting", "to_room": "grow", "place": "Grow room"}


@pytest.fixture
def cool(farm: FarmBook) -> FarmBook:
    """Grain and blocks keep 10 days in the warm and 60 in the fridge."""
    route = farm.routes[0]
    steps = tuple(
        replace(step, keeps_days_cold=60.0) if step.code in {"grain", "block"} else step
        for step in route.steps
    )
    book = replace(farm, routes=(replace(route, steps=steps),), rooms=(*farm.rooms, FRIDGE))
    describe(book)
    return book


@pytest.fixture
def spread(cool: FarmBook, stock: dict[str, str]) -> Callable[[str], str]:  # noqa: ARG001
    """Carry 15 of the 20 units of a lot into the fridge, so that most of them stand cold."""

    def carried(step: str) -> str:
        lot, shelf = stock[step], {"grain": "inc-1", "block": "inc-2"}[step]
        taken = trade.Taken(lot, 15, shelf)
        door.record([trade.move(Taps(start=60_000)(hours=-20), taken, "fridge-1")], now=NOW)
        return lot

    return carried


def standing(code: str) -> dict[str, int]:
    return {each.place: each.quantity for each in whereabouts.units_of([code])[code]}


def test_where_none_is_meant_what_keeps_least_goes_first(
    lay: LayJob, spread: Callable[[str], str]
) -> None:
    lot = spread("block")
    warm, cold = sorted(living(TODAY, lots=[lot]), key=lambda part: part.place, reverse=True)
    assert (keeps_until(warm) or TODAY) < (keeps_until(cold) or TODAY)
    do(lay(JobKind.MOVE, count=2, lots=(LotAmount(lot, 2),), **INTO_GROW))
    assert standing(lot) == {"fridge-1": 15, "inc-2": 3, "grow-1": 2}
    do(lay(JobKind.MOVE, count=3, key="more", lots=(LotAmount(lot, 4),), **INTO_GROW),
       lots=[(lot, 3)])  # fmt: skip
    assert standing(lot) == {"fridge-1": 15, "grow-1": 5}
    assert check() == ()


def test_what_is_meant_is_taken_and_shown(lay: LayJob, spread: Callable[[str], str]) -> None:
    lot = spread("block")
    job = lay(JobKind.MOVE, count=2, lots=(LotAmount(lot, 2, place="fridge-1"),), **INTO_GROW)
    seen = today.job_view(job)
    assert [(use.lot, use.units, use.place) for use in seen.from_lots] == [(lot, 2, "fridge-1")]
    assert "from fridge-1" in seen.detail
    do(job)
    assert standing(lot) == {"fridge-1": 13, "inc-2": 5, "grow-1": 2}


def test_two_shelves_of_one_lot_are_one_line_of_the_form(
    lay: LayJob, spread: Callable[[str], str]
) -> None:
    lot = spread("block")
    meant = (LotAmount(lot, 5, place="inc-2"), LotAmount(lot, 2, place="fridge-1"))
    job = lay(JobKind.MOVE, count=7, lots=meant, **INTO_GROW)
    seen = today.job_view(job)
    assert [(use.units, use.place) for use in seen.from_lots] == [(5, "inc-2"), (2, "fridge-1")]
    assert [(use.units, use.place) for use in seen.whole_lots] == [(7, "inc-2 and fridge-1")]
    assert f"5 of {lot} from inc-2 and 2 of {lot} from fridge-1" in seen.detail
    do(job, lots=[(lot, 7)])  # as it was planned
    assert standing(lot) == {"fridge-1": 13, "grow-1": 7}


def test_a_part_of_a_job_leaves_the_rest_where_it_was_meant(
    lay: LayJob, spread: Callable[[str], str]
) -> None:
    lot = spread("block")
    job = lay(JobKind.MOVE, count=4, lots=(LotAmount(lot, 4, place="fridge-1"),), **INTO_GROW)
    recording.part_done(job, person="ada", client_id=new_id(), count=1)
    assert standing(lot) == {"fridge-1": 14, "inc-2": 5, "grow-1": 1}
    do(job)
    assert standing(lot) == {"fridge-1": 11, "inc-2": 5, "grow-1": 4}


def test_what_is_no_longer_on_its_shelf_is_taken_where_it_stands(
    lay: LayJob, spread: Callable[[str], str]
) -> None:
    lot = spread("block")
    job = lay(JobKind.MOVE, count=7, lots=(LotAmount(lot, 7, place="inc-2"),), **INTO_GROW)
    do(job)
    assert standing(lot) == {"fridge-1": 13, "grow-1": 7}
    gone = lay(
        JobKind.MOVE, key="2", count=1, lots=(LotAmount(lot, 1, place="inc-2"),), **INTO_GROW
    )
    [use] = today.job_view(gone).from_lots
    assert use.place == "fridge-1 and grow-1", "nothing stands on the shelf that was meant"
    do(gone)
    assert standing(lot) == {"fridge-1": 12, "grow-1": 8}


@pytest.mark.parametrize("is_named", [False, True])
def test_a_sale_takes_the_warm_ones_first(
    lay: LayJob, spread: Callable[[str], str], *, is_named: bool
) -> None:
    lot = spread("grain")
    job = lay(JobKind.DELIVER, count=4, step="grain", stage="grain", promise="spawn")
    do(job, lots=[(lot, 4)] if is_named else [])
    assert standing(lot) == {"fridge-1": 15, "inc-1": 1}


def test_a_transfer_takes_the_warm_ones_first(lay: LayJob, spread: Callable[[str], str]) -> None:
    lot = spread("grain")
    job = lay(JobKind.TRANSFER, step="block", stage="block", count=30,
              lots=(LotAmount(lot, 3, "grain"),))  # fmt: skip
    do(job)
    assert standing(lot) == {"fridge-1": 15, "inc-1": 2}


def test_what_is_carried_into_the_cold_is_what_stands_warm(
    lay: LayJob, spread: Callable[[str], str]
) -> None:
    lot = spread("block")
    job = lay(JobKind.MOVE, task=INTO_STORE, count=3, to_room="fridge", place="Fridge",
              lots=(LotAmount(lot, 3, "block"),))  # fmt: skip
    do(job)
    assert standing(lot) == {"fridge-1": 18, "inc-2": 2}


def test_carrying_without_a_job_takes_the_warm_ones_first(
    cool: FarmBook, spread: Callable[[str], str]
) -> None:
    lot, tap = spread("block"), Taps(start=70_000)(hours=-1)
    entry = plain_entry(Deed.CARRY, tap, {lot: 4}, "fridge-2", "", Reader(cool, TODAY))
    door.record([entry], now=NOW)
    assert standing(lot) == {"fridge-1": 15, "fridge-2": 4, "inc-2": 1}


@pytest.mark.parametrize("days", [6, 7])
def test_only_the_part_past_its_days_is_thrown_out(
    lay: LayJob, cool: FarmBook, spread: Callable[[str], str],
    monkeypatch: pytest.MonkeyPatch, days: int,
) -> None:  # fmt: skip
    """Ready four days ago, they keep ten in the warm: the sixth day from now is the last."""
    lot = spread("block")
    later = TODAY + timedelta(days=days)
    monkeypatch.setenv(clock.PRETENDED, later.isoformat())
    memory.forget_all()
    here = living(later, lots=[lot])
    found = past_their_time(here, Reader(cool, later), keeps_until)
    if days == 6:
        assert found == ()
        return
    [job] = found
    assert job.lots == (LotAmount(lot, 5, "block", place="inc-2"),)
    given = {name: getattr(job, name) for name in job.__slots__ if name != "kind"}
    at = NOW + timedelta(days=days)
    do(lay(JobKind.DISCARD, **{**given, "lots": (LotAmount(lot, 5, "block"),), "room": ""}), at=at)
    assert standing(lot) == {"fridge-1": 15}, "without a shelf, too, what is past goes first"


def test_the_cold_part_moves_unasked_though_the_warm_one_is_past_its_time(
    lay: LayJob, spread: Callable[[str], str], monkeypatch: pytest.MonkeyPatch
) -> None:
    lot = spread("block")
    later = TODAY + timedelta(days=7)
    monkeypatch.setenv(clock.PRETENDED, later.isoformat())
    memory.forget_all()
    at = NOW + timedelta(days=7)
    do(lay(JobKind.MOVE, count=2, lots=(LotAmount(lot, 2),), **INTO_GROW), at=at)
    assert standing(lot) == {"fridge-1": 13, "inc-2": 5, "grow-1": 2}
    old = lay(JobKind.MOVE, key="2", count=2, lots=(LotAmount(lot, 2, place="inc-2"),), **INTO_GROW)
    with pytest.raises(RefusedError, match="past its time"):
        do(old, at=at)


def test_the_plan_says_from_which_shelf(spread: Callable[[str], str]) -> None:
    """It takes what keeps least first, and the shelves together give what it takes of the lot."""
    lot = spread("block")
    planning_day.replan()
    plan = planning_day.latest()
    assert plan is not None
    shares = [share for move in plan.plan.moves for share in move.lots if share.lot == lot]
    assert {share.place for share in shares} == {"inc-2", "fridge-1"}
    assert sum(share.units for share in shares if share.place == "inc-2") <= 5
    first = min((move for move in plan.plan.moves if move.lots), key=lambda move: move.day)
    assert first.lots[0].place == "inc-2"
    jobs = [job for section in today.day_view().sections for job in section.jobs]
    moved = [job for job in jobs if job.kind == "move" and job.from_lots[0].lot == lot]
    assert [job.from_lots[0].place for job in moved] == ["inc-2"]


def test_the_shelf_a_person_said_goes_before_the_one_that_was_meant(
    spread: Callable[[str], str], lay: LayJob
) -> None:
    lot = spread("grain")
    job = lay(JobKind.SHAKE, count=4, lots=(LotAmount(lot, 4, place="inc-1"),))
    before = standing(lot)
    culled = lay(JobKind.DISCARD, count=4, lots=(LotAmount(lot, 4, place="inc-1"),))
    do(culled, lots=[(lot, 4)], shelves=[(lot, "fridge-1", 4)], reason="invented")
    assert standing(lot) == before | {"fridge-1": before["fridge-1"] - 4}
    do(job)
    assert check() == ()


def test_units_said_of_two_shelves_are_taken_from_both(
    spread: Callable[[str], str], lay: LayJob
) -> None:
    lot = spread("grain")
    job = lay(JobKind.DISCARD, count=5, lots=(LotAmount(lot, 5),))
    said = [(lot, "fridge-1", 3), (lot, "inc-1", 2)]
    do(job, lots=[(lot, 5)], shelves=said, reason="invented")
    assert standing(lot) == {"fridge-1": 12, "inc-1": 3}


def test_more_than_stands_on_the_shelf_that_was_said_is_refused(
    spread: Callable[[str], str], lay: LayJob
) -> None:
    lot = spread("grain")
    job = lay(JobKind.DISCARD, count=6, lots=(LotAmount(lot, 6),))
    before = standing(lot)
    with pytest.raises(InputError, match="15 on fridge-1 and 5 on inc-1"):
        do(job, lots=[(lot, 6)], shelves=[(lot, "inc-1", 6)], reason="invented")
    with pytest.raises(InputError, match="attic"):
        do(job, lots=[(lot, 6)], shelves=[(lot, "attic", 6)], reason="invented")
    assert standing(lot) == before


def test_the_same_tap_with_another_shelf_is_another_answer(
    spread: Callable[[str], str], lay: LayJob
) -> None:
    lot = spread("grain")
    job = lay(JobKind.DISCARD, count=2, lots=(LotAmount(lot, 2),))
    tap = new_id()

    def say(shelf: str) -> None:
        recording.done(
            job, person="ada", client_id=tap, reason="invented",
            lots=[(lot, 2)], shelves=[(lot, shelf, 2)],
        )  # fmt: skip

    say("inc-1")
    say("inc-1")
    with pytest.raises(RefusedError):
        say("fridge-1")
    assert standing(lot) == {"fridge-1": 15, "inc-1": 3}


@pytest.mark.parametrize("how", ["lose", "cull", "move"])
def test_without_a_job_the_shelf_can_be_said_too(spread: Callable[[str], str], how: str) -> None:
    lot = spread("grain")
    saying = lot_actions.Saying(lot, "ada", new_id(), shelf="inc-1")
    if how == "move":
        lot_actions.move(saying, 2, "fridge-2")
    else:
        {"lose": lot_actions.lose, "cull": lot_actions.cull}[how](saying, 2, "invented")
    assert standing(lot)["inc-1"] == 3
    assert standing(lot)["fridge-1"] == 15
    with pytest.raises(InputError, match="attic"):
        lot_actions.lose(replace(saying, client_id=new_id(), shelf="attic"), 1, "invented")


def test_a_sale_goes_from_the_shelf_that_was_said(
    lay: LayJob, spread: Callable[[str], str]
) -> None:
    lot = spread("grain")
    job = lay(JobKind.DELIVER, count=4, step="grain", stage="grain", promise="spawn")
    do(job, lots=[(lot, 4)], shelves=[(lot, "fridge-1", 4)])
    assert standing(lot) == {"fridge-1": 11, "inc-1": 5}


def test_a_transfer_opens_what_stands_on_the_shelf_that_was_said(
    lay: LayJob, spread: Callable[[str], str]
) -> None:
    lot = spread("grain")
    job = lay(JobKind.TRANSFER, step="block", stage="block", count=30,
              lots=(LotAmount(lot, 3, "grain"),))  # fmt: skip
    do(job, lots=[(lot, 3)], shelves=[(lot, "fridge-1", 3)])
    assert standing(lot) == {"fridge-1": 12, "inc-1": 5}
