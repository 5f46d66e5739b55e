"""The jobs in a calendar: each person's own address, fetched without signing in; nothing else."""

from __future__ import annotations

import logging
import re
from io import StringIO

import icalendar
import pytest
from django.test import Client

from pinset.farm.models import CalendarLink, Entry, Job, Person
from pinset.services.week import calendar_link
from pinset.web.quiet_log import WithoutTokens
from web.asking import FOUND, MISSING, NO_METHOD, OK, sent_to_sign_in, words
from web.shed import Shed

PAGE = "/settings/calendar/"
TOO_MANY, NOT_MODIFIED = 429, 304


def feed(token: str) -> str:
    return f"/calendar/{token}/jobs.ics"


def made(client: Client) -> str:
    """Make an address on the page and return its token as it is shown there."""
    assert client.post(PAGE, {"how": "new"}).status_code == FOUND
    found = re.search(r"http://testserver/calendar/([\w-]{43})/jobs\.ics", words(client.get(PAGE)))
    assert found is not None
    return found[1]


def test_the_page_is_each_persons_own(
    owner: Client, worker: Client, stranger: Client, shed: Shed  # noqa: ARG001
) -> None:  # fmt: skip
    assert sent_to_sign_in(stranger, PAGE)
    assert sent_to_sign_in(stranger, PAGE, post=True)
    assert "You have no address" in words(worker.get(PAGE))
    token = made(worker)
    assert token in words(worker.get(PAGE)), "it can be seen again"
    assert f"webcal://testserver/calendar/{token}/jobs.ics" in worker.get(PAGE).content.decode()
    assert token not in owner.get(PAGE).content.decode()
    assert worker.get(PAGE).headers["Cache-Control"] == "no-store"
    assert CalendarLink.objects.get().person.code == "ben"


def test_the_settings_and_more_lead_to_it(owner: Client, worker: Client) -> None:
    assert PAGE in owner.get("/settings/").content.decode()
    assert PAGE in worker.get("/more/").content.decode()
    assert PAGE in worker.get("/settings/password/").content.decode()


def test_a_phone_fetches_the_jobs_without_signing_in(
    worker: Client, stranger: Client, shed: Shed
) -> None:
    token = made(worker)
    answer = stranger.get(feed(token))
    assert answer.status_code == OK
    assert answer.headers["Content-Type"] == "text/calendar; charset=utf-8"
    assert answer.headers["Content-Security-Policy"].startswith("default-src 'self'")
    assert "sessionid" not in answer.cookies
    events = icalendar.Calendar.from_ical(answer.content).walk("VEVENT")
    assert len(events) == len(shed.jobs)
    urls = {str(event["URL"]) for event in events}
    assert urls == {f"http://testserver/jobs/{code}/" for code in shed.jobs.values()}
    assert "Last fetched" in words(worker.get(PAGE))


def test_it_opens_nothing_else_and_writes_nothing_of_the_farm(
    worker: Client, stranger: Client, shed: Shed
) -> None:
    token = made(worker)
    before = list(Job.objects.values().order_by("id")), Entry.objects.count()
    assert stranger.get(feed(token)).status_code == OK
    assert (list(Job.objects.values().order_by("id")), Entry.objects.count()) == before
    for address in ("/", PAGE, "/week.pdf", f"/jobs/{shed.jobs['jars']}/"):
        assert sent_to_sign_in(stranger, address)
    for method in ("post", "put", "delete", "patch"):
        assert getattr(stranger, method)(feed(token)).status_code == NO_METHOD
    assert stranger.head(feed(token)).status_code == OK


def test_what_did_not_change_is_not_sent_again(
    worker: Client, stranger: Client, shed: Shed
) -> None:
    address = feed(made(worker))
    first = stranger.get(address)
    mark = first.headers["ETag"]
    again = stranger.get(address, headers={"If-None-Match": mark})
    assert (again.status_code, again.content) == (NOT_MODIFIED, b"")
    worker.post(f"/jobs/{shed.jobs['jars']}/claim/")
    changed = stranger.get(address, headers={"If-None-Match": mark})
    assert changed.status_code == OK
    assert b"You do it" in changed.content.replace(b"\r\n ", b"")


