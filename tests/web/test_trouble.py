"""A full disk or a lost database is told in words, wherever in a request it shows."""

from __future__ import annotations

from typing import Any

import pytest
from django.db import OperationalError, connection
from django.test import Client

from pinset.farm.models import Entry
from web.shed import Shed


@pytest.fixture
def patient(owner: Client) -> Client:
    """Return a browser that shows the error's page instead of raising."""
    owner.raise_request_exception = False
    return owner


def refuse(word: str, reason: str) -> Any:
    """Make the database refuse statements that begin with a word."""

    def execute(run: Any, sql: str, parameters: Any, *how: Any) -> Any:
        if sql.startswith(word):
            raise OperationalError(reason)
        return run(sql, parameters, *how)

    return connection.execute_wrapper(execute)


def test_a_full_disk_while_recording(patient: Client, shed: Shed, tap: str) -> None:
    before = Entry.objects.count()
    with refuse("INSERT", "database or disk is full"):
        answer = patient.post(f"/jobs/{shed.jobs['shake']}/done/", {"client_id": tap})
    assert answer.status_code == 503
    assert "The disk is full; nothing was written" in answer.content.decode()
    assert Entry.objects.count() == before


def test_no_database_at_all(patient: Client, shed: Shed) -> None:  # noqa: ARG001
    with refuse("SELECT", "connection refused"):
        answer = patient.get("/")
    assert answer.status_code == 503
    assert "The database server does not answer" in answer.content.decode()


def test_a_fault_of_ours_is_not_told_as_the_farms(
    patient: Client,
    shed: Shed,  # noqa: ARG001
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr("pinset.web.views.today.page", lambda *_, **__: 1 / 0)
    answer = patient.get("/")
    assert answer.status_code == 500
    assert "safe" in answer.content.decode()
