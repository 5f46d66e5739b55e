from __future__ import annotations

from django.test import Client

from pinset.farm.models import Entry
from web.asking import CONFLICT, FOUND, OK, sent_to_sign_in, words
from web.shed import Shed


def test_a_claim_shows_to_others_and_only_its_holder_releases_it(
    owner: Client, worker: Client, shed: Shed
) -> None:
    address = f"/jobs/{shed.jobs['jars']}/"
    assert worker.post(f"{address}claim/").status_code == FOUND
    assert "Ben has it" in words(owner.get(address))
    assert "Ben has it" in words(owner.get("/"))
    assert owner.post(f"{address}claim/").status_code == FOUND
    assert "Somebody else has it" in words(owner.get(address))
    owner.post(f"{address}release/")
    assert "Ben has it" in words(owner.get(address))
    worker.post(f"{address}release/")
    assert "Nobody has it yet." in words(owner.get(address))


def test_stranger_claims_nothing(stranger: Client, shed: Shed) -> None:
    for way in ("claim", "release"):
        assert sent_to_sign_in(stranger, f"/jobs/{shed.jobs['jars']}/{way}/", post=True)


def _entries(job: str) -> int:
    return Entry.objects.filter(job=job).count()


def test_a_job_somebody_else_holds_is_asked_about_first(
    owner: Client, worker: Client, shed: Shed, tap: str
) -> None:
    job = shed.jobs["jars"]
    worker.post(f"/jobs/{job}/claim/")
    sent = {"client_id": tap, "count": "6", "how": "part", "note": "a note"}
    question = owner.post(f"/jobs/{job}/done/", sent)
    assert question.status_code == CONFLICT
    assert "Ben has it. Record it all the same?" in words(question)
    assert _entries(job) == 0
    page = question.content.decode()
    for name, value in sent.items():
        assert f'<input type="hidden" name="{name}" value="{value}">' in page
    assert owner.post(f"/jobs/{job}/done/", {**sent, "anyway": "yes"}).status_code == FOUND
    assert owner.post(f"/jobs/{job}/done/", sent).status_code == FOUND, "the same tap again"
    assert _entries(job) == 1


def test_a_tap_on_the_card_gets_the_question_in_its_place(
    owner: Client, worker: Client, shed: Shed, tap: str
) -> None:
    job = shed.jobs["shake"]
    worker.post(f"/jobs/{job}/claim/")
    part = {"HX-Request": "true"}
    question = owner.post(f"/jobs/{job}/done/", {"client_id": tap}, headers=part)
    page = question.content.decode()
    assert f'<article class="job" id="job-{job}">' in page
    assert "<html" not in page
    assert 'name="anyway" value="yes"' in page
    again = owner.post(f"/jobs/{job}/done/", {"client_id": tap, "anyway": "yes"}, headers=part)
    assert again.status_code == OK
    assert _entries(job) == 1


def test_who_holds_it_is_not_asked(worker: Client, shed: Shed, tap: str) -> None:
    job = shed.jobs["shake"]
    worker.post(f"/jobs/{job}/claim/")
    assert worker.post(f"/jobs/{job}/done/", {"client_id": tap}).status_code == FOUND


def test_picking_asks_too(owner: Client, worker: Client, shed: Shed, tap: str) -> None:
    job = shed.jobs["pick"]
    worker.post(f"/jobs/{job}/claim/")
    sent = {"client_id": tap, "job": job, "lot": shed.fruiting, "weight": "2", "how": "part"}
    question = owner.post("/pick/", sent)
    assert "Ben has it. Record it all the same?" in words(question)
    assert 'action="/pick/"' in question.content.decode()
    assert owner.post("/pick/", {**sent, "anyway": "yes"}).status_code == FOUND
    assert _entries(job) == 1
