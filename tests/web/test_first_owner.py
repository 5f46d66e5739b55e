from __future__ import annotations

import pytest
from django.test import Client

from pinset.farm.models import Person
from pinset.services.farms import people
from web.asking import FORBIDDEN, FOUND, OK, UNFIT, words
from web.shed import Shed

WORDS = "four new small words"


@pytest.fixture
def unset(shed: Shed) -> Shed:
    """A farm whose people have no passwords yet."""
    for person in Person.objects.all():
        person.set_unusable_password()
        person.save()
    return shed


def test_at_this_computer_the_owner_sets_it_and_is_in(stranger: Client, unset: Shed) -> None:  # noqa: ARG001
    assert stranger.get("/sign-in/").headers["Location"] == "/first-owner/"
    said = words(stranger.get("/first-owner/"))
    assert "open to this computer only" in said
    assert "Ada" in said
    assert "Ben" not in said
    sent = {"code": "ada", "password": WORDS, "again": WORDS}
    assert stranger.post("/first-owner/", sent).headers["Location"] == "/"
    assert stranger.get("/").status_code == OK


@pytest.mark.parametrize(
    ("address", "headers"),
    [
        ("192.168.1.20", {}),
        ("127.0.0.1", {"X-Forwarded-For": "192.168.1.20"}),
        ("127.0.0.1", {"Forwarded": "for=192.168.1.20"}),
        ("", {}),
    ],
)
def test_from_elsewhere_nobody_sets_it(
    stranger: Client, unset: Shed, address: str, headers: dict[str, str]  # noqa: ARG001
) -> None:  # fmt: skip
    sent = {"code": "ada", "password": WORDS, "again": WORDS}
    response = stranger.post("/first-owner/", sent, REMOTE_ADDR=address, headers=headers)
    assert response.status_code == FORBIDDEN
    assert "at the computer that runs pinset" in words(response)
    assert not people.owner_has_password()


def test_a_worker_cannot_become_the_owner_by_it(stranger: Client, unset: Shed) -> None:  # noqa: ARG001
    sent = {"code": "ben", "password": WORDS, "again": WORDS}
    assert stranger.post("/first-owner/", sent).status_code == UNFIT
    assert not people.owner_has_password()


def test_it_is_set_once_only(stranger: Client, worker: Client, owner: Client) -> None:
    for client in (stranger, worker, owner):
        assert client.get("/first-owner/").status_code == FOUND
        sent = {"code": "ada", "password": WORDS, "again": WORDS}
        assert client.post("/first-owner/", sent).status_code == FOUND
    assert stranger.post("/sign-in/", {"name": "ada", "password": WORDS}).status_code == FORBIDDEN


@pytest.mark.django_db
def test_a_farm_without_an_owner_gets_one(stranger: Client) -> None:
    assert "Your name" in words(stranger.get("/first-owner/"))
    for wrong in (
        {"password": "short", "again": "short"},
        {"again": "something else"},
        {"code": "§§"},
    ):
        sent = {"name": "Dora", "code": "dora", "password": WORDS, "again": WORDS, **wrong}
        assert stranger.post("/first-owner/", sent).status_code == UNFIT, wrong
        assert not Person.objects.exists()
    sent = {"name": "Dora", "code": "dora", "password": WORDS, "again": WORDS}
    assert stranger.post("/first-owner/", sent).status_code == FOUND
    assert Person.objects.get().is_owner
