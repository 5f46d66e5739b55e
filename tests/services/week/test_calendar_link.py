"""A person's calendar address: seen by its person, kept as a digest, gone when it should be."""

from __future__ import annotations

from datetime import timedelta

import pytest
from django.test import override_settings

from farm.small_farm import NOW
from pinset.chain.register import FarmBook
from pinset.errors import InputError
from pinset.farm import people as store
from pinset.farm.forgetting import forget_person
from pinset.farm.models import CalendarLink, Person
from pinset.services.farms import people
from pinset.services.week import calendar_link
from pinset.services.week.calendar_link import TooOftenError, WrongAddressError

HOME, AWAY = "192.0.2.7", "192.0.2.8"


@pytest.fixture(autouse=True)
def _farm(farm: FarmBook) -> None:
    """Every test has the small farm with Ada and Ben."""


def test_a_token_is_long_seen_again_and_not_kept() -> None:
    made = calendar_link.new_link("ada")
    assert len(made.token) == 43, "256 bits in base64"
    seen = calendar_link.link_of("ada")
    assert seen is not None
    assert seen.token == made.token
    row = CalendarLink.objects.get()
    kept = [str(getattr(row, field.attname)) for field in CalendarLink._meta.concrete_fields]
    assert not any(made.token in text for text in kept)
    assert calendar_link.let_in(made.token, HOME) == "ada"
    assert calendar_link.link_of("ben") is None


def test_each_person_has_their_own() -> None:
    adas, bens = calendar_link.new_link("ada").token, calendar_link.new_link("ben").token
    assert adas != bens
    assert calendar_link.let_in(bens, HOME) == "ben"
    calendar_link.no_link("ada")
    assert calendar_link.let_in(bens, HOME) == "ben"


def test_a_new_one_takes_the_place_of_the_old_and_none_opens_nothing() -> None:
    old = calendar_link.new_link("ada").token
    new = calendar_link.new_link("ada").token
    assert old != new
    with pytest.raises(WrongAddressError):
        calendar_link.let_in(old, HOME)
    assert calendar_link.let_in(new, HOME) == "ada"
    assert calendar_link.no_link("ada")
    assert not calendar_link.no_link("ada")
    assert calendar_link.link_of("ada") is None
    with pytest.raises(WrongAddressError):
        calendar_link.let_in(new, HOME)


def test_a_copy_of_the_database_opens_nothing_and_does_not_show_it() -> None:
    """The token hangs on the secret key: elsewhere it cannot be worked out again."""
    token = calendar_link.new_link("ada").token
    with override_settings(SECRET_KEY="another key of more than thirty-two signs"):  # noqa: S106
        seen = calendar_link.link_of("ada")
        assert seen is not None
        assert seen.token == ""
        assert calendar_link.let_in(token, HOME) == "ada", "what is subscribed still works"


def test_somebody_who_may_not_sign_in_fetches_nothing() -> None:
    token = calendar_link.new_link("ben").token
    Person.objects.filter(code="ben").update(is_active=False)
    with pytest.raises(WrongAddressError):
        calendar_link.let_in(token, HOME)


def test_a_person_who_is_forgotten_has_no_address() -> None:
    token = calendar_link.new_link("ben").token
    forget_person("ben")
    assert not CalendarLink.objects.exists()
    with pytest.raises(WrongAddressError):
        calendar_link.let_in(token, HOME)


def test_a_person_who_is_not_there_gets_none() -> None:
    with pytest.raises(InputError, match="of this farm"):
        calendar_link.new_link("nobody")


@pytest.mark.parametrize("token", ["", "guess", "é" * 60, "x" * 5000, "\udcff"])
def test_wrong_ones_are_refused(token: str) -> None:
    calendar_link.new_link("ada")
    with pytest.raises(WrongAddressError):
        calendar_link.let_in(token, HOME)


def test_guessing_ends_soon_and_keeps_nobody_else_out() -> None:
    token = calendar_link.new_link("ada").token
    for number in range(calendar_link.MOST_WRONG):
        with pytest.raises(WrongAddressError):
            calendar_link.let_in(f"guess {number}", AWAY)
    with pytest.raises(TooOftenError):
        calendar_link.let_in("guess", AWAY)
    assert calendar_link.let_in(token, AWAY) == "ada", "a right one is no guess"
    with pytest.raises(WrongAddressError):
        calendar_link.let_in("guess", HOME)
    _, from_there = store.refused_since("", AWAY, NOW - timedelta(days=9999))
    assert from_there < people.MOST_PER_ADDRESS, "it is still possible to sign in from there"


def test_fetching_too_often_is_refused_until_the_window_is_over(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(calendar_link, "MOST_READS", 3)
    monkeypatch.setattr(calendar_link, "now_utc", lambda: NOW)
    token = calendar_link.new_link("ada").token
    for _ in range(3):
        calendar_link.let_in(token, HOME)
    with pytest.raises(TooOftenError, match="more than 3 times"):
        calendar_link.let_in(token, HOME)
    monkeypatch.setattr(calendar_link, "now_utc", lambda: NOW + timedelta(minutes=16))
    assert calendar_link.let_in(token, HOME) == "ada"
    seen = calendar_link.link_of("ada")
    assert seen is not None
    assert seen.read_at == NOW + timedelta(minutes=16)
