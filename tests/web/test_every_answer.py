"""What holds for every address: the sign-in, the content policy, CSRF, one shape for errors."""

from __future__ import annotations

import re
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest
from django.core.signals import request_finished
from django.db import close_old_connections
from django.test import Client, override_settings
from django.urls import URLPattern

from pinset.farm.models import Person
from pinset.web import urls
from pinset.web.client_ids import new_client_id
from pinset.web.views.door import BACKEND
from pinset.web.who import OPEN_PAGES
from web.asking import BAD, FORBIDDEN, FOUND, MISSING, OK, words
from web.shed import Shed

WEB = Path(urls.__file__).parent
PATTERNS = [pattern for pattern in urls.urlpatterns if isinstance(pattern, URLPattern)]
POLICY = "default-src 'self'"


def _address(pattern: URLPattern) -> str:
    return "/" + re.sub(r"<int:\w+>", "1", re.sub(r"<str:\w+>", "x", str(pattern.pattern)))


def _test_files() -> str:
    return "\n".join(
        path.read_text(encoding="utf-8") for path in Path(__file__).parent.glob("test_*.py")
    )


@pytest.mark.parametrize("pattern", PATTERNS, ids=lambda pattern: pattern.name)
def test_a_stranger_sees_nothing_and_every_answer_carries_the_policy(
    stranger: Client, shed: Shed, pattern: URLPattern  # noqa: ARG001
) -> None:  # fmt: skip
    for response in (stranger.get(_address(pattern)), stranger.post(_address(pattern))):
        assert response.headers["Content-Security-Policy"].startswith(POLICY)
        if pattern.name not in OPEN_PAGES:
            assert response.status_code == FOUND
            assert response.headers["Location"].startswith("/sign-in/")


@pytest.mark.parametrize("pattern", PATTERNS, ids=lambda pattern: pattern.name)
def test_no_form_is_taken_without_its_token(shed: Shed, pattern: URLPattern) -> None:  # noqa: ARG001
    strict = Client(enforce_csrf_checks=True)
    if pattern.name not in OPEN_PAGES:
        strict.force_login(Person.objects.get(code="ada"), backend=BACKEND)
    response = strict.post(_address(pattern), {"client_id": new_client_id()})
    assert response.status_code == FORBIDDEN
    assert "Nothing was written." in words(response)
    assert response.headers["Content-Security-Policy"].startswith(POLICY)


def test_a_signed_in_person_needs_the_token_too(shed: Shed) -> None:
    strict = Client(enforce_csrf_checks=True)
    page = strict.get("/sign-in/").content.decode()
    token = re.search(r'name="csrfmiddlewaretoken" value="(\w+)"', page)
    assert token is not None
    sent = {"name": "ben", "password": "three small words", "csrfmiddlewaretoken": token[1]}
    assert strict.post("/sign-in/", sent).status_code == FOUND
    job = shed.jobs["shake"]
    refused = strict.post(f"/jobs/{job}/done/", {"client_id": new_client_id()})
    assert refused.status_code == FORBIDDEN


@pytest.mark.parametrize("who", ["owner", "worker", "stranger"])
def test_files_and_errors_carry_the_policy(
    request: pytest.FixtureRequest, shed: Shed, who: str  # noqa: ARG001
) -> None:  # fmt: skip
    client: Client = request.getfixturevalue(who)
    for address in (
        "/static/pinset.css",
        "/static/pinset.js",
        "/static/pinset.svg",
        "/static/django_htmx/htmx-2.min.js",
        "/static/nothing.css",
        "/nothing/",
        "/sign-in/",
    ):
        response = client.get(address)
        assert response.headers["Content-Security-Policy"].startswith(POLICY), address
        assert "unsafe" not in response.headers["Content-Security-Policy"]
        assert response.headers["X-Content-Type-Options"] == "nosniff"
        with _database_kept():
            response.close()


@contextmanager
def _database_kept() -> Iterator[None]:
    """Let an answer be closed without closing the database connection of the test with it."""
    request_finished.disconnect(close_old_connections)
    try:
        yield
    finally:
        request_finished.connect(close_old_connections)


