"""Who may come in, and what they may do."""

from __future__ import annotations

import secrets
from datetime import datetime, timedelta
from functools import cache

from django.contrib.auth.hashers import check_password, make_password
from django.contrib.auth.password_validation import validate_password
from django.core.exceptions import ValidationError
from django.db import transaction

from pinset.errors import InputError, RefusedError
from pinset.farm import people as store
from pinset.farm.models import Person
from pinset.farm.people import PersonRow
from pinset.services.clock import now_utc

LONGEST_PASSWORD = 200
MOST_PER_NAME = 6
MOST_PER_ADDRESS = 30
WINDOW = timedelta(minutes=15)
ROLES = ("owner", "worker")


@cache
def nobodys_password() -> str:
    """Return a password nobody has, to be compared where there is no person."""
    return make_password(secrets.token_hex(16))


def sign_in(name: str, password: str, address: str, *, now: datetime | None = None) -> Person:
    """Return the person if name and password fit.

    After too many refusals for a name or from an address within a quarter of an hour nobody gets
    in under it until the quarter of an hour has passed. A wrong name takes as long as a wrong
    password, so that names cannot be guessed by time.

    Raises
    ------
    RefusedError
        If they do not fit, or after too many refusals.
    """
    moment = now or now_utc()
    name = " ".join("".join(sign for sign in name if sign.isprintable()).split())
    person = store.find(name)
    counted = person.code if person else name  # a code and its name share their attempts
    per_name, per_address = store.refused_since(counted, address, moment - WINDOW)
    if per_name >= MOST_PER_NAME or per_address >= MOST_PER_ADDRESS:
        raise RefusedError(
            "Too many refused attempts to sign in.", "Wait a quarter of an hour and try again."
        )
    stored = person.password if person and person.has_usable_password() else nobodys_password()
    if not check_password(password, stored) or person is None:
        store.note_refusal(counted, address, moment, keep=timedelta(days=1))
        raise RefusedError(
            "Name and password do not fit.", "Check both; the owner can set a new one."
        )
    store.forget_refusals(counted)
    store.forget_refusals(pin_tries(person.code))
    return person


def password_of(code: str) -> str:
    """Return what is stored of the password of an active person; empty where there is none."""
    person = store.find(code)
    is_there = person is not None and person.code == code and person.has_usable_password()
    return person.password if person is not None and is_there else ""


def pin_tries(code: str) -> str:
    """Return the name under which wrong PINs are counted; nobody can type it at the door."""
    return f"pin\x1f{code}"


def signed_in(number: int) -> Person | None:
    """Return the person of a session, if they may still sign in."""
    return store.signed_in(number)


def owner_has_password() -> bool:
    """Say whether the owner can sign in; until then the farm listens to this computer only."""
    return store.owner_has_password()


def everybody() -> tuple[PersonRow, ...]:
    """Return all people."""
    return store.everybody()


def set_password(code: str, password: str) -> None:
    """Set a person's password.

    Raises
    ------
    InputError
        If the password is too easy; the sentence says why.
    RefusedError
        If there is no such person.
    """
    person = store.by_code(code)
    if person is None:
        raise RefusedError(f"Nobody here has the code {code}.")
    if len(password) > LONGEST_PASSWORD:
        raise InputError("password", f"{len(password)} signs", f"at most {LONGEST_PASSWORD} signs")
    try:
        validate_password(password, person)
    except ValidationError as problem:
        raise InputError(
            "password", "•" * min(len(password), 12), " ".join(problem.messages).rstrip(".")
        ) from problem
    person.set_password(password)
    person.pin = ""  # who gets a new password sets the PIN anew
    person.save(update_fields=["password", "pin"])


def add_person(code: str, name: str, role: str = "worker", password: str = "") -> Person:
    """Add somebody who can be named in entries, and with a password can sign in.

    Raises
    ------
    InputError
        If the code is taken or empty, the role unknown, or the password too easy.
    """
    code = code.strip().lower()
    if not code or not code.replace("-", "").isalnum():
        raise InputError("code", code, "letters, digits and hyphens")
    if role not in ROLES:
        raise InputError("role", role, " or ".join(ROLES))
    with transaction.atomic():
        if store.by_code(code):
            raise InputError("code", code, "a code nobody here has yet")
        person = Person.objects.create_person(code, name=name.strip(), role=role)
        if password:
            set_password(code, password)
            person.refresh_from_db()
    return person


def change_person(code: str, *, role: str | None = None, is_active: bool | None = None) -> None:
    """Change a person's role or whether they may sign in; one owner always stays.

    Raises
    ------
    RefusedError
        If nobody has that code or no owner would be left.
    """
    with transaction.atomic():
        had_password = store.owner_has_password()
        person = store.by_code(code)
        if person is None:
            raise RefusedError(f"Nobody here has the code {code}.")
        if role is not None:
            if role not in ROLES:
                raise InputError("role", role, " or ".join(ROLES))
            person.role = role
        if is_active is not None:
            person.is_active = is_active
        person.save(update_fields=["role", "is_active"])
        left = Person.objects.filter(role="owner", is_active=True)
        if not left.exists() or (had_password and not store.owner_has_password()):
            raise RefusedError("The farm needs at least one owner who may sign in.")
