"""What a device sends that waited for the network."""

from __future__ import annotations

import re
from datetime import UTC, datetime, timedelta
from typing import Any

import pytest
from django.http import HttpResponse
from django.test import Client

from pinset.farm.models import Entry
from pinset.services.clock import now_utc
from pinset.web.client_ids import new_client_id
from web.asking import CONFLICT, FOUND, UNFIT
from web.shed import Shed

FAILED = 412


def _send(
    client: Client,
    address: str,
    sent: dict[str, str],
    *,
    person: str = "ben",
    waited: timedelta = timedelta(minutes=40),
    ahead: timedelta = timedelta(0),
) -> HttpResponse:
    now = datetime.now(UTC) + ahead
    headers = {
        "Pinset-Person": person,
        "Pinset-Tapped": (now - waited).isoformat(),
        "Pinset-Sent": now.isoformat(),
    }
    answer: Any = client.post(address, sent, headers=headers)
    return answer


def _note(shed: Shed, tap: str) -> tuple[str, dict[str, str]]:
    return f"/books/lots/{shed.jars}/say/note/", {"client_id": tap, "note": "a little wet"}


def test_the_entry_happened_at_the_tap_and_keeps_both_clocks(
    worker: Client, shed: Shed, tap: str
) -> None:
    ahead = timedelta(hours=3)
    response = _send(worker, *_note(shed, tap), ahead=ahead)
    assert response.status_code == 200
    said = response.json()  # type: ignore[attr-defined]
    assert said["answer"] == "yes"
    assert said["words"]
    assert "3 hours 0 minutes ahead" in said["clock"]
    entry = Entry.objects.get(client_id=tap)
    assert abs(entry.happened_at - (now_utc() - timedelta(minutes=40))) < timedelta(minutes=1)
    assert abs(entry.recorded_at - now_utc()) < timedelta(minutes=1)
    assert abs(entry.details["waited"]["ahead_s"] - ahead.total_seconds()) < 60
    tapped = datetime.fromisoformat(entry.details["waited"]["tapped"])
    assert abs(tapped - (datetime.now(UTC) + ahead - timedelta(minutes=40))) < timedelta(minutes=1)


def test_what_has_no_field_for_the_time_happened_at_the_tap_too(
    worker: Client, shed: Shed, tap: str
) -> None:
    address = f"/jobs/{shed.jobs['look']}/not-today/"
    said = _send(worker, address, {"client_id": tap, "reason": "no time left"})
    assert said.json()["answer"] == "yes"  # type: ignore[attr-defined]
    entry = Entry.objects.get(client_id=tap)
    assert abs(entry.happened_at - (now_utc() - timedelta(minutes=40))) < timedelta(minutes=1)


def test_what_was_typed_counts_before_the_tap(worker: Client, shed: Shed, tap: str) -> None:
    address, sent = _note(shed, tap)
    at = now_utc() - timedelta(hours=2)
    _send(worker, address, {**sent, "at": at.isoformat()})
    entry = Entry.objects.get(client_id=tap)
    assert entry.happened_at == at
    assert "waited" in entry.details


def test_sent_twice_it_is_one_entry_and_yes_both_times(
    worker: Client, shed: Shed, tap: str
) -> None:
    before = Entry.objects.count()
    answers = [_send(worker, *_note(shed, tap)).json()["answer"] for _ in range(2)]  # type: ignore[attr-defined]
    assert answers == ["yes", "yes"]
    assert Entry.objects.count() == before + 1


def test_it_is_not_written_under_another_name(owner: Client, shed: Shed, tap: str) -> None:
    before = Entry.objects.count()
    response = _send(owner, *_note(shed, tap), person="ben")
    assert response.status_code == FAILED
    assert response.json()["answer"] == "another"  # type: ignore[attr-defined]
    assert Entry.objects.count() == before


@pytest.mark.parametrize("person", ["ben", ""])
def test_a_stranger_sends_nothing(stranger: Client, shed: Shed, tap: str, person: str) -> None:
    before = Entry.objects.count()
    assert _send(stranger, *_note(shed, tap), person=person).status_code == FAILED
    assert Entry.objects.count() == before


@pytest.mark.parametrize("waited", [timedelta(minutes=-5), timedelta(days=80)])
def test_a_tap_ahead_or_long_ago_is_refused_in_words(
    worker: Client, shed: Shed, tap: str, waited: timedelta
) -> None:
    before = Entry.objects.count()
    response = _send(worker, *_note(shed, tap), waited=waited)
    assert response.status_code == UNFIT
    assert "say when it happened" in response.json()["words"][0]  # type: ignore[attr-defined]
    assert Entry.objects.count() == before


def test_the_servers_no_comes_as_its_page(worker: Client, shed: Shed, tap: str) -> None:
    address, sent = _note(shed, tap)
    assert _send(worker, address, {**sent, "note": ""}).status_code == UNFIT
    lost = {"client_id": tap, "count": "500", "reason": "green mould"}
    assert _send(worker, address.replace("note", "lose"), lost).status_code == CONFLICT


def test_the_headers_of_one_form_change_no_later_one(worker: Client, shed: Shed, tap: str) -> None:
    _send(worker, *_note(shed, tap))
    later = new_client_id()
    address, sent = _note(shed, later)
    assert worker.post(address, sent).status_code == FOUND
    entry = Entry.objects.get(client_id=later)
    assert abs(entry.happened_at - now_utc()) < timedelta(minutes=1)
    assert "waited" not in entry.details


