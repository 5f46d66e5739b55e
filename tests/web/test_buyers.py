from __future__ import annotations

import pytest
from django.test import Client

from web.asking import sent_to_sign_in, words
from web.fixtures import buyers
from web.shed import Shed


def test_owner_sees_buyers_and_may_add_one(owner: Client) -> None:
    page = owner.get("/books/buyers/").content.decode()
    assert "A kitchen (invented)" in page
    assert 'href="/settings/buyer/new/"' in page
    assert 'href="/settings/buyer/kitchen/"' in page


def test_worker_sees_them_only(worker: Client) -> None:
    page = worker.get("/books/buyers/").content.decode()
    assert "A kitchen (invented)" in page
    assert "/settings/buyer/" not in page


def test_stranger_is_sent_to_sign_in(stranger: Client, shed: Shed) -> None:  # noqa: ARG001
    assert sent_to_sign_in(stranger, "/books/buyers/")


def test_what_was_kept_is_said(worker: Client, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("pinset.services.books.books.buyers_view", buyers)
    said = words(worker.get("/books/buyers/")).replace("\N{NO-BREAK SPACE}", " ")
    assert "7 kg short in the last four weeks." in said
    assert "17 kg 24 kg" in said
    assert "2 units 3 units" in said
