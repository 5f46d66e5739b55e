from __future__ import annotations

from django.test import Client

from web.asking import sent_to_sign_in, words
from web.shed import Shed


def test_owner_finds_the_settings_there(owner: Client) -> None:
    said = words(owner.get("/more/"))
    assert "Settings" in said
    assert "Signed in: Ada" in said


def test_worker_finds_the_rest(worker: Client) -> None:
    page = worker.get("/more/").content.decode()
    assert 'href="/settings/"' not in page
    assert 'href="/settings/password/"' in page


def test_stranger_is_sent_to_sign_in(stranger: Client, shed: Shed) -> None:  # noqa: ARG001
    assert sent_to_sign_in(stranger, "/more/")
