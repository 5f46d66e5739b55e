"""A log that may be another cook's, or that speaks against an earlier one, needs a reason."""

from __future__ import annotations

import html
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
from pinset.services.clock import now_utc
from pinset.services.cooks.judge import incoming as cook_incoming
from pinset.services.cooks.judge import verdicts as cook_verdicts
from pinset.services.cooks.judge.keeping import judge_for, keep_verdict
from pinset.services.cooks.judge.verdict_entries import record_verdict
from web.cooked import COOK, LOG, cooked, judged_and_waiting, log_bytes
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


def kept_short() -> str:
    """Keep the verdict that the cook was too short; return its entry."""
    judged, _ = judge_for(COOK, short(), "short.csv", "f0=15")
    tap = secrets.token_hex(16)
    return keep_verdict(tap, "ada", COOK, judged, short(), "short.csv").entry


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
    with pytest.raises(InputError, match="its verdict releases vessels"):
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


def test_too_short_is_set_aside_in_a_field_of_its_own(worker: Client, shed: Shed) -> None:
    cooked(shed.day, COOK)
    keep = f"/heat/cook/{COOK}/keep/"
    digest = cook_incoming.keep(log_bytes(), "good.csv")
    asked = {"cook": COOK, "rule": "f0=15"}
    assert 'name="aside"' not in text(worker.get(f"/heat/judge/{digest}/", asked))
    entry = kept_short()
    page = text(worker.get(f"/heat/judge/{digest}/", asked))
    assert "short.csv says too short" in page
    assert f'name="aside" value="{entry}"' in page
    given = {"digest": digest, "rule": "f0=15", "client_id": secrets.token_hex(16)}
    beside = worker.post(keep, {**given, "reason": "the clock is slow"}, follow=True)
    assert "too short. This one alone: passed. Before it, short.csv says" in text(beside)
    assert cook_verdicts.cook_of(COOK).line.words == "too short", "a page opened before it"
    shown = text(worker.get(f"/heat/cook/{COOK}/"))
    assert shown.count(f'name="aside" value="{entry}"') == 1, "beside judging by hand"
    why = "short.csv is of the cook before"
    given |= {"client_id": secrets.token_hex(16), "aside_reason": why}
    assert worker.post(keep, given).status_code == 422, "none is named"
    answer = text(worker.post(keep, {**given, "aside": entry}, follow=True))
    assert "passed. Set aside by it: short.csv says too short" in answer
    assert f"Counts against an earlier one because: {why}" in answer
    assert "Does not count any more" in answer
    paper = worker.get(f"/heat/cook/{COOK}/record.pdf").content
    words = " ".join(each.extract_text() for each in PdfReader(BytesIO(paper)).pages)
    words = re.sub(r"\s+", " ", words)
    assert "Other verdicts on this cook" in words
    assert "too short, short.csv, SHA-256" in words
    assert f"aside by good.csv, because: {why}." in words


def test_of_two_loggers_in_one_load_the_slower_is_shown(worker: Client, shed: Shed) -> None:
    cooked(shed.day, COOK)
    kept(COOK, log_bytes(LOG.core_c - 1.0))
    judged, _ = judge_for(COOK, log_bytes(), "second.csv", "f0=15")
    assert [each.id for each in judged.findings][:1] == ["cook.other-logs"]
    keep_verdict(secrets.token_hex(16), "ada", COOK, judged, log_bytes(), "second.csv")
    assert "The log, kettle.csv" in text(worker.get(f"/heat/cook/{COOK}/"))


def test_by_hand_what_is_set_aside_is_named_and_said_apart(worker: Client, shed: Shed) -> None:
    cooked(shed.day, COOK)
    entry = kept_short()
    url = f"/heat/cook/{COOK}/by-hand/"
    given = {"client_id": secrets.token_hex(16), "verdict": "pass", "reason": "gauge and clock"}
    assert "too short. This one alone: passed" in text(worker.post(url, given, follow=True))
    given |= {"client_id": secrets.token_hex(16), "aside": entry, "aside_reason": "its probe fell"}
    answer = text(worker.post(url, given, follow=True))
    assert "Set aside by it: short.csv says too short" in answer
    assert "Counts against an earlier one because: its probe fell" in answer


def test_a_probe_that_slipped_can_be_set_aside_where_another_log_is_whole(
    worker: Client, shed: Shed
) -> None:
    cooked(shed.day, COOK)
    slipped = {"probes": [{"name": "bag", "role": "core", "f0_min": 5.6, "unclear": "it slipped"}]}
    record_verdict(
        secrets.token_hex(16), "ada", COOK, slipped, "unjudged", "Not told.", b"x", "slipped.csv"
    )
    digest = cook_incoming.keep(log_bytes(), "good.csv")
    page = text(worker.get(f"/heat/judge/{digest}/", {"cook": COOK, "rule": "f0=15"}))
    assert "slipped.csv says not judged yet" in page
    [line] = cook_verdicts.cook_of(COOK).verdicts
    given = {
        "digest": digest, "rule": "f0=15", "client_id": secrets.token_hex(16),
        "aside": line.entry, "aside_reason": "the probe slipped out",
    }  # fmt: skip
    worker.post(f"/heat/cook/{COOK}/keep/", given)
    assert cook_verdicts.cook_of(COOK).line.words == "passed"


def test_a_refused_form_names_the_page_on_which_the_reason_can_be_given(
    worker: Client, shed: Shed
) -> None:
    """A tap that waited is opened there again; the answer to a form has no page of its own."""
    known = judged_and_waiting(shed.day)
    given = {
        "client_id": secrets.token_hex(16), "digest": known["log"], "rule": "f0=15",
        "aside_reason": "its probe slipped", "read.column.2.role": "chamber",
    }  # fmt: skip
    refused = worker.post(f"/heat/cook/{COOK}/keep/", given)
    assert refused.status_code == 422
    [page] = re.findall(r'/keep/"[^>]*data-page="([^"]*)"', refused.content.decode())
    shown = worker.get(html.unescape(page))
    assert shown.status_code == 200
    assert f"/heat/cook/{COOK}/keep/" in shown.content.decode()
    assert 'name="read.column.2.role" value="chamber"' in shown.content.decode()
