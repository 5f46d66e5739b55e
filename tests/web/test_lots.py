from __future__ import annotations

import pytest
from django.test import Client

from web.asking import OK, UNFIT, sent_to_sign_in, words
from web.fixtures import lots
from web.shed import Shed


def test_owner_and_worker_see_what_is_alive(owner: Client, worker: Client, shed: Shed) -> None:
    for client in (owner, worker):
        said = words(client.get("/books/lots/"))
        assert "5 lots" in said
        for code in (shed.plates, shed.jars, shed.blocks, shed.fruiting):
            assert code in said


def test_stranger_is_sent_to_sign_in(stranger: Client, shed: Shed) -> None:  # noqa: ARG001
    assert sent_to_sign_in(stranger, "/books/lots/")


def test_search_and_filters(worker: Client, shed: Shed) -> None:
    found = words(worker.get("/books/lots/", {"query": shed.jars[:3].lower()}))
    assert shed.jars in found
    assert shed.blocks not in found
    grain = words(worker.get("/books/lots/", {"stage": "grain", "variety": "oyster"}))
    assert shed.jars in grain
    assert shed.plates not in grain
    assert "No lot fits." in words(worker.get("/books/lots/", {"query": "2222"}))


def test_strange_questions_are_answered(worker: Client, shed: Shed) -> None:  # noqa: ARG001
    for page in ("0", "-4", "x", "99", "٣", "9" * 40):
        assert worker.get("/books/lots/", {"page": page}).status_code == OK
    assert worker.get("/books/lots/", {"query": "<b>%_'\"" * 30}).status_code == OK
    assert worker.get("/books/lots/", {"stage": "gold"}).status_code == UNFIT


def test_pages_keep_the_question(worker: Client, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("pinset.services.books.lots.lots_view", lambda *_, **__: lots())
    page = worker.get("/books/lots/", {"stage": "grain"}).content.decode()
    assert "131 lots" in page
    assert "?stage=grain&amp;page=2" in page
    assert "held back: more lost than expected" in page
    assert "5 lost" in page
