"""The week for paper: for whoever is signed in, in the farm's size of paper."""

from __future__ import annotations

from io import BytesIO

from django.test import Client
from pypdf import PdfReader

from web.asking import NO_METHOD, OK, UNFIT, sent_to_sign_in, words
from web.shed import Shed

ADDRESS = "/week.pdf"


def test_a_stranger_sees_nothing(stranger: Client, shed: Shed) -> None:  # noqa: ARG001
    assert sent_to_sign_in(stranger, ADDRESS)


def test_owner_and_worker_print_the_week(owner: Client, worker: Client, shed: Shed) -> None:
    for client in (owner, worker):
        answer = client.get(ADDRESS)
        assert answer.status_code == OK
        assert answer.headers["Content-Type"] == "application/pdf"
        assert f"week-{shed.day}.pdf" in answer.headers["Content-Disposition"]
        said = " ".join(p.extract_text() for p in PdfReader(BytesIO(answer.content)).pages)
        assert "bags to look over" in said
        assert shed.jobs["jars"] in said
        assert "Caution: alcohol and flame" in said


def test_the_size_of_the_paper(worker: Client) -> None:
    letter = worker.get(ADDRESS, {"paper": "letter"})
    assert float(PdfReader(BytesIO(letter.content)).pages[0].mediabox.width) == 612.0
    refused = worker.get(ADDRESS, {"paper": "a3"})
    assert refused.status_code == UNFIT
    assert "a4 or letter" in words(refused)
    assert worker.post(ADDRESS).status_code == NO_METHOD


def test_today_leads_to_it(worker: Client) -> None:
    page = worker.get("/").content.decode()
    assert 'href="/week.pdf"' in page
    assert 'href="/settings/calendar/"' in page
