"""Spawn is kept out of a cold store in which it dies: at loading, in Settings and on its jobs."""

from __future__ import annotations

import secrets
from collections.abc import Callable
from dataclasses import replace
from datetime import timedelta
from pathlib import Path

import pytest

from farm.small_farm import NOW, TODAY, Taps, describe
from pinset.chain.register import FarmBook, Room, RoomKind, Shelf, StepKind
from pinset.chain.stages import Stage
from pinset.errors import Severity
from pinset.farm import door, trade, whereabouts
from pinset.files.description.example import example_book
from pinset.files.description.writing import write_folder
from pinset.planning.plan import Start
from pinset.services import memory
from pinset.services.answers import lot_actions, recording
from pinset.services.book_reader import Reader
from pinset.services.books import settings_page
from pinset.services.farms.checking import check_farm
from pinset.services.farms.load import load
from pinset.services.jobs.of_starts import transfer_job
from pinset.services.jobs.on_shelves import arrivals
from pinset.services.jobs.records import JobKind
from pinset.services.plans import stock_now

LayJob = Callable[..., str]
SAID = "Fridge is at 4 °C and they die below 10 °C: keep them elsewhere"


def buying(farm: FarmBook, floor: float | None, store_c: float = 4.0) -> FarmBook:
    """Return the farm buying grain spawn that its route sends to the cold store."""
    [route] = farm.routes
    steps = tuple(
        replace(
            step, kind=StepKind.BUY, parents=(), room=RoomKind.COLD, keeps_days_cold=21.0,
            cold_min_c=floor, supplier="Sporehouse",
        )
        if step.code == "grain"
        else step
        for step in route.steps
    )  # fmt: skip
    fridge = Room("fridge", "Fridge", RoomKind.COLD, store_c, (Shelf("fridge-1", 50),))
    book = replace(farm, routes=(replace(route, steps=steps),), rooms=(*farm.rooms, fridge))
    describe(book)
    memory.forget_all()
    return book


def ordered() -> str:
    said = {"variety": "grey", "step": "grain", "arrives": TODAY.isoformat(), "count": 10}
    entry = trade.order(Taps(start=70_000)(hours=-100), "Grey oyster grain", 10, details=said)
    door.record([entry], now=NOW - timedelta(hours=99))
    return entry.client_id


def to_order() -> Start:
    ready = TODAY + timedelta(days=7)
    return Start(TODAY, "grey", "grain", Stage.GRAIN, 9, (), 9.0, ready, (), "", is_purchase=True)


@pytest.mark.parametrize(("floor", "store_c", "said"), [(10.0, 4.0, True), (10.0, 12.0, False)])
def test_the_jobs_of_ordering_and_receiving_say_it(
    farm: FarmBook,
    floor: float,
    store_c: float,
    said: bool,  # noqa: FBT001
) -> None:
    book = buying(farm, floor, store_c)
    ordered()
    reader = Reader(book, TODAY)
    [receive] = arrivals(stock_now.ordered(book, TODAY), reader)
    order = transfer_job(to_order(), reader)
    assert (receive.kind, order.kind) == (JobKind.RECEIVE, JobKind.ORDER)
    assert [SAID in job.detail for job in (receive, order)] == [said, said]


def test_what_arrives_is_not_written_into_the_store_it_would_die_in(
    farm: FarmBook, lay: LayJob
) -> None:
    buying(farm, 10.0)
    job = lay(JobKind.RECEIVE, step="grain", count=10, order=ordered())
    done = recording.done(job, person="ada", client_id=secrets.token_hex(16))
    [spawn] = done.new_lots
    [standing] = whereabouts.units_of([spawn])[spawn]
    assert standing.place.startswith("inc-")


def test_carrying_units_into_it_by_hand_is_answered(farm: FarmBook, stock: dict[str, str]) -> None:
    """The lot keeps the route it was made under, which gives no days in the cold."""
    buying(farm, 10.0)
    saying = lot_actions.Saying(stock["grain"], "ada", secrets.token_hex(16))
    done = lot_actions.move(saying, 5, "fridge-1")
    assert done.findings == (
        "Fridge is at 4 °C and they must not be chilled: carry them elsewhere at once.",
    )
    back = lot_actions.Saying(stock["grain"], "ada", secrets.token_hex(16))
    assert lot_actions.move(back, 5, "inc-1").findings == ()


def test_settings_and_the_check_of_the_farm_say_it(farm: FarmBook) -> None:
    buying(farm, 10.0, 12.0)
    assert settings_page.remarks(NOW) == ()
    buying(farm, 10.0)
    [said] = settings_page.remarks(NOW)
    assert said.startswith("Grey oyster: Its grain dies below 10 °C, and the cold store, Fridge,")
    assert "room.store-too-cold" in {finding.id for finding in check_farm(NOW).findings}


@pytest.mark.django_db
def test_loading_says_it_and_loads_all_the_same(tmp_path: Path) -> None:
    book = example_book(TODAY)
    fridge = [room for room in book.rooms if room.kind is RoomKind.COLD]
    colder = tuple(
        replace(room, temperature_c=1.0) if room in fridge else room for room in book.rooms
    )
    write_folder(replace(book, rooms=colder, lots=()), tmp_path, replace=True)
    report = load(tmp_path, now=NOW)
    found = [each for each in report.findings if each.id == "room.store-too-cold"]
    assert report.applied
    assert found
    assert {each.severity for each in found} == {Severity.WARNING}
