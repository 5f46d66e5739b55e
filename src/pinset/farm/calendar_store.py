"""Calendars: who may fetch the jobs, and as what each job was given out. Working papers."""

from __future__ import annotations

import uuid
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta

from django.db import transaction
from django.db.models import F

from pinset.errors import InputError
from pinset.farm.models import CalendarEvent, CalendarLink, Person
from pinset.farm.trouble import plain_words

KEPT = timedelta(days=90)
"""What was said of a job that is in no calendar any more is kept this long."""


@dataclass(frozen=True, slots=True)
class LinkRow:
    """The calendar address of one person; the address itself is not kept."""

    person: str  # code
    person_key: str
    is_active: bool
    digest: str
    nonce: str
    made_at: datetime
    read_at: datetime | None


@dataclass(frozen=True, slots=True)
class EventRow:
    """A job as calendars know it."""

    uid: str
    sequence: int
    made_at: datetime
    changed_at: datetime


def person_key(person: str) -> str:
    """Return a person's opaque key.

    Raises
    ------
    InputError
        If there is no such person.
    """
    found = Person.objects.filter(code=person).values_list("key", flat=True).first()
    if found is None:
        raise InputError("person", person, "the code of a person of this farm")
    return str(found)


def set_link(person: str, digest: str, nonce: str, now: datetime) -> None:
    """Let an address count from now on; the one before counts no more."""
    with plain_words(), transaction.atomic():
        who = Person.objects.select_for_update().get(code=person)
        CalendarLink.objects.filter(person=who).delete()
        CalendarLink.objects.create(person=who, digest=digest, nonce=nonce, made_at=now)


def drop_link(person: str) -> bool:
    """Let no address of a person count any more; say whether there was one."""
    with plain_words():
        dropped, _ = CalendarLink.objects.filter(person__code=person).delete()
    return bool(dropped)


def link_of(person: str) -> LinkRow | None:
    """Return the address of a person."""
    found = CalendarLink.objects.select_related("person").filter(person__code=person).first()
    return _link(found) if found else None


def link_by_digest(digest: str) -> LinkRow | None:
    """Return the address with this digest."""
    found = CalendarLink.objects.select_related("person").filter(digest=digest).first()
    return _link(found) if found else None


def count_read(digest: str, now: datetime, window: timedelta) -> int:
    """Note that an address was fetched; return how often it was within the window, this one too."""
    with plain_words(), transaction.atomic():
        links = CalendarLink.objects.filter(digest=digest)
        still = links.filter(window_at__gt=now - window, window_at__lte=now)
        if not still.update(reads=F("reads") + 1, read_at=now):
            links.update(reads=1, window_at=now, read_at=now)
        return links.values_list("reads", flat=True).first() or 0


def given_out(said: Mapping[str, str], now: datetime) -> dict[str, EventRow]:
    """Return how calendars know these jobs; what is new or changed is noted first.

    Parameters
    ----------
    said : mapping of job code to digest
        Of everything a calendar is told of the job.
    now : datetime
        When it changed, if it did.
    """
    known = _known(said)
    if all(code in known and known[code].digest == digest for code, digest in said.items()):
        return {code: _event(event) for code, event in known.items()}
    with plain_words(), transaction.atomic():
        CalendarEvent.objects.filter(changed_at__lt=now - KEPT).exclude(job__in=said).delete()
        new = [
            CalendarEvent(
                job=code, uid=str(uuid.uuid4()), digest=digest, made_at=now, changed_at=now
            )
            for code, digest in said.items()
            if code not in known
        ]
        CalendarEvent.objects.bulk_create(new, ignore_conflicts=True, batch_size=200)
        for code, event in known.items():
            if event.digest != said[code]:  # of two who see it at once, one counts it
                CalendarEvent.objects.filter(pk=event.pk, sequence=event.sequence).update(
                    digest=said[code], sequence=F("sequence") + 1, changed_at=now
                )
        return {code: _event(event) for code, event in _known(said).items()}


def _known(said: Mapping[str, str]) -> dict[str, CalendarEvent]:
    return {event.job: event for event in CalendarEvent.objects.filter(job__in=list(said))}


def _event(event: CalendarEvent) -> EventRow:
    return EventRow(event.uid, event.sequence, event.made_at, event.changed_at)


def _link(link: CalendarLink) -> LinkRow:
    who = link.person
    return LinkRow(
        who.code, who.key, who.is_active, link.digest, link.nonce, link.made_at, link.read_at
    )
