"""What a device is told so that it keeps pages: over https, whose they are, and which."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator

import pytest
from django.test import Client, override_settings

from pinset.web import offline
from pinset.web.views import bench
from web.asking import MISSING, OK, words
from web.shed import Shed

PAGES = ("/worker.js", "/manifest.webmanifest", "/offline/")


@pytest.fixture
def secure() -> Iterator[None]:
    with override_settings(HTTPS=True):
        yield


@pytest.mark.parametrize("address", PAGES)
def test_on_plain_http_there_is_nothing_of_it(worker: Client, shed: Shed, address: str) -> None:  # noqa: ARG001
    assert worker.get(address).status_code == MISSING
    page = worker.get("/")
    assert not {"Pinset-For", "Pinset-Keep", "Pinset-Version"} & set(page.headers)
    assert "manifest" not in page.content.decode()


@pytest.mark.usefixtures("secure")
@pytest.mark.parametrize("address", PAGES)
def test_a_stranger_gets_them_and_learns_nothing(
    stranger: Client, worker: Client, shed: Shed, address: str  # noqa: ARG001
) -> None:  # fmt: skip
    said = stranger.get(address)
    assert said.status_code == OK
    text = said.content.decode()
    assert "Ada" not in text
    assert "Ben" not in text
    assert "Pinset-Keep" not in said.headers
    assert said.headers["Pinset-For"] == "-"


@pytest.mark.usefixtures("secure")
def test_pages_of_the_day_may_be_kept_and_settings_not(owner: Client, shed: Shed) -> None:
    lot = f"/books/lots/{shed.jars}/"
    for address in ("/", "/scan/", "/bench/", "/look/", lot, f"/jobs/{shed.jobs['jars']}/"):
        page = owner.get(address)
        assert page.headers["Pinset-For"] == "ada", address
        assert int(page.headers["Pinset-Keep"]) == 7 * 24 * 3600
        assert page.headers["Pinset-Version"] == offline.version()
        assert "no-store" in page.headers["Cache-Control"]
    for address in ("/settings/", "/settings/people/", "/settings/calendar/", "/heat/sensor/"):
        assert "Pinset-Keep" not in owner.get(address).headers, address
    assert "Pinset-Keep" not in owner.get("/books/lots/22222/").headers
    assert "Pinset-Keep" not in owner.get("/", headers={"HX-Request": "true"}).headers


@pytest.mark.usefixtures("secure")
def test_after_a_pin_they_are_kept_as_long_as_its_session(worker: Client, shed: Shed) -> None:  # noqa: ARG001
    session = worker.session
    session["by_pin"] = True
    session.save()
    assert worker.get("/").headers["Pinset-Keep"] == str(12 * 3600)


@pytest.mark.usefixtures("secure")
def test_asking_unseen_uses_up_nothing_that_is_told_once(
    worker: Client, shed: Shed, tap: str
) -> None:
    worker.post(f"/books/lots/{shed.jars}/say/note/", {"client_id": tap, "note": "a little wet"})
    session = worker.session
    session[bench.LAST] = {"entry": tap, "lots": [], "held": []}
    session.save()
    unseen = {"Pinset-Again": "1"}
    for address in ("/", "/bench/"):
        assert 'class="note good"' not in worker.get(address, headers=unseen).content.decode()
    assert bench.LAST in worker.session
    seen = worker.get("/").content.decode()
    assert 'class="note good"' in seen.split("<!--said-->")[1].split("<!--/said-->")[0]


@pytest.mark.usefixtures("secure")
def test_the_keeper_knows_every_file_a_page_is_drawn_with(worker: Client, shed: Shed) -> None:  # noqa: ARG001
    script = worker.get("/worker.js")
    assert script.headers["Content-Type"].startswith("text/javascript")
    assert script.headers["Cache-Control"] == "no-cache"
    found = re.search(r"const TOLD = (\{.*\});", script.content.decode())
    assert found is not None
    told = json.loads(found[1])
    page = worker.get("/").content.decode()
    linked = set(re.findall(r'(?:src|href)="(/static/[^"?]+)', page))
    assert len(linked) > 5
    assert linked <= set(told["files"])
    assert "/static/offline/worker.js" not in told["files"]


@pytest.mark.usefixtures("secure")
def test_it_says_in_words_what_is_not_kept(stranger: Client, shed: Shed) -> None:  # noqa: ARG001
    assert "The farm cannot be reached" in words(stranger.get("/offline/"))
