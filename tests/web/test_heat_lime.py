"""A lime bath: hours and pH are written down against the farm's rule, and no heat is reckoned."""

from __future__ import annotations

import re
import secrets
from datetime import timedelta
from io import BytesIO
from pathlib import Path

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.http import HttpResponse
from django.test import Client
from pypdf import PdfReader

from pinset.chain.register import CookKind, Steriliser
from pinset.farm import register_store
from pinset.farm.models import Entry
from pinset.services.clock import now_utc
from pinset.services.cooks.usual import usual_loads
from web.cooked import COOK, cooked, log_bytes
from web.shed import Shed

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def folder(settings: object, tmp_path: Path) -> None:
    settings.FARM_FOLDER = str(tmp_path)  # type: ignore[attr-defined]


@pytest.fixture
def bath(shed: Shed) -> str:
    """A cook of a kind that is a lime bath, not judged; the code of its vessels."""
    kind = CookKind("grain", 20.0, 40, 900, 300.0, "lime=12h/pH12")
    vat = Steriliser("kettle", "Lime vat", "lab", (kind,), 24.0, 1)
    register_store.write([vat], shed.day - timedelta(days=30), "", now_utc() - timedelta(hours=2))
    return cooked(shed.day)


def text(response: HttpResponse) -> str:
    return re.sub(r"\s+", " ", response.content.decode())


def written(client: Client, **given: str) -> HttpResponse:
    asked = {"client_id": secrets.token_hex(16), **given}
    return client.post(f"/heat/cook/{COOK}/lime/", asked, follow=True)


def test_the_page_asks_for_hours_and_ph_and_warns_of_lime(worker: Client, bath: str) -> None:
    page = text(worker.get(f"/heat/cook/{COOK}/"))
    assert bath in page
    assert "12 h in lime water at pH 12 or more" in page
    assert "burn eyes and skin" in page
    assert "Judge by a log" not in page
    assert all(load.steriliser != "kettle" for load in usual_loads()), "there is no heat to plan"


@pytest.mark.usefixtures("bath")
@pytest.mark.parametrize(
    ("hours", "ph", "verdict"),
    [("16", "12.4", "pass"), ("9,5", "12.4", "fail"), ("16", "11", "fail")],
)
def test_what_was_measured_is_held_against_the_rule(
    worker: Client, hours: str, ph: str, verdict: str
) -> None:
    page = text(written(worker, hours=hours, ph=ph, lime="3", note="strip 7 to 14"))
    details = Entry.objects.get(kind="verdict").details
    assert details["verdict"] == verdict
    assert details["ph"] == float(ph)
    assert "no lethality is reckoned" in page
    assert "lime bath" in page
    assert worker.get(f"/heat/cook/{COOK}/record.pdf").status_code == 200


@pytest.mark.usefixtures("bath")
@pytest.mark.parametrize(
    "given",
    [{"hours": ""}, {"hours": "16"}, {"hours": "900", "ph": "12"}, {"hours": "16", "ph": "19"},
     {"hours": "x", "ph": "12"}],
)  # fmt: skip
def test_what_cannot_be_is_refused(worker: Client, given: dict[str, str]) -> None:
    assert written(worker, **given).status_code == 422
    assert not Entry.objects.filter(kind="verdict").exists()


@pytest.mark.usefixtures("shed")
def test_a_cook_by_heat_is_no_lime_bath(worker: Client, shed: Shed) -> None:
    cooked(shed.day)
    assert written(worker, hours="16", ph="12.4").status_code == 409


@pytest.mark.usefixtures("bath")
def test_a_lime_bath_is_not_judged_by_a_log(worker: Client) -> None:
    given = {"file": SimpleUploadedFile("kettle.csv", log_bytes()), "cook": COOK}
    page = worker.post("/heat/judge/", given, follow=True)
    assert page.status_code == 422
    assert "lime bath" in text(page)


TYPED = {"hours": "16,5", "ph": "12,4", "lime": "3", "note": "strip 7 to 14"}


@pytest.mark.usefixtures("bath")
@pytest.mark.parametrize(
    ("field", "typed", "accepted"),
    [
        ("ph", "15", "a pH from 7 to 14"),
        ("ph", "-3", "a pH from 7 to 14"),
        ("ph", "twelve", "a pH from 7 to 14"),
        ("ph", "", "the rule asks for 12 or more"),
        ("hours", "0", "a number of hours above 0, to 96"),
        ("hours", "-2", "a number of hours above 0, to 96"),
        ("hours", "1e9", "a number of hours above 0, to 96"),
        ("hours", "", "hours from under water until lifted out"),
        ("lime", "3 kg", "to 100 g in a litre of water"),
        ("lime", "900", "to 100 g in a litre of water"),
    ],
)
def test_what_was_typed_stays_and_the_sentence_says_what_is_accepted(
    worker: Client, field: str, typed: str, accepted: str
) -> None:
    given = {**TYPED, field: typed}
    response = written(worker, **given)
    page = text(response)
    assert response.status_code == 422
    assert "Lime bath" in page, "the form itself"
    assert accepted in page
    for name, value in given.items():
        assert re.search(rf'name="{name}"[^>]*value="{re.escape(value)}"', page), name
    assert re.search(rf'name="{field}"[^>]*aria-invalid="true"', page)
    assert not Entry.objects.filter(kind="verdict").exists()


@pytest.mark.usefixtures("bath")
def test_the_paper_names_the_dangers_of_lime_and_the_farms_rule(worker: Client) -> None:
    written(worker, hours="16", ph="12.4", note="strip 7 to 14")
    data = worker.get(f"/heat/cook/{COOK}/record.pdf").content
    words = " ".join(
        " ".join(page.extract_text() for page in PdfReader(BytesIO(data)).pages).split()
    )
    assert "burn eyes and skin" in words
    assert "quicklime" in words
    assert "local workplace rules" in words
    assert "12 h in lime water at pH 12 or more" in words.split("What the verdict rests on")[1]
    assert "strip 7 to 14" in words
    assert "Log counts because" not in words, "there is no log"
    assert "A computation from temperatures" not in words
