"""Forgetting a person, a note or a photo. The chain of hashes stays whole: it never held them."""

from __future__ import annotations

from django.db import transaction

from pinset.errors import InputError
from pinset.farm.models import Note, Person, Photo, RegisterRow
from pinset.farm.models.attempt import SignInAttempt
from pinset.farm.models.calendar import CalendarLink
from pinset.farm.models.register import RegisterKind
from pinset.farm.models.request import PlanRequest
from pinset.farm.models.watched import SensorKey, WatchedCook, WatchedReading
from pinset.farm.trouble import plain_words


def forget_person(code: str) -> str:
    """Blank everything that says who a person was, and return the opaque code that is left.

    Their entries stay, under a code made of the person's random key. Notes they wrote may name
    people too; forget those one by one. Backups made before still hold the name.

    Raises
    ------
    InputError
        If there is no such person.
    """
    with plain_words(), transaction.atomic():
        person = Person.objects.select_for_update().filter(code=code).first()
        if person is None:
            raise InputError("person", code, "the code of a person of this farm")
        left = f"gone-{person.key[:12]}"
        rows = RegisterRow.objects.select_for_update().filter(kind=RegisterKind.WORKER, code=code)
        for row in rows:
            row.code = left
            row.body = {**row.body, "code": left, "name": ""}
            row.save(update_fields=["code", "body"])
        tried = (code.lower(), person.name.lower(), f"pin\x1f{code.lower()}")
        SignInAttempt.objects.filter(name__in=tried).delete()
        PlanRequest.objects.filter(asked_by=code).update(asked_by=left)
        WatchedCook.objects.filter(begun_by=code).update(begun_by=left)
        WatchedCook.objects.filter(ended_by=code).update(ended_by=left)
        WatchedReading.objects.filter(source="typed", by=code).update(by=left)
        SensorKey.objects.filter(made_by=code).update(made_by=left)
        CalendarLink.objects.filter(person=person).delete()
        person.code, person.name, person.pin = left, "", ""
        person.is_active, person.is_forgotten, person.last_login = False, True, None
        person.set_unusable_password()
        person.save()
    return left


def forget_note(digest: str) -> None:
    """Blank a note's text and salt; its digest stays in the ledger and says nothing any more.

    Raises
    ------
    InputError
        If there is no such note.
    """
    with plain_words():
        changed = Note.objects.filter(digest=digest).update(text="", salt="", is_forgotten=True)
    if not changed:
        raise InputError("note", digest, "the digest of a recorded note")


def forget_photo(digest: str) -> None:
    """Blank a photo; its digest stays in the ledger and says nothing any more.

    Raises
    ------
    InputError
        If there is no such photo.
    """
    with plain_words():
        changed = Photo.objects.filter(digest=digest).update(content=b"", is_forgotten=True)
    if not changed:
        raise InputError("photo", digest, "the digest of a photo that was kept")
