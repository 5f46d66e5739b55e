from __future__ import annotations

import pytest
from django.test import Client

from pinset.chain.outages import Outage, OutageOf
from pinset.farm import plan_requests, register_store
from pinset.services.clock import now_utc
from web.asking import FORBIDDEN, FOUND, MISSING, NO_CONTENT, OK, sent_to_sign_in, words
from web.shed import Shed


def _asked(owner: Client) -> str:
    response = owner.post("/plan/")
    assert response.status_code == FOUND
    return str(response.headers["Location"])


def test_owner_asks_for_a_plan_and_sees_how_far_it_is(owner: Client) -> None:
    address = _asked(owner)
    assert "Waiting for its turn." in words(owner.get(address))
    number = plan_requests.take(now_utc())
    assert number is not None
    plan_requests.tell(number, "planning")
    part = owner.get(address, headers={"HX-Request": "true"})
    assert part.status_code == OK
    assert "planning" in words(part)
    assert "<html" not in part.content.decode()


def test_when_it_is_there_the_page_goes_to_today(owner: Client) -> None:
    address = _asked(owner)
    number = plan_requests.take(now_utc())
    assert number is not None
    plan_requests.end(number, now_utc())
    part = owner.get(address, headers={"HX-Request": "true"})
    assert part.status_code == NO_CONTENT
    assert part.headers["HX-Redirect"] == "/"
    assert "The plan is new." in words(owner.get("/"))


@pytest.mark.parametrize(
    ("back", "shown"),
    [("board", "/board/"), ("promises", "/promises/"), ("", "/"), ("https://evil.example", "/")],
)
def test_it_goes_back_to_where_it_was_asked_for(owner: Client, back: str, shown: str) -> None:
    address = str(owner.post("/plan/", {"back": back}).headers["Location"])
    assert "evil" not in address
    assert f"?back={back or 'today'}" in address or shown == "/"
    number = plan_requests.take(now_utc())
    assert number is not None
    plan_requests.end(number, now_utc())
    assert owner.get(address, headers={"HX-Request": "true"}).headers["HX-Redirect"] == shown
    assert owner.get(address).headers["Location"] == shown


def test_what_went_wrong_is_said(owner: Client) -> None:
    address = _asked(owner)
    number = plan_requests.take(now_utc())
    assert number is not None
    plan_requests.end(number, now_utc(), "No farm is described.")
    assert owner.get(address).status_code == FOUND
    assert "No farm is described." in words(owner.get("/"))


def test_worker_may_not_plan_while_an_owner_is_there(worker: Client) -> None:
    assert "Plan now" not in words(worker.get("/"))
    response = worker.post("/plan/")
    assert response.status_code == FORBIDDEN
    assert "Only an owner" in words(response)
    assert worker.get("/plan/1/").status_code == FORBIDDEN


def test_a_worker_alone_may_plan(worker: Client, shed: Shed) -> None:
    """Ada, the owner, is away."""
    away = Outage("away", OutageOf.PERSON, "ada", shed.day, shed.day)
    register_store.write((away,), shed.day, "", now_utc())
    assert "Plan now" in words(worker.get("/"))
    response = worker.post("/plan/")
    assert response.status_code == FOUND
    assert "Waiting for its turn." in words(worker.get(response.headers["Location"]))


@pytest.mark.usefixtures("db")
def test_stranger_is_sent_to_sign_in(stranger: Client) -> None:
    assert sent_to_sign_in(stranger, "/plan/", post=True)
    assert sent_to_sign_in(stranger, "/plan/1/")


def test_a_number_nobody_asked_for_is_not_there(owner: Client, shed: Shed) -> None:  # noqa: ARG001
    assert owner.get("/plan/77/").status_code == MISSING
