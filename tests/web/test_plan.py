from __future__ import annotations

from collections.abc import Callable

import pytest
from django.test import Client

from pinset.chain.outages import Outage, OutageOf
from pinset.farm import plan_requests, register_store
from pinset.services.clock import now_utc
from pinset.services.plans import planning_day, work
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


def test_a_plan_that_is_made_is_stopped_and_the_one_before_stays(
    owner: Client, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The worker is in the middle of it: it ends at its next step, and lays nothing."""
    address = _asked(owner).split("?")[0]
    assert "Stop planning" in words(owner.get(address))
    before = planning_day.latest()
    answers = []

    def in_the_middle(*_: object, progress: Callable[[str], None], **__: object) -> None:
        progress("planning")
        assert "See how far, or stop it" in words(owner.get("/board/"))
        assert "See how far, or stop it" in words(owner.get("/promises/"))
        answers.append(owner.post(f"{address}stop/", {"back": "board"}))
        progress("writing the plan down")
        raise AssertionError("it went on")

    monkeypatch.setattr(planning_day, "replan", in_the_middle)
    now = now_utc()
    assert work.work_once(now)
    [answer] = answers
    assert answer.headers["Location"] == "/board/"
    page = words(owner.get("/board/"))
    assert "Planning was stopped. The plan before stays" in page
    assert "See how far" not in page
    assert planning_day.latest() == before
    monkeypatch.setattr(work, "day_needs_plan", lambda _now: True)
    assert not work.work_once(now), "nor is it begun again at once"


def test_whoever_waits_for_a_stopped_plan_is_told_so(owner: Client) -> None:
    address = _asked(owner).split("?")[0]
    number = plan_requests.take(now_utc())
    assert number is not None
    assert work.give_up(number)
    part = owner.get(address, headers={"HX-Request": "true"})
    assert part.status_code == NO_CONTENT
    said = words(owner.get("/"))
    assert "Planning was stopped" in said
    assert "The plan is new" not in said


def test_what_has_ended_is_not_stopped(owner: Client) -> None:
    address = _asked(owner).split("?")[0]
    number = plan_requests.take(now_utc())
    assert number is not None
    plan_requests.end(number, now_utc())
    assert owner.post(f"{address}stop/").headers["Location"].startswith(address)
    assert "Planning was stopped" not in words(owner.get("/"))
    assert owner.post("/plan/77/stop/").status_code == MISSING


def test_worker_may_not_stop_a_plan(owner: Client, worker: Client) -> None:
    address = _asked(owner).split("?")[0]
    assert worker.post(f"{address}stop/").status_code == FORBIDDEN


@pytest.mark.usefixtures("db")
def test_stranger_is_sent_to_sign_in(stranger: Client) -> None:
    assert sent_to_sign_in(stranger, "/plan/", post=True)
    assert sent_to_sign_in(stranger, "/plan/1/stop/", post=True)
    assert sent_to_sign_in(stranger, "/plan/1/")


def test_a_number_nobody_asked_for_is_not_there(owner: Client, shed: Shed) -> None:  # noqa: ARG001
    assert owner.get("/plan/77/").status_code == MISSING
