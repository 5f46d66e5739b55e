"""People change on a shared tablet by a PIN: only on known devices, only to workers' pages."""

from __future__ import annotations

import re

import pytest
from django.test import Client

from pinset.farm.models import Entry, Person
from pinset.services.farms import people, pins
from pinset.web import devices
from web.asking import FOUND, OK, UNFIT, sent_to_sign_in, words
from web.shed import PASSWORD, Shed
from web.test_bench import begun, laid

REFUSED = 403


@pytest.fixture
def tablet(shed: Shed) -> Client:  # noqa: ARG001
    """A device where Ben signed in with his password; Ada and Ben have PINs."""
    pins.set_pin("ada", PASSWORD, "6120", "here")
    pins.set_pin("ben", PASSWORD, "4071", "here")
    client = Client()
    assert client.post("/sign-in/", {"name": "ben", "password": PASSWORD}).status_code == FOUND
    return client


def change(client: Client, person: str, pin: str, **more: str) -> int:
    return client.post("/pin/", {"person": person, "pin": pin, **more}).status_code


def test_somebody_else_comes_in_and_is_named_in_what_they_write(tablet: Client, shed: Shed) -> None:
    text = words(tablet.get("/pin/"))
    assert "Ada" in text
    assert re.search(r'value="ada"[^>]* checked', tablet.get("/pin/").content.decode())
    assert change(tablet, "ada", "6120") == FOUND
    form = {"client_id": "a" * 32}
    tablet.post(f"/jobs/{shed.jobs['shake']}/done/", form)
    assert Entry.objects.get(kind="shake").person.code == "ada"  # type: ignore[union-attr]


def test_the_only_one_with_a_pin_need_not_be_tapped(tablet: Client) -> None:
    pins.take_off("ada", PASSWORD, "here")
    assert re.search(r'value="ben"[^>]* checked', tablet.get("/pin/").content.decode())


def test_what_lies_on_the_bench_stays_there(tablet: Client, shed: Shed) -> None:
    begun(tablet)
    laid(tablet, shed.plates)
    tablet.post("/scan/", {"code": shed.jars})
    assert change(tablet, "ada", "6120", next="/bench/") == FOUND
    assert "Join the session" in words(tablet.get("/bench/"))
    assert "lies here still" in words(tablet.get("/bench/"))
    assert shed.jars in words(tablet.get("/scan/"))
    change(tablet, "ben", "4071")
    assert shed.plates in words(tablet.get("/bench/"))


def test_it_is_refused_where_nobody_gave_a_password(tablet: Client, stranger: Client) -> None:
    assert tablet.get("/").status_code == OK
    assert "not known yet" in words(stranger.get("/pin/"))
    assert "Ada" not in words(stranger.get("/pin/"))
    assert change(stranger, "ben", "4071") == REFUSED
    assert sent_to_sign_in(stranger, "/")
    forged = Client()
    forged.cookies[devices.COOKIE] = "eyJieSI6ImJlbiJ9:1tAAAA:AAAA"
    assert change(forged, "ben", "4071") == REFUSED


def test_after_signing_out_the_device_is_known_still(tablet: Client) -> None:
    tablet.post("/sign-out/")
    assert "With a PIN" in words(tablet.get("/sign-in/"))
    assert change(tablet, "ben", "4071") == FOUND
    assert tablet.get("/").status_code == OK


def test_a_new_password_of_who_signed_in_makes_the_device_unknown(tablet: Client) -> None:
    people.set_password("ben", "four other small words")
    tablet.post("/sign-out/")
    assert change(tablet, "ada", "6120") == REFUSED


def test_a_pin_opens_no_owners_pages(tablet: Client) -> None:
    change(tablet, "ada", "6120")
    assert "Plan now" not in words(tablet.get("/"))
    for address in ("/settings/", "/settings/people/", "/settings/people/ben/"):
        answer = tablet.get(address)
        assert answer.status_code == REFUSED
        assert "Sign in with your password" in words(answer)
    assert tablet.post("/plan/", {}).status_code == REFUSED
    assert tablet.get("/sign-in/").status_code == OK
    assert tablet.post("/sign-in/", {"name": "ada", "password": PASSWORD}).status_code == FOUND
    assert tablet.get("/settings/").status_code == OK


def test_ones_own_pin_takes_nothing_from_who_gave_the_password(owner: Client) -> None:
    pins.set_pin("ada", PASSWORD, "6120", "here")
    owner.post("/sign-out/")
    owner.post("/sign-in/", {"name": "ada", "password": PASSWORD})
    assert change(owner, "ada", "6120") == FOUND
    assert owner.get("/settings/").status_code == OK


def test_wrong_ones_are_counted(tablet: Client) -> None:
    for _ in range(5):
        assert change(tablet, "ada", "0000") == REFUSED
    answer = tablet.post("/pin/", {"person": "ada", "pin": "6120"})
    assert answer.status_code == REFUSED
    assert "Too many wrong PINs" in words(answer)
    assert "Ben" in words(tablet.get("/more/")), "who was there stays"


def test_it_goes_only_to_pages_of_this_farm(tablet: Client) -> None:
    answer = tablet.post("/pin/", {"person": "ada", "pin": "6120", "next": "//example.org/"})
    assert answer["Location"] == "/"


def test_the_cookie_is_kept_from_scripts(tablet: Client) -> None:
    cookie = tablet.cookies[devices.COOKIE]
    assert cookie["httponly"]
    assert cookie["samesite"] == "Lax"
    assert PASSWORD not in cookie.value
    assert Person.objects.get(code="ben").password not in cookie.value


def test_ones_own_pin_is_set_with_the_password(worker: Client, shed: Shed) -> None:
    assert shed.day
    assert "Your PIN" in words(worker.get("/more/"))
    known = Client()
    known.post("/sign-in/", {"name": "ben", "password": PASSWORD})
    assert "/settings/pin/" in known.get("/pin/").content.decode()
    sent = {"password": PASSWORD, "pin": "4071", "again": "4071", "what": "set"}
    for wrong in ({"password": "x"}, {"again": "4072"}, {"pin": "1234", "again": "1234"}):
        answer = worker.post("/settings/pin/", {**sent, **wrong})
        assert answer.status_code == UNFIT
        assert "Nothing was saved." in words(answer)
        assert not re.search("4071|4072|1234", answer.content.decode().split("<main")[1])
    assert not pins.has_pin("ben")
    assert worker.post("/settings/pin/", sent).status_code == FOUND
    assert pins.has_pin("ben")
    worker.post("/settings/pin/", {"password": PASSWORD, "what": "off"})
    assert not pins.has_pin("ben")


def test_the_password_page_says_that_the_pin_goes(worker: Client, shed: Shed) -> None:
    assert shed.day
    pins.set_pin("ben", PASSWORD, "4071", "here")
    new = "five other small words"
    sent = {"old": PASSWORD, "password": new, "again": new}
    assert "Set your PIN anew" in words(worker.post("/settings/password/", sent, follow=True))
    assert not pins.has_pin("ben")


def test_a_stranger_sets_none(stranger: Client, shed: Shed) -> None:
    assert shed.day
    assert sent_to_sign_in(stranger, "/settings/pin/")
