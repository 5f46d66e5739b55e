"""People, their passwords and refused attempts to sign in."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta

from django.db import connection
from django.db.models import Q

from pinset.farm.models import Person
from pinset.farm.models.attempt import SignInAttempt


@dataclass(frozen=True, slots=True)
class PersonRow:
    """A person as lists show them."""

    code: str
    name: str
    role: str
    is_active: bool
    has_password: bool


def _row(person: Person) -> PersonRow:
    return PersonRow(
        person.code, str(person), person.role, person.is_active, person.has_usable_password()
    )


def everybody() -> tuple[PersonRow, ...]:
    """Return all people, by code."""
    return tuple(_row(person) for person in Person.objects.filter(is_forgotten=False))


def find(code_or_name: str) -> Person | None:
    """Return the active person of that code or name, whatever the case."""
    text = code_or_name.strip()
    if not text:
        return None
    found = Person.objects.filter(Q(code__iexact=text) | Q(name__iexact=text), is_active=True)
    matches = list(found[:2])
    return matches[0] if len(matches) == 1 else None


def by_code(code: str) -> Person | None:
    """Return the person of that code."""
    return Person.objects.filter(code=code).first()


_SIGNED_IN = "SELECT id, password, code, name, role, is_active FROM farm_person WHERE id = %s"


def signed_in(number: int) -> Person | None:
    """Return the active person of a session; one ready statement, for it stands before every page.

    What pages do not ask for is left out and would be read on demand.
    """
    with connection.cursor() as cursor:
        cursor.execute(_SIGNED_IN, [number])
        row = cursor.fetchone()
    if row is None or not row[5]:
        return None
    names = ("id", "password", "code", "name", "role", "is_active")
    return Person.from_db(connection.alias, names, (*row[:5], True))


def set_pin(person: Person, hashed: str) -> None:
    """Keep the hash of a person's PIN; empty: none."""
    person.pin = hashed
    person.save(update_fields=["pin"])


def with_pin() -> tuple[tuple[str, str], ...]:
    """Return code and name of the active people who have a PIN, by name."""
    found = Person.objects.filter(is_active=True, is_forgotten=False).exclude(pin="")
    return tuple(sorted(((each.code, str(each)) for each in found), key=lambda pair: pair[1]))


def with_pin_of(code: str) -> Person | None:
    """Return the active person of that code, if there is a PIN."""
    return Person.objects.filter(code=code, is_active=True).exclude(pin="").first()


def owner_has_password() -> bool:
    """Say whether some active owner can sign in."""
    return Person.objects.owner_has_password()


def refused_since(name: str, address: str, since: datetime) -> tuple[int, int]:
    """Return how many attempts were refused for this name, and from this address."""
    recent = SignInAttempt.objects.filter(at__gte=since)
    return recent.filter(name=name.lower()).count(), recent.filter(address=address).count()


def note_refusal(name: str, address: str, now: datetime, keep: timedelta) -> None:
    """Write down a refused attempt and forget those older than ``keep``."""
    SignInAttempt.objects.filter(at__lt=now - keep).delete()
    SignInAttempt.objects.create(name=name.lower()[:120], address=address[:45], at=now)


def forget_refusals(name: str) -> None:
    """Forget the refused attempts for a name, after it signed in."""
    SignInAttempt.objects.filter(name=name.lower()).delete()
