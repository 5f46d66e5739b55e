"""A page that was drawn is given again only for the same person and the same facts."""

from __future__ import annotations

import re
import secrets

from django.test import Client

from pinset.web import blanks
from web.asking import words
from web.shed import Shed

IDS = re.compile(r'name="client_id" value="([^"]*)"')


def test_blanks_are_filled_anew_each_time() -> None:
    drawn = f"a {blanks.TOKEN} b {blanks.client_id()} c {blanks.client_id()}"
    filled = blanks.fill(drawn, "t")
    first, second = re.findall(r"[0-9a-f]{32}", filled)
    assert first != second
    assert filled.startswith("a t b ")
    assert blanks.TOKEN not in filled
    assert blanks.client_id() not in filled


def test_no_blank_reaches_a_reader_and_no_id_is_given_twice(worker: Client, shed: Shed) -> None:
    seen: list[str] = []
    for address in ("/", "/", f"/books/lots/{shed.jars}/", f"/jobs/{shed.jobs['jars']}/", "/pick/"):
        page = worker.get(address).content.decode()
        assert "client-" not in page.replace("client-id", "")
        assert blanks.TOKEN not in page
        seen += IDS.findall(page)
    assert len(seen) > 10
    assert len(set(seen)) == len(seen)
    assert all(re.fullmatch("[0-9a-f]{32}", each) for each in seen)


def test_what_changed_is_seen_at_once(worker: Client, owner: Client, shed: Shed) -> None:
    for client in (worker, owner):
        client.get("/")
        client.get(f"/books/lots/{shed.jars}/")
    worker.post(f"/jobs/{shed.jobs['shake']}/done/", {"client_id": secrets.token_hex(16)})
    assert "1 of 6 done" in words(owner.get("/"))
    sent = {"client_id": secrets.token_hex(16), "count": "1", "reason": "green mould"}
    worker.post(f"/books/lots/{shed.jars}/say/lose/", sent)
    assert "1 lost to contamination" in words(owner.get(f"/books/lots/{shed.jars}/"))


def test_a_workers_page_is_not_an_owners(worker: Client, owner: Client, shed: Shed) -> None:  # noqa: ARG001
    assert "Plan now" in words(owner.get("/"))
    assert "Plan now" not in words(worker.get("/"))
    assert not re.search(r"\bBen\b", words(owner.get("/more/")))


def test_what_just_happened_is_told_once(worker: Client, shed: Shed) -> None:
    worker.get("/")
    worker.post(f"/jobs/{shed.jobs['shake']}/done/", {"client_id": secrets.token_hex(16)})
    assert "recorded" in words(worker.get("/"))
    assert "recorded" not in words(worker.get("/"))
