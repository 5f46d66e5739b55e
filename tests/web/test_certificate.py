"""Settings, Certificate: the authority to install, over https and over plain http."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path
from typing import Any

import pytest
from django.conf import settings
from django.test import Client

from pinset.services.https import own_certificate as own
from pinset.web import plain_door
from web.asking import MISSING, OK, sent_to_sign_in, words
from web.shed import Shed


@pytest.fixture
def farm(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setattr(settings, "FARM_FOLDER", tmp_path)
    own.make(tmp_path, "farm.lan", ["192.168.1.10"])
    return tmp_path


def test_a_worker_may_install_it_too(worker: Client, shed: Shed, farm: Path) -> None:  # noqa: ARG001
    page = worker.get("/settings/certificate/")
    found = own.standing(farm)
    assert found is not None
    assert found.fingerprint in page.content.decode().replace(": ", ":")
    for said in (
        "What installing it means",
        "Android",
        "iPhone and iPad",
        "Windows",
        "macOS",
        "Linux",
    ):
        assert said in words(page)
    assert "from memory" in words(page)
    given = worker.get("/settings/certificate/authority.crt")
    assert given.headers["Content-Type"] == "application/x-x509-ca-cert"
    assert given.content == own.authority_data(farm)
    assert b"PRIVATE" not in given.content


def test_a_stranger_may_not(stranger: Client, shed: Shed, farm: Path) -> None:  # noqa: ARG001
    assert sent_to_sign_in(stranger, "/settings/certificate/")
    assert sent_to_sign_in(stranger, "/settings/certificate/authority.crt")


def test_without_one_it_is_said_what_it_would_be(
    owner: Client, shed: Shed, tmp_path: Path, monkeypatch: pytest.MonkeyPatch  # noqa: ARG001
) -> None:  # fmt: skip
    monkeypatch.setattr(settings, "FARM_FOLDER", tmp_path)
    page = owner.get("/settings/certificate/")
    assert page.status_code == OK
    assert "pinset certificate make --name farm.lan" in words(page)
    assert owner.get("/settings/certificate/authority.crt").status_code == MISSING
    assert 'href="/settings/certificate/"' in owner.get("/settings/").content.decode()
    assert 'href="/settings/certificate/"' in owner.get("/more/").content.decode()


def test_today_tells_the_owner_when_something_is_not_in_order(
    owner: Client, worker: Client, shed: Shed, farm: Path  # noqa: ARG001
) -> None:  # fmt: skip
    assert "certificate" not in words(owner.get("/"))
    (farm / "https" / "server.crt").write_bytes(b"")
    assert "is no certificate" in words(owner.get("/"))
    assert "certificate" not in words(worker.get("/"))
    assert "is no certificate" in words(owner.get("/settings/certificate/"))


def asked(path: str, **more: str) -> tuple[str, dict[str, str], bytes]:
    """Ask the door of plain http, as a server does."""
    said: list[Any] = []

    def start(status: str, headers: Iterable[tuple[str, str]]) -> None:
        said.extend((status, dict(headers)))

    environ: dict[str, object] = {"REQUEST_METHOD": "GET", "PATH_INFO": path, **more}
    body = b"".join(plain_door.application(environ, start))
    return said[0], said[1], body


@pytest.fixture
def plain(farm: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setattr(settings, "HOST_NAMES", ["farm.lan", "192.168.1.10"])
    monkeypatch.setenv("PINSET_HTTPS_PORT", "8443")
    return farm


def test_plain_http_gives_the_authority_with_the_same_words(plain: Path) -> None:
    status, headers, body = asked("/certificate/")
    assert status == "200 OK"
    assert headers["Content-Security-Policy"].startswith("default-src 'self'")
    page = body.decode()
    found = own.standing(plain)
    assert found is not None
    assert found.fingerprint in page.replace(": ", ":")
    assert "What installing it means" in page
    assert "compare the fingerprint" in page
    assert asked("/certificate/authority.crt")[2] == own.authority_data(plain)
    assert asked("/static/pinset.css")[0] == "200 OK"
    own.take_back(plain)
    assert asked("/certificate/")[0] == "404 Not Found"
    assert asked("/certificate/authority.crt")[0] == "404 Not Found"


@pytest.mark.parametrize(
    ("host", "wanted"),
    [
        ("farm.lan:8080", "farm.lan"),
        ("192.168.1.10:8080", "192.168.1.10"),
        ("elsewhere.example", "farm.lan"),
        ("", "farm.lan"),
    ],
)
def test_the_rest_leads_to_https_and_nowhere_else(plain: Path, host: str, wanted: str) -> None:  # noqa: ARG001
    status, headers, body = asked("/scan/a b", HTTP_HOST=host, QUERY_STRING="x=1")
    assert status == "307 Temporary Redirect"
    assert headers["Location"] == f"https://{wanted}:8443/scan/a%20b?x=1"
    assert body == b""


def test_nothing_is_taken_over_plain_http(plain: Path) -> None:  # noqa: ARG001
    status, _headers, body = asked("/sign-in/", REQUEST_METHOD="POST")
    assert status == "403 Forbidden"
    assert b"Nothing of this was written down" in body
