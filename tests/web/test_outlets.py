"""Books, Outlets, where their surplus stands on Promises, and handing something over."""

from __future__ import annotations

from datetime import timedelta

import pytest
from django.test import Client

from pinset.farm.models import Entry
from pinset.services.outlets.book import OutletLine
from pinset.services.outlets.surplus_view import SurplusLine, SurplusView, SurplusWeek
from web.asking import FOUND, OK, UNFIT, sent_to_sign_in, words
from web.fixtures import TODAY
from web.shed import Shed

MONDAY = TODAY - timedelta(days=TODAY.weekday())


def plain(text: str) -> str:
    return text.replace("\N{NO-BREAK SPACE}", " ")


def test_owner_sees_outlets_and_may_change_them(owner: Client) -> None:
    page = owner.get("/books/outlets/").content.decode()
    assert "Market extra (invented)" in page
    assert "common practice, no source" in page
    assert 'href="/books/outlets/new/"' in page
    assert 'href="/books/outlets/drier/"' in page
    assert 'href="/books/outlets/"' in owner.get("/books/buyers/").content.decode()


def test_worker_sees_them_only(worker: Client) -> None:
    page = worker.get("/books/outlets/").content.decode()
    assert "Market extra (invented)" in page
    assert "/books/outlets/new/" not in page
    assert "/books/outlets/drier/" not in page


def test_stranger_is_sent_to_sign_in(stranger: Client, shed: Shed) -> None:  # noqa: ARG001
    assert sent_to_sign_in(stranger, "/books/outlets/")


def test_one_that_was_ended_is_shown_without_a_way_to_change_it(
    owner: Client, monkeypatch: pytest.MonkeyPatch
) -> None:
    lines = (
        OutletLine("stall", "Stall", "On Saturdays.", "", (("Oyster", 2500),), "2.5 kg.", ("x",)),
        OutletLine("old", "old", "No longer described.", "", (), "1 kg.", is_described=False),
    )
    monkeypatch.setattr("pinset.services.outlets.book.outlets_view", lambda: lines)
    page = owner.get("/books/outlets/")
    assert "Oyster 2.5 kg" in plain(words(page))
    assert "/books/outlets/stall/" in page.content.decode()
    assert "/books/outlets/old/" not in page.content.decode()
    monkeypatch.setattr("pinset.services.outlets.book.outlets_view", lambda: ())
    assert "No outlets yet" in words(owner.get("/books/outlets/"))


def test_promises_say_where_the_surplus_goes(
    worker: Client, monkeypatch: pytest.MonkeyPatch
) -> None:
    lines = (
        SurplusLine(
            "stall",
            "Stall",
            "Saturday: 4.2 kg Oyster",
            4200.0,
            4620.0,
            "EUR 46.20",
            1200.0,
            7600.0,
            3900.0,
            4290.0,
            "EUR 42.90",
        ),
        SurplusLine("drier", "Drier", "Monday: 2 kg Oyster", 2000.0, 1800.0, "EUR 18.00"),
    )
    rest = ("No place for about 3 kg Oyster: no outlet takes it.",)
    view = SurplusView(
        "About 9 kg are expected beyond the promises.",
        (SurplusWeek(MONDAY, lines, rest, 6200.0, "EUR 64.20"),),
        ("Outlets were changed.",),
        ("Drier: 10 kg fresh for 1 kg dry.",),
        0.01,
    )
    monkeypatch.setattr("pinset.services.outlets.surplus_view.surplus_view", lambda: view)
    said = plain(words(worker.get("/promises/")))
    for sentence in (
        "About 9 kg are expected beyond the promises.",
        "Outlets were changed.",
        "6.2 kg, EUR 64.20 as planned",
        "Stall : 3.9 kg, EUR 42.90 on average",
        "As planned, EUR 46.20: Saturday: 4.2 kg Oyster",
        "Drier : 2 kg, EUR 18.00 as planned",
        "8 in 10 bring 1.2 kg to 7.6 kg.",
        "No place for about 3 kg Oyster: no outlet takes it.",
        "10 kg fresh for 1 kg dry",
        "Proven to within 1.0 % of the most money.",
    ):
        assert sentence.replace(" :", ":") in said.replace(" :", ":"), sentence


def test_something_is_handed_to_an_outlet_through_the_same_door(
    worker: Client, shed: Shed, tap: str
) -> None:
    worker.post("/pick/", {"client_id": "e" * 32, "lot": shed.fruiting, "weight": "6"})
    page = worker.get("/deliver/")
    assert page.status_code == OK
    assert 'value="outlet:market-extra"' in page.content.decode()
    sent = {"client_id": tap, "buyer": "outlet:market-extra", "variety": "oyster", "weight": "2.5"}
    assert worker.post("/deliver/", {**sent, "buyer": "outlet:gone"}).status_code == UNFIT
    assert worker.post("/deliver/", {**sent, "weight": "x"}).status_code == UNFIT
    assert worker.post("/deliver/", sent).status_code == FOUND
    details = Entry.objects.get(client_id=tap).details
    assert (details["outlet"], details["price_cents"]) == ("market-extra", 2500)
    assert "2.5 kg in four weeks" in plain(words(worker.get("/books/outlets/")))


def test_what_was_dried_is_sold_by_dry_weight(worker: Client, shed: Shed, tap: str) -> None:
    worker.post("/pick/", {"client_id": "e" * 32, "lot": shed.fruiting, "weight": "6"})
    fresh = {"client_id": "f" * 32, "buyer": "outlet:drier", "variety": "oyster", "weight": "4"}
    assert worker.post("/deliver/", fresh).status_code == FOUND
    assert 'value="dried:drier"' in worker.get("/deliver/").content.decode()
    sent = {"client_id": tap, "buyer": "dried:drier", "variety": "oyster", "weight": "0.15"}
    assert worker.post("/deliver/", {**sent, "buyer": "dried:market-extra"}).status_code == UNFIT
    assert worker.post("/deliver/", sent).status_code == FOUND
    details = Entry.objects.get(client_id=tap).details
    assert (details["dry_grams"], details["dried_of"]) == (150, "drier")
    assert "150 g dry sold" in plain(words(worker.get("/books/outlets/")))


def test_what_outlets_are_to_get_today_stands_on_deliver(
    worker: Client, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert "for outlets today" not in words(worker.get("/deliver/"))
    monkeypatch.setattr(
        "pinset.services.outlets.today.planned_today", lambda: ("Stall: about 4 kg Oyster",)
    )
    said = words(worker.get("/deliver/"))
    assert "Left over, for outlets today" in said
    assert "Stall: about 4 kg Oyster" in said
