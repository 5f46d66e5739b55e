"""Whatever was answered can be taken back, and leaves the farm as it was before."""

from __future__ import annotations

import secrets
from collections.abc import Callable
from datetime import timedelta
from typing import Any

import pytest

from farm.small_farm import NOW, TODAY
from pinset.chain.register import FarmBook
from pinset.farm import job_store, whereabouts
from pinset.farm.check import check
from pinset.farm.models import Balance, Entry
from pinset.farm.queries.alive import living, prepared
from pinset.farm.queries.store import stored_weight
from pinset.services import clock
from pinset.services.answers import lot_actions, off_plan, putting_off, recording, taking_back
from pinset.services.answers.lot_actions import Saying
from pinset.services.floor.records import Amount, Deed
from pinset.services.floor.tap_undone import take_back
from pinset.services.floor.taps import Saying as Tapped
from pinset.services.floor.writing_down import write_down
from pinset.services.jobs.records import JobKind, LotAmount
from pinset.services.looking.looked import Seen, look
from pinset.services.looking.readings import Readings
from pinset.services.looking.walked import RoomRead, Walk, room_id, walked
from pinset.services.views import Done
from services.conftest import LayJob

Stock = dict[str, str]
Answer = Callable[[LayJob, Stock], Done]
FEEDS = (LotAmount("", 12, "grain", "oyster-straw"),)
COOK: dict[str, Any] = {
    "count": 12,
    "steriliser": "kettle",
    "cook_kind": "grain",
    "place": "Kettle",
    "feeds": FEEDS,
    "for_day": TODAY,
}


@pytest.fixture(autouse=True)
def in_the_afternoon(farm: FarmBook, monkeypatch: pytest.MonkeyPatch) -> None:  # noqa: ARG001
    """Every tap comes after what the tests wrote down before it, at whatever hour they run."""
    monkeypatch.setenv(clock.PRETENDED, (NOW + timedelta(hours=6)).isoformat())


def tap() -> dict[str, str]:
    return {"person": "ada", "client_id": secrets.token_hex(16)}


def by(lot: str) -> Saying:
    return Saying(lot, "ada", secrets.token_hex(16))


def transfer(lay: LayJob, stock: Stock) -> str:
    return lay(
        JobKind.TRANSFER, step="grain", stage="grain", count=24,
        lots=(LotAmount(stock["plate"], 3, "plate"),),
    )  # fmt: skip


def on(kind: JobKind, lot: str, **more: Any) -> Answer:
    """Return the answer to a job of a kind on twenty units of a lot."""

    def answer(lay: LayJob, stock: Stock) -> Done:
        lots = (LotAmount(stock[lot], 20, lot),)
        return recording.done(lay(kind, count=20, lots=lots, **more), **tap())

    return answer


def picked(lay: LayJob, stock: Stock) -> Done:
    lots = (LotAmount(stock["fruiting"], 20),)
    job = lay(JobKind.PICK, count=3, unit="kg", lots=lots)
    return recording.done(job, grams=3000, **tap())


def of_weight(kind: JobKind) -> Answer:
    """Return the answer to a job of a kind on the three kilograms that stand in the store."""

    def answer(lay: LayJob, stock: Stock) -> Done:  # noqa: ARG001 - as every answer
        job = lay(kind, count=2, unit="kg", grams=2000, promise="market-grey")
        return recording.done(job, grams=2000, reason="as said", **tap())

    return answer


def loaded(lay: LayJob, stock: Stock) -> Done:  # noqa: ARG001
    return recording.done(lay(JobKind.COOK, key="cook:k", task="load", **COOK), **tap())


def opening(lay: LayJob) -> str:
    job = lay(JobKind.COOK, key="cook:k", task="load", **COOK)
    opens = lay(JobKind.OPEN, key="open:k", task="open", **COOK)
    recording.done(job, at=NOW - timedelta(hours=9), **tap())
    return opens


def prepares(lay: LayJob, stock: Stock) -> Done:  # noqa: ARG001
    job = lay(JobKind.PREPARE, task="soak", count=12, for_day=TODAY, feeds=FEEDS)
    return recording.done(job, **tap())


ANSWERS: dict[str, Answer] = {
    "done": lambda lay, stock: recording.done(transfer(lay, stock), **tap()),
    "part": lambda lay, stock: recording.part_done(transfer(lay, stock), count=9, **tap()),
    "other lots": lambda lay, stock: recording.done(
        transfer(lay, stock), lots=((stock["plate"], 2),), count=16, **tap()
    ),
    "not today": lambda lay, stock: putting_off.not_today(
        transfer(lay, stock), reason="no time", **tap()
    ),
    "not at all": lambda lay, stock: putting_off.not_at_all(
        transfer(lay, stock), reason="no need", **tap()
    ),
    "soak": prepares,
    "load": loaded,
    "move on": on(JobKind.MOVE, "block", to_step="fruiting", to_room="grow"),
    "shake": on(JobKind.SHAKE, "grain"),
    "look over": on(JobKind.LOOK, "grain"),
    "clear": on(JobKind.CLEAR, "fruiting"),
    "discard": on(JobKind.DISCARD, "block"),
    "round": lambda lay, stock: recording.done(  # noqa: ARG005
        lay(JobKind.ROUND, count=1, unit="rooms"), **tap()
    ),
    "pick": picked,
    "pick without a job": lambda lay, stock: off_plan.pick(  # noqa: ARG005
        stock["fruiting"], 1500, **tap()
    ),
    "lose": lambda lay, stock: lot_actions.lose(by(stock["grain"]), 3, "wet-sour"),  # noqa: ARG005
    "cull": lambda lay, stock: lot_actions.cull(by(stock["grain"]), 3, "fell"),  # noqa: ARG005
    "carry": lambda lay, stock: lot_actions.move(by(stock["grain"]), 7, "inc-2"),  # noqa: ARG005
    "hold": lambda lay, stock: lot_actions.hold(by(stock["grain"]), "odd"),  # noqa: ARG005
    "expect": lambda lay, stock: lot_actions.expect_ready(  # noqa: ARG005
        by(stock["grain"]), TODAY + timedelta(days=4)
    ),
    "recount": lambda lay, stock: lot_actions.recount(by(stock["grain"]), 17),  # noqa: ARG005
    "note": lambda lay, stock: lot_actions.remark(  # noqa: ARG005
        Saying(stock["grain"], "ada", secrets.token_hex(16), note="smells of apples")
    ),
    "look": lambda lay, stock: look(by(stock["grain"]), Seen()),  # noqa: ARG005
    "look, taken out": lambda lay, stock: look(  # noqa: ARG005
        by(stock["grain"]), Seen(("green-dust",), "filter", 2, take_out=True)
    ),
}
"""An answer to each kind of question, by what it is called."""

