"""Heat, one cook: what was made of a cook that was too short is held back or kept on its page."""

from __future__ import annotations

import re
import secrets
from datetime import timedelta

import pytest
from django.http import HttpResponse
from django.test import Client

from pinset.chain.stages import Stage
from pinset.farm import codes, door, trade
from pinset.farm.entries import NewLot
from pinset.farm.models import Entry
from pinset.farm.trade import ParentShare, Taken, Tap
from pinset.services.clock import now_utc
from pinset.services.cooks.judge.verdict_entries import judge_by_hand
from web.cooked import COOK, cooked
from web.shed import Shed, book_of

pytestmark = pytest.mark.django_db


def text(response: HttpResponse) -> str:
    return re.sub(r"\s+", " ", response.content.decode())


@pytest.fixture
def jars(shed: Shed) -> str:
    """Twelve jars made in vessels of a cook that was found too short afterwards."""
    vessels = cooked(shed.day)
    [code] = codes.issue_codes(1)
    made = NewLot(
        code=code, stage=Stage.GRAIN, variety="oyster", step="grain",
        route=book_of(shed.day).routes[0].code, made_on=shed.day,
    )  # fmt: skip
    tap = Tap(secrets.token_hex(16), now_utc() - timedelta(minutes=30), "ada")
    parents = [ParentShare(shed.plates, 1)]
    entry = trade.inoculate(tap, parents, made, 12, "", vessels=[Taken(vessels, 12)])
    door.record([entry], now=now_utc())
    judge_by_hand(secrets.token_hex(16), "ada", COOK, "fail", "the fire went out")
    return code


def decide(client: Client, lot: str, **more: str) -> HttpResponse:
    given = {"client_id": secrets.token_hex(16), "lot": lot, "verdict": "hold"}
    return client.post(f"/heat/cook/{COOK}/decide/", {**given, **more}, follow=True)


def test_what_was_made_is_marked_and_decided_on_there(worker: Client, jars: str) -> None:
    page = text(worker.get(f"/heat/cook/{COOK}/"))
    assert "of a cook that was too short: nobody decided" in page
    assert "Look them over and decide" in page
    shown = text(worker.get(f"/books/lots/{jars}/"))
    assert "12 units in vessels of cook" in shown
    assert f'href="/heat/cook/{COOK}/#made"' in shown
    assert f'href="/heat/cook/{COOK}/#made"' in text(worker.get("/"))
    assert decide(worker, jars).status_code == 422, "no reason"
    assert decide(worker, jars, verdict="perhaps", reason="seen").status_code == 422
    assert decide(worker, "AAAAA", reason="seen").status_code == 422
    answer = text(decide(worker, jars, reason="green in two jars"))
    assert f"{jars}: held back: recorded." in answer
    assert "Look them over and decide" not in answer
    assert "held back</span>" in answer
    assert Entry.objects.get(kind="judge").details["cook"] == COOK
    assert "Held back for it: green in two jars." in text(worker.get(f"/books/lots/{jars}/"))


@pytest.mark.usefixtures("jars")
def test_a_refused_decision_keeps_what_was_typed(worker: Client) -> None:
    response = decide(worker, "", reason="nothing smells")
    assert response.status_code == 422
    assert re.search(r'id="decide-reason"[^>]*value="nothing smells"', text(response))
    assert not Entry.objects.filter(kind="hold").exists()


@pytest.mark.usefixtures("jars")
def test_a_judgement_by_hand_without_a_reason_is_asked_for_it_there(worker: Client) -> None:
    given = {"client_id": secrets.token_hex(16), "verdict": "pass", "reason": " "}
    response = worker.post(f"/heat/cook/{COOK}/by-hand/", given)
    assert response.status_code == 422
    assert "What was watched? is still empty" in text(response)
    assert re.search(r'id="hand-reason"[^>]*aria-invalid="true"', text(response))
