"""Fixtures of the pages' tests: the farm, and clients for an owner, a worker and a stranger."""

from __future__ import annotations

import secrets

import pytest
from django.test import Client

from pinset.farm.models import Person
from pinset.web.views.door import BACKEND
from web import shed as sheds


def _client(code: str) -> Client:
    client = Client()
    if code:
        client.force_login(Person.objects.get(code=code), backend=BACKEND)
    return client


@pytest.fixture
def shed(db: None) -> sheds.Shed:  # noqa: ARG001  (the database must be there)
    return sheds.build()


@pytest.fixture
def owner(shed: sheds.Shed) -> Client:  # noqa: ARG001
    return _client("ada")


@pytest.fixture
def worker(shed: sheds.Shed) -> Client:  # noqa: ARG001
    return _client("ben")


@pytest.fixture
def stranger() -> Client:
    return Client()


@pytest.fixture
def tap() -> str:
    """Return a fresh client id, as a page would have written it."""
    return secrets.token_hex(16)
