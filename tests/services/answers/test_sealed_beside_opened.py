"""A sealed unit beside an opened one past its time is used, kept and carried into the cold."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest

from farm.small_farm import CODES, NOW, TODAY, Taps, describe, lot
from pinset.chain.readiness import keeps_until
from pinset.chain.register import FarmBook, Room, RoomKind, Shelf
from pinset.chain.stages import Stage
from pinset.errors import RefusedError
from pinset.farm import door, trade
from pinset.farm.queries.alive import living
from pinset.planning.building.from_book import build_problem
from pinset.services import clock
from pinset.services.answers.lot_actions import Saying, cull
from pinset.services.book_reader import Reader
from pinset.services.books.lots import lot_view
from pinset.services.jobs.into_store import into_store
from pinset.services.jobs.on_shelves import past_their_time
from pinset.services.jobs.records import JobKind, LotAmount
from services.conftest import FULL_BOOK
from services.recorded import LayJob, do, new_id

A = CODES[60]
OPENED = TODAY - timedelta(days=11)


@pytest.fixture
def book(farm: FarmBook, monkeypatch: pytest.MonkeyPatch) -> FarmBook:  # noqa: ARG001
    """Grain keeps 60 days warm and 90 cold, and 7 once it is opened; two jars, one opened."""
    monkeypatch.setenv(clock.PRETENDED, TODAY.isoformat())
    route = FULL_BOOK.routes[0]
    kept = {"opened_keeps_days": 7.0, "keeps_days_warm": 60.0, "keeps_days_cold": 90.0}
    steps = tuple(
        replace(step, **kept) if step.code == "grain" else step  # type: ignore[arg-type]
        for step in route.steps
    )
    fridge = Room("fridge", "Spawn fridge", RoomKind.COLD, 3.0, (Shelf("fridge-1", 40),))
    rooms = (*FULL_BOOK.rooms, fridge)
    own = replace(FULL_BOOK, routes=(replace(route, code="own", steps=steps),), rooms=rooms,
                  varieties=(replace(FULL_BOOK.varieties[0], route="own"),))  # fmt: skip
    describe(own)
    made = lot(A, Stage.GRAIN, "grain", made_on=TODAY - timedelta(days=30), route="own")
    tap = Taps(start=80_000)
    door.record([trade.opening(tap(hours=-30), made, 2, "inc-1", opened_on=OPENED)], now=NOW)
    return own


def take(lay: LayJob, parents: int) -> str:
    return lay(JobKind.TRANSFER, step="block", stage="block", count=10 * parents,
               lots=(LotAmount(A, parents, "grain"),))  # fmt: skip


def test_the_sealed_one_is_used_without_a_word_and_the_opened_one_is_asked_about(
    book: FarmBook, lay: LayJob
) -> None:
    assert book.routes[0].code == "own"
    with pytest.raises(RefusedError, match=f"Lot {A} is past its time"):
        do(take(lay, 2))
    do(take(lay, 1))


def test_only_the_opened_one_is_to_be_thrown_out(book: FarmBook) -> None:
    reader = Reader(book, TODAY)
    [job] = past_their_time(living(TODAY), reader, keeps_until, {A: 1})
    assert (job.count, job.lots[0].lot) == (1, A)
    assert past_their_time(living(TODAY), reader, keeps_until, {A: 2}) == (), "the plan uses both"
    cull(Saying(A, "ada", new_id()), 1, "past its time")
    assert past_their_time(living(TODAY), reader, keeps_until, {A: 1}) == ()
    assert lot_view(A).line.ready.startswith("ready since")


def test_plan_and_cold_store_reckon_with_the_sealed_one(book: FarmBook) -> None:
    here = living(TODAY, lots=[A])
    problem, remarks = build_problem(book, here, TODAY)
    [stock] = [each for each in problem.stock if each.lot == A]
    assert (stock.units, stock.alive) == (1.0, 1.0)
    assert any("past its time" in remark for remark in remarks)
    [job] = into_store(here, Reader(book, TODAY), {})
    assert (job.count, job.lots) == (1, (LotAmount(A, 1, "grain", place="inc-1"),))
    assert into_store(here, Reader(book, TODAY), {A: 1}) == (), "it is used soon"


def test_the_page_of_the_lot_tells_them_apart(book: FarmBook) -> None:
    assert book.routes[0].code == "own"
    said = lot_view(A).line.ready
    assert said.startswith("1 past its time: opened 1 March, kept until 8 March; 1 ready since")
