from __future__ import annotations

import pytest
from django.contrib.auth.hashers import identify_hasher
from django.test import Client

from pinset.farm.models import Person
from pinset.services.farms import people
from web.asking import FORBIDDEN, FOUND, OK, words
from web.shed import PASSWORD, Shed


@pytest.mark.parametrize("name", ["ada", "Ada", "ADA"])
def test_owner_signs_in_by_code_or_name(stranger: Client, shed: Shed, name: str) -> None:  # noqa: ARG001
    response = stranger.post("/sign-in/", {"name": name, "password": PASSWORD})
    assert response.status_code == FOUND
    assert response.headers["Location"] == "/"
    assert stranger.get("/").status_code == OK
    assert stranger.get("/sign-in/").status_code == FOUND


def test_worker_goes_on_where_they_wanted_to(stranger: Client, shed: Shed) -> None:
    sent = stranger.get(f"/jobs/{shed.jobs['look']}/").headers["Location"]
    page = stranger.get(sent).content.decode()
    assert f'value="/jobs/{shed.jobs["look"]}/"' in page
    going = {"name": "ben", "password": PASSWORD, "next": f"/jobs/{shed.jobs['look']}/"}
    assert stranger.post("/sign-in/", going).headers["Location"] == f"/jobs/{shed.jobs['look']}/"


@pytest.mark.parametrize(
    "elsewhere",
    [
        "https://elsewhere.example/",
        "//elsewhere.example",
        "javascript:alert(1)",
        "\\\\elsewhere",
        "%2f%2felsewhere.example",
        "promises",
    ],
)
def test_no_address_elsewhere_is_followed(stranger: Client, shed: Shed, elsewhere: str) -> None:  # noqa: ARG001
    sent = {"name": "ada", "password": PASSWORD, "next": elsewhere}
    assert stranger.post("/sign-in/", sent).headers["Location"] == "/"


def test_a_stranger_is_refused_without_saying_which_was_wrong(
    stranger: Client, shed: Shed  # noqa: ARG001
) -> None:  # fmt: skip
    known = stranger.post("/sign-in/", {"name": "ada", "password": "wrong"})
    unknown = stranger.post("/sign-in/", {"name": "nobody", "password": "wrong"})
    assert known.status_code == unknown.status_code == FORBIDDEN
    assert words(known).replace("ada", "") == words(unknown).replace("nobody", "")
    assert stranger.get("/").status_code == FOUND


def test_too_many_tries_for_one_name_close_it_for_a_while(stranger: Client, shed: Shed) -> None:  # noqa: ARG001
    for number in range(people.MOST_PER_NAME):
        stranger.post(
            "/sign-in/", {"name": "ada", "password": f"no {number}"}, REMOTE_ADDR=f"10.0.0.{number}"
        )
    right = {"name": "ada", "password": PASSWORD}
    response = stranger.post("/sign-in/", right, REMOTE_ADDR="10.0.0.99")
    assert response.status_code == FORBIDDEN
    assert "Wait a quarter of an hour" in words(response)
    other = stranger.post("/sign-in/", {"name": "ben", "password": PASSWORD})
    assert other.status_code == FOUND, "others are not held up"


def test_too_many_tries_from_one_address_close_it(stranger: Client, shed: Shed) -> None:  # noqa: ARG001
    for number in range(people.MOST_PER_ADDRESS):
        stranger.post(
            "/sign-in/",
            {"name": f"guess-{number}", "password": "x"},
            REMOTE_ADDR="10.0.0.7",
            headers={"X-Forwarded-For": f"10.1.1.{number}"},
        )
    right = {"name": "ada", "password": PASSWORD}
    assert stranger.post("/sign-in/", right, REMOTE_ADDR="10.0.0.7").status_code == FORBIDDEN
    assert stranger.post("/sign-in/", right, REMOTE_ADDR="10.0.0.8").status_code == FOUND


def test_passwords_are_kept_by_argon2_only(shed: Shed) -> None:  # noqa: ARG001
    for person in Person.objects.all():
        assert identify_hasher(person.password).algorithm == "argon2"


def test_signing_in_changes_the_session_key(stranger: Client, shed: Shed) -> None:  # noqa: ARG001
    stranger.get("/sign-in/")
    stranger.post("/sign-in/", {"name": "ben", "password": PASSWORD})
    first = stranger.cookies["sessionid"].value
    assert stranger.cookies["sessionid"]["httponly"]
    assert stranger.cookies["sessionid"]["samesite"] == "Lax"
    stranger.post("/sign-out/")
    stranger.post("/sign-in/", {"name": "ben", "password": PASSWORD})
    assert stranger.cookies["sessionid"].value != first


def test_overlong_names_and_passwords_are_refused(stranger: Client, shed: Shed) -> None:  # noqa: ARG001
    sent = {"name": "a" * 100_000, "password": "b" * 100_000}
    assert stranger.post("/sign-in/", sent).status_code == FORBIDDEN
    assert stranger.post("/sign-in/", {}).status_code == FORBIDDEN
    assert stranger.post("/sign-in/", {"name": "a\x00b", "password": "x"}).status_code in {
        FORBIDDEN,
        422,
    }
