from __future__ import annotations

from datetime import timedelta

import pytest
from django.test import Client

from pinset.farm.models import Entry
from web.asking import FOUND, OK, UNFIT, sent_to_sign_in, shown, words
from web.shed import Shed


def test_worker_picks_from_a_lot_without_a_job(worker: Client, shed: Shed, tap: str) -> None:
    said = words(worker.get("/pick/"))
    assert shed.fruiting in said
    assert "P3 or N95" in said
    sent = {"client_id": tap, "lot": shed.fruiting, "weight": "4,2", "flush": "1"}
    assert worker.post("/pick/", sent).status_code == FOUND
    entry = Entry.objects.get(client_id=tap)
    assert (entry.kind, entry.details["grams"], entry.details["flush"]) == ("pick", 4200, 1)
    assert "4.2 kg picked" in words(worker.get("/pick/"))


def test_owner_answers_the_job_of_the_day(owner: Client, shed: Shed, tap: str) -> None:
    job = shed.jobs["pick"]
    assert f"?job={job}" in owner.get("/pick/").content.decode()
    sent = {"client_id": tap, "job": job, "weight": "11 lb", "how": "part"}
    response = owner.post("/pick/", sent)
    assert response.headers["Location"] == "/"
    entry = Entry.objects.get(client_id=tap)
    assert entry.job == job
    assert entry.details["grams"] == 4990, "11 lb at 0.45359237 kg, International Yard and Pound"


def test_stranger_picks_nothing(stranger: Client, shed: Shed) -> None:  # noqa: ARG001
    assert sent_to_sign_in(stranger, "/pick/")
    assert sent_to_sign_in(stranger, "/pick/", post=True)


def test_a_code_with_a_slip_is_refused_with_the_nearest(
    worker: Client, shed: Shed, tap: str
) -> None:
    slip = shed.fruiting[1] + shed.fruiting[0] + shed.fruiting[2:]
    response = worker.post("/pick/", {"client_id": tap, "other-lot": slip, "weight": "3"})
    assert response.status_code == UNFIT
    assert shed.fruiting in words(response)
    assert 'value="3"' in response.content.decode(), "what was typed is kept"
    assert f'value="{tap}"' in response.content.decode(), "and so is the id"


def test_nonsense_is_refused(worker: Client, shed: Shed, tap: str) -> None:
    before = Entry.objects.count()
    for wrong in (
        {"weight": ""},
        {"weight": "-3"},
        {"weight": "1e99"},
        {"weight": "9" * 38},
        {"weight": "0"},
        {"weight": "4 bar"},
        {"weight": "3", "flush": "99"},
        {"weight": "3", "lot": ""},
        {"weight": "3", "at": "2300-01-01T00:00"},
        {"weight": "3", "at": "yesterday"},
    ):
        sent = {"client_id": tap, "lot": shed.fruiting, **wrong}
        response = worker.post("/pick/", sent)
        assert response.status_code == UNFIT, wrong
    assert Entry.objects.count() == before


def test_a_double_tap_is_one_entry(worker: Client, shed: Shed, tap: str) -> None:
    before = Entry.objects.count()
    for _ in range(2):
        sent = {"client_id": tap, "lot": shed.fruiting, "weight": "4"}
        assert worker.post("/pick/", sent).status_code == FOUND
    assert Entry.objects.count() == before + 1


def test_a_finished_job_does_not_bind_the_page(worker: Client, shed: Shed, tap: str) -> None:
    job = shed.jobs["pick"]
    worker.post("/pick/", {"client_id": tap, "job": job, "weight": "5", "how": "done"})
    assert worker.get(f"/pick/?job={job}").status_code == OK


def test_a_double_tap_that_ends_the_job_is_one_entry(worker: Client, shed: Shed, tap: str) -> None:
    before = Entry.objects.count()
    sent = {"client_id": tap, "job": shed.jobs["pick"], "weight": "5", "how": "done"}
    sent["lot"] = shed.fruiting
    for _ in range(2):
        assert worker.post("/pick/", sent).status_code == FOUND
    assert Entry.objects.count() == before + 1
    other = worker.post("/pick/", {**sent, "weight": "6"})
    assert other.status_code == UNFIT
    assert "sent before" in words(other)
    assert Entry.objects.count() == before + 1


@pytest.mark.parametrize("with_job", [False, True])
def test_a_refused_pick_asks_for_a_reason(
    worker: Client, shed: Shed, tap: str, *, with_job: bool
) -> None:
    sent = {"client_id": tap, "lot": shed.fruiting, "weight": "4", "flush": "9", "how": "part"}
    if with_job:
        sent["job"] = shed.jobs["pick"]
    assert 'name="reason"' not in worker.get("/pick/").content.decode()
    refused = worker.post("/pick/", sent)
    assert refused.status_code == UNFIT
    assert "Flush 9 of lot" in words(refused)
    assert 'name="reason"' in refused.content.decode()
    unseen = worker.post("/pick/", {**sent, "reason": "an old block"})
    assert unseen.status_code == UNFIT
    assert "given before this was shown" in words(unseen)
    assert 'value="an old block"' in unseen.content.decode()
    again = {**sent, **shown(refused), "reason": "an old block"}
    assert worker.post("/pick/", again).status_code == FOUND
    assert Entry.objects.get(client_id=tap).details["reason"] == "an old block"


def test_the_moment_that_is_asked_about_stays_in_the_form(
    worker: Client, shed: Shed, tap: str
) -> None:
    at = f"{shed.day - timedelta(days=20)}T09:00"
    sent = {"client_id": tap, "lot": shed.fruiting, "weight": "3", "at": at, "note": "invented"}
    refused = worker.post("/pick/", sent)
    assert refused.status_code == UNFIT, "a note is no reason"
    assert "came into its grow room on" in words(refused)
    assert f"picked on, {shed.day - timedelta(days=20)}" in words(refused)
    page = refused.content.decode()
    assert f'value="{at}"' in page
    assert ">invented</textarea>" in page