def test_secure_headers(owner: Client) -> None:
    response = owner.get("/")
    assert response.headers["X-Frame-Options"] == "DENY"
    assert response.headers["Referrer-Policy"] == "same-origin"
    assert response.headers["Cross-Origin-Opener-Policy"] == "same-origin"
    assert "no-store" in response.headers["Cache-Control"]


def test_a_page_that_is_not_there_has_the_shape_of_all(owner: Client, stranger: Client) -> None:
    response = owner.get("/nothing/")
    assert response.status_code == MISSING
    assert "There is no such page" in words(response)
    assert 'href="/promises/"' in response.content.decode()
    hidden = stranger.get("/nothing/")
    assert hidden.status_code == FOUND, "a stranger does not learn which pages there are"


def test_a_broken_page_says_so_plainly(owner: Client, monkeypatch: pytest.MonkeyPatch) -> None:
    def burst(*_: object) -> None:
        raise ZeroDivisionError("secret detail")

    monkeypatch.setattr("pinset.services.day.today.day_view", burst)
    owner.raise_request_exception = False
    response = owner.get("/")
    assert response.status_code == 500
    assert "What was written down before is safe." in words(response)
    assert "secret detail" not in response.content.decode()
    assert response.headers["Content-Security-Policy"].startswith(POLICY)


def test_a_broken_part_of_a_page_says_so_in_its_place(
    worker: Client, shed: Shed, monkeypatch: pytest.MonkeyPatch
) -> None:
    def burst(*_: object, **__: object) -> None:
        raise ZeroDivisionError

    monkeypatch.setattr("pinset.services.answers.recording.done", burst)
    worker.raise_request_exception = False
    response = worker.post(
        f"/jobs/{shed.jobs['shake']}/done/",
        {"client_id": new_client_id()},
        headers={"HX-Request": "true"},
    )
    assert response.headers["HX-Retarget"] == "#said"
    assert "<html" not in response.content.decode()


def test_a_foreign_host_is_refused(owner: Client) -> None:
    response = owner.get("/", headers={"host": "elsewhere.example"})
    assert response.status_code == BAD
    assert "not in order" in words(response)


def test_an_expired_session_on_a_tap_leads_to_the_sign_in(stranger: Client, shed: Shed) -> None:
    response = stranger.post(
        f"/jobs/{shed.jobs['shake']}/done/",
        {"client_id": new_client_id()},
        headers={"HX-Request": "true"},
    )
    assert response.headers["HX-Redirect"] == "/sign-in/"


@override_settings(ALLOWED_HOSTS=["farm.lan"])
def test_the_farms_own_name_is_answered(stranger: Client, shed: Shed) -> None:  # noqa: ARG001
    assert stranger.get("/sign-in/", headers={"host": "farm.lan"}).status_code == OK


def test_templates_hold_no_script_or_style_of_their_own() -> None:
    for path in sorted((WEB / "jinja2").rglob("*.html")):
        text = path.read_text(encoding="utf-8")
        assert not re.search(r"\sstyle\s*=|<style|\son\w+\s*=|javascript:|hx-on", text), path.name
        assert not re.search(r"<script(?![^>]*\bsrc=)", text), path.name
        assert "|safe" not in text.replace(" ", ""), path.name
        assert "http://" not in text, path.name
        assert "https://" not in text, path.name


def test_every_form_that_is_sent_carries_its_token() -> None:
    for path in sorted((WEB / "jinja2").rglob("*.html")):
        for form in re.findall(r"<form\b.*?</form>", path.read_text(encoding="utf-8"), re.DOTALL):
            if 'method="post"' in form:
                assert "{{ token }}" in form, (path.name, form[:80])


def test_every_route_is_asked_by_a_test_of_its_own() -> None:
    asked = _test_files()
    for pattern in PATTERNS:
        words_of = [part for part in str(pattern.pattern).split("/") if part and "<" not in part]
        for word in words_of:
            assert word in asked, pattern.name
