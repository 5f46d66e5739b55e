from __future__ import annotations

from django.test import Client

from web.asking import FOUND, OK, UNFIT, sent_to_sign_in, words
from web.shed import PASSWORD, Shed

NEW = "five other small words"


def test_worker_changes_their_own_and_stays_signed_in(worker: Client, stranger: Client) -> None:
    assert worker.get("/settings/password/").status_code == OK
    sent = {"old": PASSWORD, "password": NEW, "again": NEW}
    assert worker.post("/settings/password/", sent).status_code == FOUND
    assert worker.get("/").status_code == OK
    assert stranger.post("/sign-in/", {"name": "ben", "password": NEW}).status_code == FOUND


def test_owner_too(owner: Client) -> None:
    sent = {"old": PASSWORD, "password": NEW, "again": NEW}
    assert owner.post("/settings/password/", sent).status_code == FOUND


def test_the_old_one_is_asked_and_easy_ones_are_refused(worker: Client) -> None:
    for wrong in (
        {"old": "wrong"},
        {"again": "different words here"},
        {"password": "short", "again": "short"},
        {"password": "1234567890", "again": "1234567890"},
        {"password": "", "again": ""},
    ):
        sent = {"old": PASSWORD, "password": NEW, "again": NEW, **wrong}
        response = worker.post("/settings/password/", sent)
        assert response.status_code == UNFIT, wrong
        assert "Nothing was saved." in words(response)


def test_stranger_is_sent_to_sign_in(stranger: Client, shed: Shed) -> None:  # noqa: ARG001
    assert sent_to_sign_in(stranger, "/settings/password/")
    assert sent_to_sign_in(stranger, "/settings/password/", post=True)
