"""Who may come in: passwords, guessing, roles."""

from __future__ import annotations

from datetime import timedelta

import pytest

from farm.small_farm import NOW
from pinset.errors import InputError, RefusedError
from pinset.farm.models import Person
from pinset.farm.models.attempt import SignInAttempt
from pinset.services.farms import people

GOOD = "slow-larch-kettle"


pytestmark = pytest.mark.usefixtures("farm", "_owner")


@pytest.fixture
def _owner(farm: object) -> None:  # noqa: ARG001  (the farm comes first)
    people.set_password("ada", GOOD)


def test_code_or_name_in_any_case_and_the_password() -> None:
    assert people.sign_in("ADA", GOOD, "127.0.0.1", now=NOW).code == "ada"
    assert people.sign_in(" Ada ", GOOD, "127.0.0.1", now=NOW).code == "ada"


@pytest.mark.parametrize(
    ("name", "password"), [("ada", "wrong"), ("nobody", GOOD), ("", ""), ("ben", ""), ("ben", "x")]
)
def test_what_does_not_fit_is_refused_in_the_same_words(name: str, password: str) -> None:
    with pytest.raises(RefusedError, match="do not fit"):
        people.sign_in(name, password, "127.0.0.1", now=NOW)


def test_guessing_is_stopped_for_a_while_even_with_the_right_password() -> None:
    for _ in range(people.MOST_PER_NAME):
        with pytest.raises(RefusedError, match="do not fit"):
            people.sign_in("ada", "guess", "10.0.0.9", now=NOW)
    with pytest.raises(RefusedError, match="Too many"):
        people.sign_in("ada", GOOD, "10.0.0.9", now=NOW)
    later = NOW + people.WINDOW + timedelta(seconds=1)
    assert people.sign_in("ada", GOOD, "10.0.0.9", now=later).code == "ada"
    assert not SignInAttempt.objects.filter(name="ada").exists()


def test_guessing_many_names_from_one_address_is_stopped() -> None:
    for number in range(people.MOST_PER_ADDRESS):
        with pytest.raises(RefusedError, match="do not fit"):
            people.sign_in(f"name{number}", "guess", "10.0.0.9", now=NOW)
    with pytest.raises(RefusedError, match="Too many"):
        people.sign_in("ada", GOOD, "10.0.0.9", now=NOW)
    assert people.sign_in("ada", GOOD, "10.0.0.8", now=NOW).code == "ada"


@pytest.mark.parametrize("easy", ["kettle", "password1234", "1234567890123"])
def test_easy_passwords_are_refused_with_a_reason(easy: str) -> None:
    with pytest.raises(InputError) as caught:
        people.set_password("ben", easy)
    assert easy not in str(caught.value)
    assert len(str(caught.value)) > 40


def test_passwords_are_stored_by_argon2() -> None:
    assert Person.objects.get(code="ada").password.startswith("argon2")


def test_adding_changing_and_the_last_owner() -> None:
    people.add_person("cleo", "Cleo", "worker", GOOD)
    with pytest.raises(InputError, match="nobody here has yet"):
        people.add_person("cleo", "Cleo again")
    with pytest.raises(InputError, match="role"):
        people.add_person("dot", "Dot", "queen")
    with pytest.raises(RefusedError, match="at least one owner"):
        people.change_person("ada", role="worker")
    assert Person.objects.get(code="ada").role == "owner"
    people.change_person("cleo", role="owner")
    people.change_person("ada", is_active=False)
    with pytest.raises(RefusedError, match="do not fit"):
        people.sign_in("ada", GOOD, "127.0.0.1", now=NOW)


def test_spaces_and_control_signs_open_no_new_account_of_guesses() -> None:
    for number in range(people.MOST_PER_NAME):
        name = ("\x00" + " " * number + "ada") if number % 2 else f" Ada{' ' * number}"
        with pytest.raises(RefusedError, match="do not fit"):
            people.sign_in(name, "guess", "10.0.0.9", now=NOW)
    with pytest.raises(RefusedError, match="Too many"):
        people.sign_in("ada", GOOD, "10.0.0.9", now=NOW)


def test_a_password_too_long_to_sign_in_with_is_refused() -> None:
    with pytest.raises(InputError, match="at most 200"):
        people.set_password("ben", "long-word " * 28)


def test_the_only_owner_with_a_password_cannot_step_down() -> None:
    people.add_person("cleo", "Cleo", "owner")
    with pytest.raises(RefusedError, match="at least one owner who may sign in"):
        people.change_person("ada", role="worker")
    assert Person.objects.get(code="ada").role == "owner"