def test_no_persons_name_is_in_it(
    owner: Client, worker: Client, stranger: Client, shed: Shed
) -> None:
    worker.post(f"/jobs/{shed.jobs['jars']}/claim/")
    data = stranger.get(feed(made(owner))).content.replace(b"\r\n ", b"")
    assert b"Somebody does it already" in data
    for person in Person.objects.all():
        assert person.name.encode() not in data


@pytest.mark.parametrize("token", ["guess", "x" * 43, "%C3%A9", "none"])
def test_a_wrong_address_says_nothing_of_the_farm(
    stranger: Client, worker: Client, shed: Shed, token: str  # noqa: ARG001
) -> None:  # fmt: skip
    made(worker)
    answer = stranger.get(feed(token))
    assert answer.status_code == MISSING
    assert answer.content.decode().startswith("No calendar stands at this address.")
    assert "jobs" not in answer.content.decode().replace("jobs.ics", "")


def test_renewed_and_taken_away(worker: Client, stranger: Client, shed: Shed) -> None:  # noqa: ARG001
    old = made(worker)
    new = made(worker)
    assert stranger.get(feed(old)).status_code == MISSING
    assert stranger.get(feed(new)).status_code == OK
    worker.post(PAGE, {"how": "none"})
    assert stranger.get(feed(new)).status_code == MISSING
    assert "You have no address" in words(worker.get(PAGE))


def test_who_may_not_sign_in_any_more_fetches_nothing(
    owner: Client, worker: Client, stranger: Client
) -> None:
    token = made(worker)
    owner.post("/settings/people/ben/", {"what": "role", "role": "worker"})
    assert stranger.get(feed(token)).status_code == MISSING


def test_guessing_and_fetching_too_often_end(
    worker: Client, stranger: Client, monkeypatch: pytest.MonkeyPatch
) -> None:
    token = made(worker)
    tries = [stranger.get(feed(f"guess{n}")).status_code for n in range(12)]
    assert tries == [MISSING] * 10 + [TOO_MANY] * 2
    monkeypatch.setattr(calendar_link, "MOST_READS", 2)
    answers = [stranger.get(feed(token)) for _ in range(3)]
    assert [answer.status_code for answer in answers] == [OK, OK, TOO_MANY]
    assert answers[-1].headers["Retry-After"] == "900"


def test_a_secret_key_that_changed_is_told(
    worker: Client, settings: object, shed: Shed  # noqa: ARG001
) -> None:  # fmt: skip
    token = made(worker)
    CalendarLink.objects.update(nonce="0" * 32)  # as if the key were another
    page = words(worker.get(PAGE))
    assert token not in page
    assert "cannot be shown any more" in page


@pytest.mark.parametrize("status", [200, 404, 429, 500])
def test_no_token_reaches_the_servers_messages(
    worker: Client, stranger: Client, monkeypatch: pytest.MonkeyPatch, status: int
) -> None:
    """What is written by the root logger's handler, as the settings make it, is looked at."""
    token = made(worker)
    if status == 404:
        worker.post(PAGE, {"how": "none"})
    if status == 429:
        monkeypatch.setattr(calendar_link, "MOST_READS", 0)
    if status == 500:

        def burst(*_: object, **__: object) -> None:
            raise ZeroDivisionError(f"at /calendar/{token}/jobs.ics")

        monkeypatch.setattr("pinset.web.views.calendar.calendar_of_jobs", burst)
        stranger.raise_request_exception = False
    written = StringIO()
    handler = logging.StreamHandler(written)
    handler.setFormatter(WithoutTokens())
    root = logging.getLogger()
    root.addHandler(handler)
    try:
        answer = stranger.get(feed(token))
    finally:
        root.removeHandler(handler)
    assert answer.status_code == status
    assert token not in written.getvalue()
    assert token not in answer.content.decode()
    assert bool(written.getvalue()) is (status != 200)
    if status != 200:
        assert "/calendar/(hidden)/jobs.ics" in written.getvalue()


def test_the_servers_handler_hides_tokens() -> None:
    from django.conf import settings

    assert settings.LOGGING["root"]["handlers"] == ["terminal"]
    name = settings.LOGGING["handlers"]["terminal"]["formatter"]
    made_by = settings.LOGGING["formatters"][name]["()"]
    assert made_by == f"{WithoutTokens.__module__}.{WithoutTokens.__qualname__}"
