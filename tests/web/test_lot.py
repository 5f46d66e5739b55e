from __future__ import annotations

import pytest
from django.test import Client

from web.asking import CONFLICT, UNFIT, sent_to_sign_in, words
from web.fixtures import a_lot
from web.shed import Shed


def test_owner_and_worker_see_a_lots_life(owner: Client, worker: Client, shed: Shed) -> None:
    for client in (owner, worker):
        said = words(client.get(f"/books/lots/{shed.jars}/"))
        assert shed.jars in said
        assert "12 made" in said
        assert "10 alive" in said
        assert "Its life" in said
        assert "Came from" in said


def test_stranger_is_sent_to_sign_in(stranger: Client, shed: Shed) -> None:
    assert sent_to_sign_in(stranger, f"/books/lots/{shed.jars}/")


def test_a_slip_is_refused_with_the_nearest_code(worker: Client, shed: Shed) -> None:
    slip = shed.jars[:-1] + ("2" if shed.jars[-1] != "2" else "3")
    response = worker.get(f"/books/lots/{slip}/")
    assert response.status_code in {UNFIT, CONFLICT}
    assert shed.jars in words(response)


def test_nonsense_is_a_plain_page(worker: Client, shed: Shed) -> None:  # noqa: ARG001
    for code in ("x", "0" * 60, "%3Cscript%3E", "..%2F..", "9" * 200):
        response = worker.get(f"/books/lots/{code}/")
        assert 400 <= response.status_code < 500
        assert "<script>" not in response.content.decode()


def test_counts_parents_children_and_corrections_are_said(
    worker: Client, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("pinset.services.books.lots.lot_view", lambda _: a_lot())
    response = worker.get("/books/lots/4TQD5/")
    said = words(response)
    for sentence in (
        "22 alive",
        "2 lost to contamination",
        "3 of 8 plates used",
        "2 jars into 12 blocks",
        "Set right by a later entry.",
        "written down 10",
        "Undo this entry",
    ):
        assert sentence in said
    page = response.content.decode()
    assert 'aria-label="24 made, 22 alive, 2 lost to contamination"' in page
    assert "mouldy unit" in said, "the caution stands where loss is written down"
