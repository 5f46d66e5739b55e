from __future__ import annotations

from django.test import Client

from pinset.services.farms import people
from web.asking import CONFLICT, FORBIDDEN, FOUND, MISSING, OK, UNFIT, sent_to_sign_in, words
from web.shed import PASSWORD, Shed

CLEO = {"name": "Cleo", "code": "cleo", "role": "worker", "password": "four plain green words"}


def test_owner_adds_somebody_who_can_sign_in(owner: Client, stranger: Client) -> None:
    assert owner.post("/settings/people/new/", CLEO).status_code == FOUND
    said = words(owner.get("/settings/people/"))
    assert "Cleo" in said
    sent = {"name": "cleo", "password": CLEO["password"]}
    assert stranger.post("/sign-in/", sent).headers["Location"] == "/"


def test_easy_passwords_and_taken_codes_are_refused(owner: Client) -> None:
    for wrong in ({"password": "short"}, {"code": "ben"}, {"code": ""}, {"role": "king"}):
        response = owner.post("/settings/people/new/", {**CLEO, **wrong})
        assert response.status_code == UNFIT, wrong
        assert CLEO["password"] not in response.content.decode()
    assert "cleo" not in {row.code for row in people.everybody()}


def test_owner_changes_a_role_and_a_password(owner: Client, stranger: Client) -> None:
    address = "/settings/people/ben/"
    assert owner.get(address).status_code == OK
    sent = {"what": "role", "role": "owner", "active": "yes"}
    assert owner.post(address, sent).status_code == FOUND
    assert {row.code for row in people.everybody() if row.role == "owner"} == {"ada", "ben"}
    sent = {"what": "password", "password": "another three words"}
    assert owner.post(address, sent).status_code == FOUND
    tried = stranger.post("/sign-in/", {"name": "ben", "password": "another three words"})
    assert tried.status_code == FOUND


def test_whoever_may_no_longer_sign_in_is_out_at_once(owner: Client, worker: Client) -> None:
    assert worker.get("/").status_code == OK
    owner.post("/settings/people/ben/", {"what": "role", "role": "worker"})
    assert worker.get("/").status_code == FOUND


def test_one_owner_always_stays(owner: Client) -> None:
    for sent in ({"role": "worker", "active": "yes"}, {"role": "owner"}):
        response = owner.post("/settings/people/ada/", {"what": "role", **sent})
        assert response.status_code in {UNFIT, CONFLICT}
        assert "at least one owner" in words(response)


def test_worker_may_not(worker: Client) -> None:
    for address in ("/settings/people/", "/settings/people/new/", "/settings/people/ada/"):
        assert worker.get(address).status_code == FORBIDDEN
        assert worker.post(address, CLEO).status_code in {FORBIDDEN, 405}


def test_stranger_is_sent_to_sign_in(stranger: Client, shed: Shed) -> None:  # noqa: ARG001
    for address in ("/settings/people/", "/settings/people/new/", "/settings/people/ada/"):
        assert sent_to_sign_in(stranger, address)
        assert sent_to_sign_in(stranger, address, post=True)


def test_nobody_of_that_code(owner: Client) -> None:
    assert owner.get("/settings/people/zoe/").status_code == MISSING
    assert PASSWORD not in owner.get("/settings/people/ben/").content.decode()
