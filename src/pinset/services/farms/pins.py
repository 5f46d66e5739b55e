"""PINs: short numbers by which people change on a tablet they share.

A PIN is no password. It is accepted only on a device where somebody signed in with a password
before (the pages see to that), opens no owner's pages, and stops after a few wrong tries.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import datetime, timedelta

from django.contrib.auth.hashers import check_password, make_password

from pinset.errors import InputError, RefusedError
from pinset.farm import people as store
from pinset.farm.models import Person
from pinset.services.clock import now_utc
from pinset.services.farms import people

FORM = re.compile(r"[0-9]{4,6}")
MOST_IN_A_WHILE = 5
WHILE = timedelta(minutes=15)
MOST_IN_A_DAY = 10
DAY = timedelta(days=1)
ROWS = ("0123456789", "9876543210")


@dataclass(frozen=True, slots=True)
class WithPin:
    """Somebody who can change in by a PIN."""

    code: str
    name: str


def set_pin(code: str, password: str, pin: str, address: str) -> None:
    """Set the PIN of a person who gives their password.

    Raises
    ------
    InputError
        If it is not four to six digits, or one that everybody tries first.
    RefusedError
        If the password does not fit, or after too many refusals.
    """
    shown = "•" * min(len(pin), 6)
    if not FORM.fullmatch(pin):
        raise InputError("PIN", shown, "4 to 6 digits")
    if len(set(pin)) == 1 or any(pin in row for row in ROWS):
        raise InputError("PIN", shown, "digits that are not all alike and not in a row")
    person = people.sign_in(code, password, address)
    store.set_pin(person, make_password(pin))


def take_off(code: str, password: str, address: str) -> None:
    """Take the PIN of a person off who gives their password.

    Raises
    ------
    RefusedError
        If the password does not fit.
    """
    store.set_pin(people.sign_in(code, password, address), "")


def has_pin(code: str) -> bool:
    """Say whether a person has a PIN."""
    return any(each.code == code for each in everybody_with_pin())


def everybody_with_pin() -> tuple[WithPin, ...]:
    """Return the people who may change in by a PIN, by name."""
    return tuple(WithPin(code, name) for code, name in store.with_pin())


def sign_in(code: str, pin: str, address: str, *, now: datetime | None = None) -> Person:
    """Return the person if the PIN fits.

    The try is counted before it is looked at, so that many at once are no more than many in a row.
    Five wrong ones within a quarter of an hour stop the PIN for that time, ten within a day until
    the person signs in with the password.

    Raises
    ------
    RefusedError
        If it does not fit, or after too many tries.
    """
    moment = now or now_utc()
    person = store.with_pin_of(code)
    counted = people.pin_tries(code)
    store.note_refusal(counted, address, moment, keep=DAY)
    lately, from_here = store.refused_since(counted, address, moment - WHILE)
    within_a_day, _ = store.refused_since(counted, address, moment - DAY)
    if within_a_day > MOST_IN_A_DAY:
        raise RefusedError(
            "This PIN was wrong too often today.", "Sign in with the password; then it works again."
        )
    if lately > MOST_IN_A_WHILE or from_here > people.MOST_PER_ADDRESS:
        raise RefusedError(
            "Too many wrong PINs.", "Wait a quarter of an hour, or sign in with the password."
        )
    stored = person.pin if person else people.nobodys_password()
    if not check_password(pin, stored) or person is None:
        raise RefusedError("Name and PIN do not fit.", "Tap your name, then your digits.")
    store.forget_refusals(counted)
    return person