def test_a_form_sent_at_once_is_told_that_it_was_answered(
    worker: Client, shed: Shed, tap: str
) -> None:
    address, sent = _note(shed, tap)
    second = new_client_id()
    worker.post(address, {**sent, "note": ""})
    assert worker.cookies["pinset-answered"].value == tap
    worker.post(address, {**sent, "client_id": second})
    assert worker.cookies["pinset-answered"].value == f"{tap}.{second}"


def test_a_token_is_given_anew_to_whoever_is_signed_in(shed: Shed, tap: str) -> None:
    strict = Client(enforce_csrf_checks=True)
    said = strict.get("/waiting/").json()
    assert (said["person"], said["name"]) == ("", "")
    page = strict.get("/sign-in/").content.decode()
    token = re.search(r'name="csrfmiddlewaretoken" value="(\w+)"', page)
    assert token is not None
    who = {"name": "ben", "password": "three small words", "csrfmiddlewaretoken": token[1]}
    assert strict.post("/sign-in/", who).status_code == FOUND
    said = strict.get("/waiting/").json()
    assert said["person"] == "ben"
    address, sent = _note(shed, tap)
    assert strict.post(address, sent).headers["Pinset-Later"] == "yes"
    assert strict.post(address, {**sent, "csrfmiddlewaretoken": said["token"]}).status_code == FOUND


def _noted(client: Client, address: str, sent: dict[str, str], ahead: timedelta) -> str:
    """Let a tap that waited be refused; return the note of its times."""
    response = _send(client, address, sent, ahead=ahead)
    assert response.status_code == CONFLICT
    return response.headers["Pinset-Waited"]


@pytest.mark.parametrize("hours", [-5, 0, 7])
@pytest.mark.parametrize("how", ["by its page", "after waiting again"])
def test_refused_and_sent_again_it_happened_at_the_tap(
    worker: Client, shed: Shed, tap: str, hours: int, how: str
) -> None:
    ahead, address = timedelta(hours=hours), f"/books/lots/{shed.jars}/say/lose/"
    lost = {"client_id": tap, "count": "500", "reason": "green mould"}
    note = _noted(worker, address, lost, ahead)
    again = new_client_id()
    sent = {**lost, "client_id": again, "count": "1", "waited": f"{again} {note}"}
    if how == "after waiting again":
        response = _send(worker, address, sent, ahead=ahead, waited=timedelta(minutes=1))
        assert response.json()["answer"] == "yes"  # type: ignore[attr-defined]
    else:
        assert worker.post(address, sent).status_code == FOUND
        page = worker.get("/promises/").content.decode()
        assert "when it was tapped" in page
        assert (f"{abs(hours)} hours 0 minutes" in page) is bool(hours)
    entry = Entry.objects.get(client_id=again)
    assert abs(entry.happened_at - (now_utc() - timedelta(minutes=40))) < timedelta(minutes=1)
    assert abs(entry.recorded_at - now_utc()) < timedelta(minutes=1)
    assert abs(entry.details["waited"]["ahead_s"] - ahead.total_seconds()) < 60


def test_a_note_counts_for_its_own_form_only(worker: Client, shed: Shed, tap: str) -> None:
    lost = {"client_id": tap, "count": "500", "reason": "green mould"}
    address = f"/books/lots/{shed.jars}/say/lose/"
    note = _noted(worker, address, lost, timedelta(0))
    other = new_client_id()
    worker.post(address, {**lost, "client_id": other, "count": "1", "waited": f"{tap} {note}"})
    entry = Entry.objects.get(client_id=other)
    assert "waited" not in entry.details
    assert abs(entry.happened_at - now_utc()) < timedelta(minutes=1)


def test_a_refused_moment_is_asked_for_and_said(worker: Client, shed: Shed, tap: str) -> None:
    address, sent = _note(shed, tap)
    said = _send(worker, address, sent, waited=timedelta(minutes=-5)).json()  # type: ignore[attr-defined]
    assert said["waited"].endswith(" -")
    again = {**sent, "waited": f"{tap} {said['waited']}"}
    assert "day and time" in worker.post(address, again).content.decode()
    assert worker.cookies["pinset-answered"].value == f"{tap}!"
    ahead = (now_utc() + timedelta(days=2)).isoformat(timespec="minutes")
    response = worker.post(address, {**again, "waited_at": ahead})
    assert response.status_code == UNFIT
    then = now_utc().replace(second=0, microsecond=0) - timedelta(hours=2)
    assert worker.post(address, {**again, "waited_at": then.isoformat()}).status_code == FOUND
    assert worker.cookies["pinset-answered"].value == tap
    assert Entry.objects.get(client_id=tap).happened_at == then


@pytest.mark.parametrize("note", ["-", "a b c d", "2026-03-12T07:40:00Z x 1 -", "1 2 3 4 5"])
def test_a_note_that_is_none_is_refused_in_words(
    worker: Client, shed: Shed, tap: str, note: str
) -> None:
    address, sent = _note(shed, tap)
    before = Entry.objects.count()
    assert worker.post(address, {**sent, "waited": f"{tap} {note}"}).status_code == UNFIT
    assert Entry.objects.count() == before
