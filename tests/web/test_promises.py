from __future__ import annotations

import pytest
from django.test import Client

from web.asking import OK, sent_to_sign_in, words
from web.fixtures import promises
from web.shed import Shed


def test_owner_sees_promises_and_may_change_them(owner: Client) -> None:
    response = owner.get("/promises/")
    assert response.status_code == OK
    page = response.content.decode()
    assert "A kitchen (invented)" in page
    assert 'href="/promises/new/"' in page
    assert 'href="/promises/kitchen-friday/"' in page


def test_worker_sees_them_without_the_means_to_change(worker: Client) -> None:
    page = worker.get("/promises/").content.decode()
    assert "A kitchen (invented)" in page
    assert "/promises/new/" not in page
    assert "/promises/kitchen-friday/" not in page


def test_stranger_is_sent_to_sign_in(stranger: Client, shed: Shed) -> None:  # noqa: ARG001
    assert sent_to_sign_in(stranger, "/promises/")


def test_how_each_promise_stands_is_said_in_words(
    worker: Client, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("pinset.services.promises.promises.promises_view", promises)
    said = words(worker.get("/promises/")).replace("\N{NO-BREAK SPACE}", " ")
    for sentence in (
        "kept",
        "part kept",
        "missed",
        "on course",
        "cannot be met",
        "short",
        "4.2 kg of 6 kg",
        "12 units of 20 units",
        "The steriliser is full",
        "An expectation is no proof.",
        "Proven to within 0.4 %",
    ):
        assert sentence in said
