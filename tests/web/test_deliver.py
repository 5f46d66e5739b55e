from __future__ import annotations

from datetime import timedelta

from django.test import Client

from pinset.farm.models import Entry
from web.asking import FOUND, UNFIT, sent_to_sign_in, shown, words
from web.shed import Shed


def _picked(client: Client, shed: Shed, kilograms: str) -> None:
    client.post("/pick/", {"client_id": "e" * 32, "lot": shed.fruiting, "weight": kilograms})


def test_worker_hands_over_what_is_in_store(worker: Client, shed: Shed, tap: str) -> None:
    _picked(worker, shed, "6")
    said = words(worker.get("/deliver/"))
    assert "6 kg Grey oyster" in said.replace("\N{NO-BREAK SPACE}", " ")
    assert "below 0" not in said
    sent = {"client_id": tap, "buyer": "market", "variety": "oyster", "weight": "2.5"}
    assert worker.post("/deliver/", sent).status_code == FOUND
    entry = Entry.objects.get(client_id=tap)
    assert (entry.kind, entry.details["buyer"], entry.details["grams"]) == (
        "deliver",
        "market",
        2500,
    )
    assert entry.details["promise"] == "market-saturday"


def test_what_is_past_its_days_is_said_and_goes_only_with_a_reason(
    worker: Client, shed: Shed, tap: str
) -> None:
    long_ago = f"{shed.day - timedelta(days=20)}T09:00"
    old = {"client_id": "d" * 32, "lot": shed.fruiting, "weight": "3", "at": long_ago}
    asked = worker.post("/pick/", old)
    assert worker.post("/pick/", {**old, **shown(asked), "reason": "invented"}).status_code == FOUND
    _picked(worker, shed, "6")
    said = words(worker.get("/deliver/")).replace("\N{NO-BREAK SPACE}", " ")
    assert "9 kg Grey oyster (3 kg of it past its days: picked" in said
    job = worker.get(f"/jobs/{shed.jobs['deliver']}/")
    assert "leave 3 kg in the store: past its days" in words(job)
    assert "Cool picked mushrooms" in words(job)
    sent = {"client_id": tap, "buyer": "market", "variety": "oyster", "weight": "8"}
    refused = worker.post("/deliver/", {**sent, "note": "by the van"})
    assert refused.status_code == UNFIT
    assert "3 kg are past them" in words(refused)
    assert "Cool picked mushrooms" in words(refused)
    assert "by the van" in words(refused)
    assert 'name="reason"' not in worker.get("/deliver/").content.decode()
    assert worker.post("/deliver/", {**sent, "reason": "for the hens"}).status_code == UNFIT
    again = {**sent, **shown(refused), "reason": "for the hens"}
    assert worker.post("/deliver/", again).status_code == FOUND
    assert Entry.objects.get(client_id=tap).details["reason"] == "for the hens"


def test_owner_sees_the_deliveries_of_the_day(owner: Client, shed: Shed) -> None:
    assert f"/jobs/{shed.jobs['deliver']}/" in owner.get("/deliver/").content.decode()


def test_stranger_delivers_nothing(stranger: Client, shed: Shed) -> None:  # noqa: ARG001
    assert sent_to_sign_in(stranger, "/deliver/")
    assert sent_to_sign_in(stranger, "/deliver/", post=True)


def test_what_is_not_there_or_unknown_is_refused(worker: Client, shed: Shed, tap: str) -> None:
    good = {"client_id": tap, "buyer": "market", "variety": "oyster", "weight": "2"}
    response = worker.post("/deliver/", good)
    assert response.status_code == UNFIT
    assert "Nothing of Grey oyster is in the cold store." in words(response)
    _picked(worker, shed, "6")
    for wrong in ({"buyer": "nobody"}, {"variety": "gold"}, {"weight": "-1"}, {"weight": ""}):
        assert worker.post("/deliver/", {**good, **wrong}).status_code == UNFIT, wrong
    assert not Entry.objects.filter(kind="deliver").exists()


def test_a_double_tap_is_one_entry(worker: Client, shed: Shed, tap: str) -> None:
    _picked(worker, shed, "6")
    for _ in range(2):
        sent = {"client_id": tap, "buyer": "market", "variety": "oyster", "weight": "2"}
        assert worker.post("/deliver/", sent).status_code == FOUND
    assert Entry.objects.filter(kind="deliver").count() == 1
