from __future__ import annotations

import pytest
from django.test import Client

from pinset.farm.models import Entry
from pinset.services import clock
from web.asking import FOUND, OK, UNFIT, sent_to_sign_in, words
from web.shed import Shed

FIRST = "ab" * 16


def _shaken(client: Client, shed: Shed) -> str:
    client.post(f"/jobs/{shed.jobs['shake']}/done/", {"client_id": FIRST})
    return f"/entries/{FIRST}/undo/"


def test_worker_undoes_by_a_correcting_entry_and_the_job_is_open_again(
    worker: Client, shed: Shed, tap: str
) -> None:
    address = _shaken(worker, shed)
    response = worker.post(
        address, {"client_id": tap, "reason": "tapped by mistake", "job": shed.jobs["shake"]}
    )
    assert response.status_code == FOUND
    assert Entry.objects.get(client_id=tap).corrects == Entry.objects.get(client_id=FIRST)
    page = worker.get("/").content.decode()
    card = page.split(f'id="job-{shed.jobs["shake"]}"')[1].split("</article>")[0]
    assert f"/jobs/{shed.jobs['shake']}/done/" in card


def test_owner_undoes_from_the_lots_page(owner: Client, shed: Shed, tap: str) -> None:
    address = _shaken(owner, shed)
    response = owner.post(address, {"client_id": tap, "reason": "wrong lot", "lot": shed.jars})
    assert response.headers["Location"] == f"/books/lots/{shed.jars}/"
    assert "Set right by a later entry." in words(owner.get(f"/books/lots/{shed.jars}/"))


def test_a_tap_on_the_card_gets_the_open_card(worker: Client, shed: Shed, tap: str) -> None:
    address = _shaken(worker, shed)
    response = worker.post(
        address,
        {"client_id": tap, "reason": "tapped by mistake", "job": shed.jobs["shake"]},
        headers={"HX-Request": "true"},
    )
    assert response.status_code == OK
    assert f"/jobs/{shed.jobs['shake']}/done/" in response.content.decode()


def test_stranger_undoes_nothing(stranger: Client, worker: Client, shed: Shed) -> None:
    assert sent_to_sign_in(stranger, _shaken(worker, shed), post=True)


def test_undo_twice_is_one_entry_and_needs_a_reason(worker: Client, shed: Shed, tap: str) -> None:
    address = _shaken(worker, shed)
    before = Entry.objects.count()
    assert worker.post(address, {"client_id": tap}).status_code == UNFIT
    for _ in range(2):
        worker.post(address, {"client_id": tap, "reason": "x", "lot": shed.jars})
    assert Entry.objects.count() == before + 1


def test_an_unknown_entry_is_refused_in_words(worker: Client, tap: str, shed: Shed) -> None:
    response = worker.post(
        f"/entries/{'9' * 32}/undo/", {"client_id": tap, "reason": "x", "lot": shed.jars}
    )
    assert response.status_code == UNFIT


def test_after_undo_the_card_has_its_clock_time_again(
    worker: Client, shed: Shed, tap: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv(clock.PRETENDED, shed.day.isoformat())  # looked at as it begins
    job = shed.jobs["shake"]
    before = worker.get("/").content.decode().split(f'id="job-{job}"')[1].split("</article>")[0]
    at = before.split('<p class="when">')[1].split("<b>")[1].split("</b>")[0]
    response = worker.post(
        _shaken(worker, shed),
        {"client_id": tap, "reason": "tapped by mistake", "job": job},
        headers={"HX-Request": "true"},
    )
    assert f"<b>{at}</b>" in response.content.decode()


def test_undoing_twice_by_other_taps_shows_the_card_as_it_stands(
    worker: Client, shed: Shed, tap: str
) -> None:
    address, job = _shaken(worker, shed), shed.jobs["shake"]
    sent = {"reason": "tapped by mistake", "job": job}
    worker.post(address, {"client_id": tap, **sent})
    stale = worker.post(address, {"client_id": "6" * 32, **sent}, headers={"HX-Request": "true"})
    assert "was taken back before" in words(stale)
    assert f"/jobs/{job}/done/" in stale.content.decode()
