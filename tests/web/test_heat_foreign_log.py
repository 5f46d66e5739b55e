"""A log that may be another cook's, or that speaks against an earlier one, needs a reason."""

from __future__ import annotations

import re
import secrets
from datetime import timedelta
from io import BytesIO
from pathlib import Path

import pytest
from django.http import HttpResponse
from django.test import Client
from pypdf import PdfReader

from files.logger_files import stamps
from pinset.errors import InputError
from pinset.farm.models import Entry
from pinset.services import cook_incoming, cook_verdicts
from pinset.services.clock import now_utc
from pinset.services.cook_keeping import judge_for, keep_verdict
from web.cooked import COOK, LOG, cooked, log_bytes
from web.shed import Shed

pytestmark = pytest.mark.django_db

OTHER = "kettle-20260311-0900"
WHY = "both cooks stand in one file, this is the second"


@pytest.fixture(autouse=True)
def folder(settings: object, tmp_path: Path) -> None:
    settings.FARM_FOLDER = str(tmp_path)  # type: ignore[attr-defined]


def text(response: HttpResponse) -> str:
    return re.sub(r"\s+", " ", response.content.decode())


def of_another_day() -> bytes:
    rows = zip(stamps("%Y-%m-%d %H:%M:%S", LOG.seconds), LOG.chamber_c, LOG.core_c, strict=True)
    lines = ["time,chamber [°C],core [°C]", *(f"{t},{a:.2f},{b:.2f}" for t, a, b in rows)]
    return "\n".join(lines).encode()


def short() -> bytes:
    return log_bytes(LOG.core_c - 25.0)


def kept(cook: str, data: bytes, reason: str = "") -> None:
    judged, _ = judge_for(cook, data, "kettle.csv", "f0=15")
    keep_verdict(secrets.token_hex(16), "ada", cook, judged, data, "kettle.csv", reason)


@pytest.mark.parametrize("data", [log_bytes(), of_another_day()], ids=["same file", "other day"])
def test_without_a_reason_nothing_is_kept_with_one_it_stands_there(
    worker: Client, shed: Shed, data: bytes
) -> None:
    cooked(shed.day, COOK)
    cooked(shed.day, OTHER)
    if data == log_bytes():
        kept(COOK, data)
        kept(COOK, data)  # again with the same cook is no other
    with pytest.raises(InputError, match="At the terminal: --reason"):
        kept(OTHER, data)
    digest = cook_incoming.keep(data, "kettle.csv")
    page = text(worker.get(f"/heat/judge/{digest}/", {"cook": OTHER, "rule": "f0=15"}))
    assert "Why is this file of this cook all the same?" in page
    given = {"digest": digest, "rule": "f0=15", "client_id": secrets.token_hex(16)}
    assert worker.post(f"/heat/cook/{OTHER}/keep/", given).status_code == 422
    assert not Entry.objects.filter(kind="verdict", details__cook=OTHER).exists()
    answer = worker.post(f"/heat/cook/{OTHER}/keep/", {**given, "reason": WHY}, follow=True)
    assert answer.status_code == 200
    assert WHY in text(answer)
    assert cook_verdicts.cook_of(OTHER).verdicts[0].reason == WHY


def test_a_log_of_the_day_needs_no_reason(worker: Client, shed: Shed) -> None:
    cooked(shed.day, COOK)
    begin = now_utc() - timedelta(hours=1)
    rows = zip(LOG.seconds, LOG.chamber_c, LOG.core_c, strict=True)
    lines = ["time,chamber [°C],core [°C]"]
    lines += [
        f"{(begin + timedelta(seconds=float(t))).isoformat()},{a:.2f},{b:.2f}" for t, a, b in rows
    ]
    data = "\n".join(lines).encode()
    digest = cook_incoming.keep(data, "kettle.csv")
    page = text(worker.get(f"/heat/judge/{digest}/", {"cook": COOK, "rule": "f0=15"}))
    assert "Why is this file" not in page
    kept(COOK, data)
    assert cook_verdicts.cook_of(COOK).line.verdict == "pass"


def test_a_log_that_passes_a_cook_that_was_too_short_needs_a_reason(
    worker: Client, shed: Shed
) -> None:
    cooked(shed.day, COOK)
    judged, _ = judge_for(COOK, short(), "short.csv", "f0=15")
    keep_verdict(secrets.token_hex(16), "ada", COOK, judged, short(), "short.csv")
    digest = cook_incoming.keep(log_bytes(), "good.csv")
    page = text(worker.get(f"/heat/judge/{digest}/", {"cook": COOK, "rule": "f0=15"}))
    assert "short.csv says too short" in page
    assert "Why does the earlier verdict, too short, not count?" in page
    given = {"digest": digest, "rule": "f0=15", "client_id": secrets.token_hex(16)}
    refused = worker.post(f"/heat/cook/{COOK}/keep/", given)
    assert refused.status_code == 422
    assert "short.csv says too short" in text(refused)
    assert cook_verdicts.cook_of(COOK).line.words == "too short"
    shown = text(worker.get(f"/heat/cook/{COOK}/"))
    assert "Short.csv says too short" in shown, "beside judging by hand"
    why = "short.csv is of the cook before"
    answer = text(worker.post(f"/heat/cook/{COOK}/keep/", {**given, "reason": why}, follow=True))
    assert f"Counts against an earlier one because: {why}" in answer
    assert "Does not count any more" in answer
    paper = worker.get(f"/heat/cook/{COOK}/record.pdf").content
    words = " ".join(each.extract_text() for each in PdfReader(BytesIO(paper)).pages)
    words = re.sub(r"\s+", " ", words)
    assert "Other verdicts on this cook" in words
    assert "too short, short.csv, SHA-256" in words
    assert "Set aside, or judged again later." in words


def test_of_two_loggers_in_one_load_the_slower_is_shown(worker: Client, shed: Shed) -> None:
    cooked(shed.day, COOK)
    kept(COOK, log_bytes(LOG.core_c - 1.0))
    judged, _ = judge_for(COOK, log_bytes(), "second.csv", "f0=15")
    assert [each.id for each in judged.findings][:1] == ["cook.other-logs"]
    keep_verdict(secrets.token_hex(16), "ada", COOK, judged, log_bytes(), "second.csv")
    assert "The log, kettle.csv" in text(worker.get(f"/heat/cook/{COOK}/"))
