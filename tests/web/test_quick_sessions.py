from __future__ import annotations

from datetime import timedelta

import pytest
from django.contrib.sessions.models import Session
from django.test import Client

from pinset.farm.models import Person
from pinset.services.clock import now_utc
from pinset.web.quick_sessions import PersonBackend, SessionStore
from web.asking import FOUND, OK
from web.shed import Shed


def test_what_was_written_is_read_back(db: None) -> None:  # noqa: ARG001
    written = SessionStore()
    written["said"] = ["grüß Gott", 3]
    written.save()
    assert SessionStore(written.session_key)["said"] == ["grüß Gott", 3]


def test_an_expired_or_unknown_session_is_empty_and_forgotten(db: None) -> None:  # noqa: ARG001
    written = SessionStore()
    written["said"] = 1
    written.save()
    Session.objects.update(expire_date=now_utc() - timedelta(seconds=1))
    for key in (written.session_key, "x" * 32):
        read = SessionStore(key)
        assert read.get("said") is None
        assert read.session_key is None


def test_an_expired_session_leads_to_the_sign_in(worker: Client) -> None:
    assert worker.get("/").status_code == OK
    Session.objects.update(expire_date=now_utc() - timedelta(seconds=1))
    assert worker.get("/").status_code == FOUND


def test_a_new_password_ends_the_other_sessions(worker: Client) -> None:
    person = Person.objects.get(code="ben")
    person.set_password("quite another one")
    person.save()
    assert worker.get("/").status_code == FOUND


@pytest.mark.parametrize("active", [True, False])
def test_the_person_of_a_session(shed: Shed, *, active: bool) -> None:  # noqa: ARG001
    Person.objects.filter(code="ben").update(is_active=active)
    number = Person.objects.get(code="ben").pk
    found = PersonBackend().get_user(number)
    assert (found is not None) is active
    if found is not None:
        assert found == Person.objects.get(code="ben")
        assert found.last_login is None, "what was left out is read on demand"
    assert PersonBackend().get_user(10_000) is None
