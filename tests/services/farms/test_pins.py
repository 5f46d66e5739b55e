"""PINs: set with the password, hashed, and stopped after a few wrong tries."""

from __future__ import annotations

from datetime import timedelta

import pytest

from farm.small_farm import NOW
from pinset.errors import InputError, RefusedError
from pinset.farm.forgetting import forget_person
from pinset.farm.models import Person
from pinset.farm.models.attempt import SignInAttempt
from pinset.services.farms import people, pins

PASSWORD = "three small words"  # noqa: S105  (of the invented farm)
HERE = "192.0.2.7"


@pytest.fixture(autouse=True)
def ben(farm: object) -> None:  # noqa: ARG001
    people.set_password("ben", PASSWORD)
    pins.set_pin("ben", PASSWORD, "4071", HERE)


def test_it_lets_in_and_is_kept_as_an_argon2_hash() -> None:
    assert pins.sign_in("ben", "4071", HERE).code == "ben"
    stored = Person.objects.get(code="ben").pin
    assert stored.startswith("argon2")
    assert "4071" not in stored
    assert [each.code for each in pins.everybody_with_pin()] == ["ben"]


@pytest.mark.parametrize("pin", ["407", "4071234", "40a1", "", "1111", "1234", "987654", "٤٠٧١"])
def test_what_is_no_pin(pin: str) -> None:
    with pytest.raises(InputError, match="digits"):
        pins.set_pin("ben", PASSWORD, pin, HERE)
    assert pins.sign_in("ben", "4071", HERE)


def test_the_password_is_asked() -> None:
    with pytest.raises(RefusedError, match="do not fit"):
        pins.set_pin("ben", "another thing", "5080", HERE)
    with pytest.raises(RefusedError, match="do not fit"):
        pins.take_off("ben", "another thing", HERE)
    pins.take_off("ben", PASSWORD, HERE)
    assert not pins.has_pin("ben")
    with pytest.raises(RefusedError, match="do not fit"):
        pins.sign_in("ben", "4071", HERE)


@pytest.mark.parametrize("code", ["ada", "nobody", ""])
def test_who_has_none_is_refused(code: str) -> None:
    with pytest.raises(RefusedError, match="do not fit"):
        pins.sign_in(code, "", HERE)


def test_five_wrong_ones_stop_it_for_a_quarter_of_an_hour() -> None:
    for _ in range(5):
        with pytest.raises(RefusedError, match="do not fit"):
            pins.sign_in("ben", "0000", HERE, now=NOW)
    with pytest.raises(RefusedError, match="Too many wrong PINs"):
        pins.sign_in("ben", "4071", HERE, now=NOW + timedelta(minutes=1))
    later = NOW + timedelta(minutes=17)
    assert pins.sign_in("ben", "4071", HERE, now=later).code == "ben"
    assert SignInAttempt.objects.count() == 0, "a right one forgets the wrong ones"


def test_ten_wrong_ones_in_a_day_need_the_password() -> None:
    for number in range(10):
        with pytest.raises(RefusedError):
            pins.sign_in("ben", "0000", HERE, now=NOW + timedelta(minutes=10 * number))
    later = NOW + timedelta(hours=8)
    with pytest.raises(RefusedError, match="wrong too often today"):
        pins.sign_in("ben", "4071", HERE, now=later)
    people.sign_in("ben", PASSWORD, HERE, now=later)
    assert pins.sign_in("ben", "4071", HERE, now=later).code == "ben"


def test_wrong_pins_do_not_stop_the_password_nor_somebody_elses() -> None:
    people.set_password("ada", PASSWORD)
    pins.set_pin("ada", PASSWORD, "6120", HERE)
    for _ in range(8):
        with pytest.raises(RefusedError):
            pins.sign_in("ben", "0000", HERE)
    assert people.sign_in("ben", PASSWORD, HERE).code == "ben"
    assert pins.sign_in("ada", "6120", HERE).code == "ada"


def test_a_new_password_takes_the_pin_with_it() -> None:
    people.set_password("ben", "four other small words")
    assert not pins.has_pin("ben")


def test_who_may_not_come_in_any_more_has_none() -> None:
    people.set_password("ada", PASSWORD)
    people.change_person("ben", is_active=False)
    assert pins.everybody_with_pin() == ()
    with pytest.raises(RefusedError, match="do not fit"):
        pins.sign_in("ben", "4071", HERE)


def test_a_person_who_is_forgotten_leaves_no_pin() -> None:
    with pytest.raises(RefusedError):
        pins.sign_in("ben", "0000", HERE)
    forget_person("ben")
    assert not Person.objects.exclude(pin="").exists()
    assert not SignInAttempt.objects.filter(name__contains="ben").exists()
