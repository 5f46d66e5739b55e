from __future__ import annotations

from django.test import Client

from pinset.web.views.books import sentence
from web.asking import sent_to_sign_in, words
from web.fixtures import rooms
from web.shed import Shed


def test_owner_sees_rooms_and_may_change_them(owner: Client) -> None:
    said = words(owner.get("/books/rooms/"))
    assert "Incubation" in said
    assert "of 80 places" in said
    assert "Change rooms and shelves" in said


def test_worker_sees_them_only(worker: Client) -> None:
    said = words(worker.get("/books/rooms/"))
    assert "Incubation" in said
    assert "Change rooms" not in said


def test_stranger_is_sent_to_sign_in(stranger: Client, shed: Shed) -> None:  # noqa: ARG001
    assert sent_to_sign_in(stranger, "/books/rooms/")


def test_full_shelves_are_named_first() -> None:
    assert sentence(rooms()) == "Shelves B1, C are full or nearly so."
    assert sentence(rooms()[2:3]) == "There is room on every shelf."
