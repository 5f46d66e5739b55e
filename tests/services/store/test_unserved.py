"""Picked mushrooms that serve no promise are told of while they can still be sold."""

from __future__ import annotations

import secrets
from collections.abc import Callable
from dataclasses import replace
from datetime import date, timedelta

import pytest

from farm.small_farm import NOW, TODAY
from pinset.chain.plain import to_plain
from pinset.chain.register import FarmBook, Outlet, OutletKind, Promise, Weekday
from pinset.farm import job_store
from pinset.farm.job_store import PlanRow
from pinset.planning.outlets.surplus import OutletShare, SurplusPlan
from pinset.planning.plan import Short
from pinset.services import clock
from pinset.services.answers import recording
from pinset.services.books.register_change import write_records
from pinset.services.day.today import day_view, job_view
from pinset.services.jobs.records import JobKind, LotAmount
from services.planned import plan_body, planned

LayJob = Callable[..., str]
KEEPS = 6
"""Days the small farm's oysters keep; its market wants 5 kg every Thursday, today among them."""

DRIER = Outlet(
    "drier", "Drying cupboard", OutletKind.DRYING, price_cents_per_kg=9000, fresh_per_dry=10.0
)


@pytest.fixture
def put(lay: LayJob, stock: dict[str, str]) -> Callable[[int, int], None]:
    """Write down what was picked so many days ago."""

    def picked(days: int, grams: int) -> None:
        lots = (LotAmount(stock["fruiting"], 20),)
        job = lay(JobKind.PICK, key=f"pick:{days}", count=3, unit="kg", lots=lots)
        at, client = NOW - timedelta(days=days, hours=2), secrets.token_hex(16)
        recording.done(job, person="ada", client_id=client, grams=grams, at=at, reason="invented")

    return picked


def notes() -> list[str]:
    return [note for note in day_view(now=NOW).notes if "no promise" in note]


def ask(book: FarmBook, grams: int, on: date) -> None:
    """Promise something once; ``book`` is only there so that the farm is."""
    assert book
    once = Promise("once", "market", "grey", grams, on_date=on)
    write_records([once], "", NOW - timedelta(hours=1))


def test_what_no_order_takes_is_told_with_its_days(put: Callable[[int, int], None]) -> None:
    put(2, 7000)  # 5 kg of it go to the market today
    put(1, 4000)
    [note] = notes()
    assert note == (
        "6 kg Grey oyster serve no promise: 2 kg picked 10 March keep until 16 March and "
        "4 kg picked 11 March keep until 17 March. Offer it to a buyer now."
    )


def test_an_order_on_the_last_day_takes_it_and_one_a_day_later_does_not(
    put: Callable[[int, int], None], farm: FarmBook
) -> None:
    put(2, 7000)
    last = TODAY + timedelta(days=KEEPS - 2)
    ask(farm, 2000, last)
    assert notes() == []
    ask(farm, 2000, last + timedelta(days=1))
    assert [note[:33] for note in notes()] == ["2 kg Grey oyster picked 10 March "]


def test_its_last_day_is_said_plainly(put: Callable[[int, int], None]) -> None:
    put(KEEPS, 7000)
    put(1, 1000)
    [note] = notes()
    assert "Today is the last day on which 2 kg of it can be handed over." in note


def test_on_a_day_off_nobody_is_said_to_come_in_time(
    put: Callable[[int, int], None], farm: FarmBook, monkeypatch: pytest.MonkeyPatch
) -> None:
    put(KEEPS - 1, 7000)
    days = tuple(TODAY + timedelta(days=ahead) for ahead in range(3))
    write_records([replace(farm.farm, days_off=days)], "", NOW - timedelta(hours=1))
    monkeypatch.setenv(clock.PRETENDED, TODAY.isoformat())
    [note] = notes()
    assert "Nobody works again while it keeps." in note


def test_what_is_past_its_days_is_left_to_its_own_job(put: Callable[[int, int], None]) -> None:
    put(KEEPS + 1, 9000)
    assert notes() == []


def picking(lay: LayJob, stock: dict[str, str], grams: int, **more: object) -> str:
    return lay(
        JobKind.PICK,
        key=f"pick:grey:{TODAY}",
        count=round(grams / 1000),
        grams=grams,
        unit="kg",
        lots=(LotAmount(stock["fruiting"], 20),),
        detail="Grey oyster, flush 1",
        **more,
    )


def test_a_picking_for_nobody_says_what_becomes_of_it(
    put: Callable[[int, int], None], lay: LayJob, stock: dict[str, str]
) -> None:
    put(1, 5000)
    job = picking(lay, stock, 9000)
    said = "Grey oyster, flush 1; serves no promise: keeps until Wednesday, then thrown out unless"
    assert job_view(job, now=NOW).detail.startswith(said)
    [note] = notes()
    assert note.startswith("9 kg Grey oyster to be picked today serve no promise and keep until")


def test_of_a_picking_for_some_only_the_rest_is_said(
    put: Callable[[int, int], None], lay: LayJob, stock: dict[str, str]
) -> None:
    put(1, 2000)
    job = picking(lay, stock, 9000, serves=("5 kg for the market",))
    assert "6 kg serve no promise: keep until Wednesday" in job_view(job, now=NOW).detail


def test_what_an_outlet_is_to_get_has_its_place(
    put: Callable[[int, int], None], farm: FarmBook
) -> None:
    assert farm
    put(2, 11_000)
    write_records([DRIER], "", NOW - timedelta(hours=1))
    share = OutletShare("drier", TODAY + timedelta(days=1), "grey", 4000.0, 400.0)
    body = plan_body() | {"surplus": to_plain(SurplusPlan((share,)))}
    job_store.lay(PlanRow(NOW, TODAY, 0, body, 0.0, 0.0, "x"), [], [], [])
    [note] = notes()
    assert note == (
        "2 kg Grey oyster picked 10 March serve no promise and keep until 16 March. "
        "Offer it to a buyer now, or dry it (Drying cupboard)."
    )


def test_thursday_is_the_market_day() -> None:
    assert Weekday.of(TODAY) is Weekday.THU


def test_a_buyer_who_is_short_soon_after_is_named(
    put: Callable[[int, int], None], farm: FarmBook
) -> None:
    assert farm
    put(KEEPS - 1, 7000)
    day = TODAY + timedelta(days=7)
    short = Short("market-grey", day, "grey", 3000.0, "gram", 5000.0, "Invented.", False)
    planned(short=(short,))
    [note] = notes()
    assert note.endswith(
        "Offer it to a buyer now. Market stall will be short by 3 kg on 19 March and may take "
        "some sooner."
    )
