"""Pages of a farm that weighs in pounds: what is asked for, what a bare number is, what is said."""

from __future__ import annotations

import secrets

import pytest
from django.test import Client

from pinset.farm.models import Entry
from pinset.services.frame import Frame
from pinset.services.plans import planning_day
from web.asking import FOUND, OK, UNFIT, words
from web.shed import Shed


@pytest.fixture
def pounds(monkeypatch: pytest.MonkeyPatch) -> None:
    """Show the pages as a farm in pounds sees them."""
    monkeypatch.setattr(
        "pinset.web.middleware.frame", lambda: Frame("A farm", "Europe/Vienna", "us", 240.0)
    )


def _last_grams() -> int:
    return int(Entry.objects.latest("id").details["grams"])


@pytest.mark.usefixtures("pounds")
def test_a_pick_is_weighed_in_pounds(worker: Client, shed: Shed) -> None:
    page = worker.get("/pick/").content.decode()
    assert "(lb)" in page
    assert "(kg)" not in page
    sent = {"client_id": secrets.token_hex(16), "other-lot": shed.fruiting, "weight": "3"}
    assert worker.post("/pick/", sent).status_code == FOUND
    assert _last_grams() == 1361
    sent = {**sent, "client_id": secrets.token_hex(16), "weight": "0.5 kg"}
    assert worker.post("/pick/", sent).status_code == FOUND
    assert _last_grams() == 500


@pytest.mark.usefixtures("pounds")
def test_what_is_missing_is_asked_for_in_pounds(worker: Client, shed: Shed) -> None:
    sent = {"client_id": secrets.token_hex(16), "other-lot": shed.fruiting, "weight": ""}
    answer = worker.post("/pick/", sent)
    assert answer.status_code == UNFIT
    assert "the weight from the scale, in lb" in words(answer)
    assert "(lb)" in worker.get("/deliver/").content.decode()


@pytest.mark.usefixtures("pounds", "shed")
def test_a_promise_is_typed_in_pounds_at_a_price_of_a_pound(owner: Client) -> None:
    sent = {
        "buyer": "market", "variety": "oyster", "step": "picked", "amount": "40",
        "weekday": "wed", "price": "6",
    }  # fmt: skip
    assert owner.post("/promises/new/", sent).status_code == FOUND
    [first] = [p for p in planning_day.farm_book()[0].promises if p.code == "market-oyster"]
    assert (first.amount, first.price_cents) == (18_144, 1323)
    page = owner.get("/promises/market-oyster/")
    assert page.status_code == OK
    text = page.content.decode()
    assert 'value="40"' in text
    assert 'value="6"' in text
    assert "a lb, or a unit" in text
    assert owner.post("/promises/market-oyster/", {**sent, "amount": "41"}).status_code == FOUND
    [after] = [p for p in planning_day.farm_book()[0].promises if p.code == "market-oyster"]
    assert (after.amount, after.price_cents) == (18_597, 1323)


@pytest.mark.usefixtures("pounds", "shed")
def test_units_are_priced_each(owner: Client) -> None:
    sent = {
        "buyer": "market", "variety": "oyster", "step": "block", "amount": "12",
        "weekday": "wed", "price": "15",
    }  # fmt: skip
    assert owner.post("/promises/new/", sent).status_code == FOUND
    found = [p for p in planning_day.farm_book()[0].promises if p.step == "block"]
    assert found[-1].price_cents == 1500