AFTER: dict[str, tuple[Answer, Answer]] = {
    "pack": (picked, of_weight(JobKind.PACK)),
    "deliver": (picked, of_weight(JobKind.DELIVER)),
    "throw out": (picked, of_weight(JobKind.WASTE)),
    "deliver without a job": (
        picked,
        lambda lay, stock: off_plan.deliver("market", "grey", 2000, **tap()),  # noqa: ARG005
    ),
    "release": (
        ANSWERS["hold"],
        lambda lay, stock: lot_actions.release(by(stock["grain"])),  # noqa: ARG005
    ),
}
"""Answers for which another one must stand before them."""


def farm_now() -> dict[str, Any]:
    """Return everything an answer may change."""
    balances = Balance.objects.exclude(quantity=0).values_list(
        "lot__code", "account", "measure", "place__code", "quantity"
    )
    return {
        "balances": sorted(balances),
        "living": living(TODAY),
        "prepared": prepared(),
        "store": stored_weight({"grey": 6}, "Europe/Vienna"),
        "open": sorted(row.code for row in job_store.open_jobs()),
        "orders": whereabouts.orders_underway(),
    }


def comes_back(done: Done, before: dict[str, Any]) -> None:
    """Take an answer back and hold the farm against what it was; its job is asked for again."""
    job = Entry.objects.get(client_id=done.entry).job
    taking_back.undo(done.entry, person="ben", client_id=secrets.token_hex(16), reason="a slip")
    assert farm_now() == {**before, "open": sorted({*before["open"], *([job] if job else [])})}
    assert check() == ()


@pytest.mark.parametrize("name", ANSWERS)
def test_it_is_as_it_was(lay: LayJob, stock: Stock, name: str) -> None:
    before = farm_now()
    comes_back(ANSWERS[name](lay, stock), before)


@pytest.mark.parametrize("name", AFTER)
def test_what_stood_before_stands(lay: LayJob, stock: Stock, name: str) -> None:
    first, second = AFTER[name]
    first(lay, stock)
    before = farm_now()
    comes_back(second(lay, stock), before)


@pytest.mark.usefixtures("stock")
def test_an_opened_steriliser_is_full_again(lay: LayJob) -> None:
    job = opening(lay)
    before = farm_now()
    comes_back(recording.part_done(job, count=5, **tap()), before)
    comes_back(recording.done(job, **tap()), before)


@pytest.mark.usefixtures("stock")
def test_burst_vessels_and_not_at_all_come_back(lay: LayJob) -> None:
    """Its judging stays on the list: a part of the cook stands outside."""
    job = opening(lay)
    recording.part_done(job, count=5, **tap())
    all_out = recording.done(job, count=7, **tap())
    taking_back.undo(all_out.entry, **tap(), reason="a slip")
    before = farm_now()
    comes_back(recording.done(job, count=4, reason="3 burst", **tap()), before)
    comes_back(putting_off.not_at_all(job, reason="burst", **tap()), before)


@pytest.mark.usefixtures("stock")
def test_spawn_ordered_and_counted_in(lay: LayJob) -> None:
    before = farm_now()
    job = lay(JobKind.ORDER, step="grain", count=8, for_day=TODAY)
    ordered = recording.done(job, **tap())
    come = lay(JobKind.RECEIVE, step="grain", count=8, order=ordered.entry)
    at_door = farm_now()
    comes_back(recording.done(come, **tap()), at_door)
    comes_back(ordered, before)


@pytest.mark.usefixtures("stock")
def test_a_walk_through_the_rooms() -> None:
    before = farm_now()
    walk = Walk(**tap())
    walked(walk, [RoomRead("grow", Readings(temperature_c=16.0))])
    [entry] = Entry.objects.filter(client_id=room_id(walk.client_id, "grow"))
    comes_back(Done(entry.client_id, already=False, sentence="", findings=()), before)


@pytest.mark.parametrize("deed", [Deed.LOSE, Deed.CARRY, Deed.LOOK, Deed.SHAKE, Deed.HOLD])
def test_a_tap_of_several_lots(stock: Stock, deed: Deed) -> None:
    before = farm_now()
    choice = {Deed.LOSE: "wet-sour", Deed.CARRY: "lab-1", Deed.HOLD: "odd"}.get(deed, "")
    amounts = tuple(Amount(stock[name], 4, 20) for name in ("grain", "block"))
    done = write_down(Tapped(deed, amounts, choice=choice), **tap())
    take_back(done.entries, **tap(), reason="tapped by mistake")
    assert farm_now() == before
    assert check() == ()
