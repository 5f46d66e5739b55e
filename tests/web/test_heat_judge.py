"""Heat, after a cook: a log is handed in, shown as it was read, corrected, and refused in words."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.http import HttpResponse
from django.test import Client

from files.logger_files import cook
from pinset.services.cooks.judge import incoming as cook_incoming
from web.cooked import LOG

COOK = cook(361)


@pytest.fixture(autouse=True)
def folder(settings: object, tmp_path: Path) -> Path:
    settings.FARM_FOLDER = str(tmp_path)  # type: ignore[attr-defined]
    return tmp_path


def file(name: str = "cook.csv", heads: str = "min,chamber [°C],core [°C]") -> SimpleUploadedFile:
    rows = zip(COOK.seconds / 60.0, COOK.chamber_c, COOK.core_c, strict=True)
    lines = [heads, *(f"{m:.0f},{a:.2f},{b:.2f}" for m, a, b in rows)]
    return SimpleUploadedFile(name, "\n".join(lines).encode())


def handed_in(client: Client, **more: object) -> HttpResponse:
    return client.post("/heat/judge/", {"file": file(), "rule": "f0=15", **more}, follow=True)


def text(response: HttpResponse) -> str:
    return re.sub(r"\s+", " ", response.content.decode())


def test_log_is_judged_and_shown_as_it_was_read(worker: Client) -> None:
    page = text(handed_in(worker))
    assert "Long enough" in page
    assert "Core [°C] stood in" in page
    assert "not a proof" in page
    assert 'name="read.column.3.role"' in page


def test_what_is_said_by_hand_is_read_so(worker: Client) -> None:
    answer = handed_in(worker)
    address = answer.redirect_chain[-1][0].partition("?")[0]  # type: ignore[attr-defined]
    alone = text(worker.get(address, {"rule": "f0=15", "read.column.3.use": "nothing"}))
    assert "No probe stood in a unit" in alone
    assert worker.get(address, {"rule": "f0=15", "read.column.9.role": "roof"}).status_code == 422
    assert worker.get(address, {"rule": "plenty"}).status_code == 422


def test_same_file_twice_is_kept_once(worker: Client, folder: Path) -> None:
    handed_in(worker)
    handed_in(worker)
    kept = [path for path in (folder / cook_incoming.FOLDER).iterdir() if not path.suffix]
    assert len(kept) == 1


@pytest.mark.parametrize(
    "given", [SimpleUploadedFile("a.csv", b""), SimpleUploadedFile("a.csv", b"no log at all"), ""]
)
def test_file_without_a_log_is_refused_in_words(worker: Client, given: object) -> None:
    answer = handed_in(worker, file=given)
    assert answer.status_code == 422
    assert "Accepted is:" in text(answer)


def test_name_of_a_file_harms_nothing(worker: Client) -> None:
    page = text(handed_in(worker, file=file("../../<b>x</b>.csv")))
    assert "<b>x</b>" not in page
    assert "Long enough" in page


@pytest.mark.usefixtures("shed")
def test_log_that_is_not_there_is_not_found(worker: Client) -> None:
    assert worker.get(f"/heat/judge/{'a' * 64}/").status_code == 404
    assert worker.get("/heat/judge/..%2Fsecret/").status_code == 404


def test_a_guess_can_be_confirmed_on_the_page(worker: Client) -> None:
    rows = zip(LOG.seconds / 60.0, LOG.chamber_c, LOG.core_c, strict=True)
    lines = ["min,CH1,CH2", *(f"{m:.0f},{a:.2f},{b:.2f}" for m, a, b in rows)]
    file = SimpleUploadedFile("kettle.csv", "\n".join(lines).encode())
    page = worker.post("/heat/judge/", {"file": file, "rule": "f0=15"}, follow=True)
    assert "core, it is so" in page.content.decode()


def test_a_unit_that_is_asked_for_is_said_on_the_page(worker: Client) -> None:
    given = file("straw.csv", heads="min,Water [°C],Straw core [°C]")
    page = worker.post("/heat/judge/", {"file": given, "rule": "hold=60C/60"}, follow=True)
    assert "Is this log in °C?" in text(page)
    assert "°C, it is so" in text(page)
    address = page.redirect_chain[-1][0].partition("?")[0]  # type: ignore[attr-defined]
    units = {f"read.column.{number}.unit": "°C" for number in (2, 3)}
    said = text(worker.get(address, {"rule": "hold=60C/60", **units}))
    assert "Is this log in °C?" not in said
    assert "Long enough" in said
