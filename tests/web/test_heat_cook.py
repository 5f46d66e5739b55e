"""Heat, one cook: judged by a log or by hand, once for a double tap, taken back, its log kept."""

from __future__ import annotations

import re
import secrets
from datetime import date, timedelta
from io import BytesIO
from pathlib import Path

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.http import HttpResponse
from django.test import Client
from numpy import float64
from numpy.typing import NDArray
from pypdf import PdfReader

from pinset.chain.register import CookKind, Instrument, InstrumentKind, Steriliser
from pinset.farm import register_store
from pinset.farm.models import Entry
from pinset.services.clock import now_utc
from pinset.services.cooks.judge import incoming as cook_incoming
from pinset.services.cooks.judge import verdicts as cook_verdicts
from pinset.services.cooks.judge.keeping import judge_for, keep_verdict
from pinset.web.formats import difference, shown_in
from web.cooked import COOK, LOG, cooked, log_bytes
from web.shed import Shed


@pytest.fixture(autouse=True)
def folder(settings: object, tmp_path: Path) -> None:
    settings.FARM_FOLDER = str(tmp_path)  # type: ignore[attr-defined]


@pytest.fixture
def vessels(shed: Shed) -> str:
    """A cook of twelve jars, an hour ago, not judged."""
    return cooked(shed.day)


def log(core_c: NDArray[float64] | None = None) -> SimpleUploadedFile:
    return SimpleUploadedFile("kettle.csv", log_bytes(core_c))


def text(response: HttpResponse) -> str:
    return re.sub(r"\s+", " ", response.content.decode())


def of_cook(client: Client) -> str:
    return text(client.get(f"/heat/cook/{COOK}/"))


def shown(
    client: Client, rule: str = "f0=15", core_c: NDArray[float64] | None = None
) -> tuple[str, str]:
    """Hand a log in; return its digest and the page that shows it."""
    given = {"file": log(core_c), "rule": rule, "cook": COOK}
    answer = client.post("/heat/judge/", given, follow=True)
    return answer.redirect_chain[-1][0].split("/")[3], text(answer)  # type: ignore[attr-defined]


def keep(client: Client, digest: str, client_id: str = "", **more: str) -> HttpResponse:
    given = {"client_id": client_id or secrets.token_hex(16), "digest": digest, "rule": "f0=15"}
    return client.post(f"/heat/cook/{COOK}/keep/", {**given, **more}, follow=True)


@pytest.mark.usefixtures("vessels")
def test_cook_waits_in_the_list_until_it_is_judged(worker: Client) -> None:
    listed = text(worker.get("/heat/"))
    assert "1 cook of the last two weeks is not judged yet." in listed
    assert f'href="/heat/cook/{COOK}/"' in listed
    assert "its vessels are used only with a reason" in of_cook(worker)
    assert worker.get("/heat/?page=x").status_code == 404


def test_verdict_on_a_log_is_kept_with_the_log(worker: Client, vessels: str) -> None:
    digest, page = shown(worker)
    assert f"Keep this verdict on {COOK}" in page
    kept = text(keep(worker, digest))
    assert "Long enough: F0" in kept
    assert vessels in kept
    assert worker.get(f"/heat/kept/{digest}/").content == log().read()
    assert "Nothing of the last two weeks waits to be judged." in text(worker.get("/heat/"))
    assert "passed" in text(worker.get(f"/books/lots/{vessels}/"))


@pytest.mark.usefixtures("vessels")
def test_double_tap_is_one_verdict(worker: Client) -> None:
    digest, _ = shown(worker)
    tap = secrets.token_hex(16)
    for _again in range(2):
        assert keep(worker, digest, tap).status_code == 200
    assert Entry.objects.filter(kind="verdict").count() == 1


@pytest.mark.usefixtures("vessels")
def test_short_cook_is_kept_as_too_short_and_can_be_taken_back(worker: Client) -> None:
    digest, page = shown(worker, core_c=LOG.core_c - 25.0)
    assert "Too short" in page
    keep(worker, digest)
    assert "1 cook of the last two weeks was too short." in text(worker.get("/heat/"))
    [entry] = Entry.objects.filter(kind="verdict")
    given = {"client_id": secrets.token_hex(16), "reason": "the file of another cook"}
    undone = worker.post(f"/heat/cook/{COOK}/undo/{entry.client_id}/", given, follow=True)
    assert "Set right by a later entry." in text(undone)
    assert "its vessels are used only with a reason" in of_cook(worker)
    assert worker.post(f"/heat/cook/{COOK}/undo/{'0' * 32}/", given).status_code == 404


@pytest.mark.usefixtures("vessels")
def test_judging_by_hand_needs_what_was_watched_and_says_so(worker: Client) -> None:
    given = {"client_id": secrets.token_hex(16), "verdict": "pass", "reason": ""}
    assert worker.post(f"/heat/cook/{COOK}/by-hand/", given).status_code == 422
    given |= {"reason": "gauge at 1.0 bar for 90 min by the clock"}
    page = text(worker.post(f"/heat/cook/{COOK}/by-hand/", given, follow=True))
    assert "judged by hand, no log" in page
    wrong = {**given, "client_id": secrets.token_hex(16), "verdict": "perhaps"}
    assert worker.post(f"/heat/cook/{COOK}/by-hand/", wrong).status_code == 422


@pytest.mark.usefixtures("vessels")
def test_log_handed_in_without_a_cook_can_be_tied_to_one(worker: Client) -> None:
    answer = worker.post("/heat/judge/", {"file": log(), "rule": "f0=15"}, follow=True)
    assert f'<option value="{COOK}">' in text(answer)


@pytest.mark.usefixtures("shed")
def test_what_is_not_there_is_not_found(worker: Client) -> None:
    assert worker.get("/heat/cook/none-such/").status_code == 404
    assert worker.get(f"/heat/kept/{'a' * 64}/").status_code == 404
    assert keep(worker, "a" * 64).status_code == 404


def test_lots_page_leads_to_its_cook(worker: Client, vessels: str) -> None:
    assert f'href="/heat/cook/{COOK}/"' in text(worker.get(f"/books/lots/{vessels}/"))


@pytest.mark.usefixtures("vessels")
def test_record_on_paper_says_what_the_page_says(worker: Client) -> None:
    address = f"/heat/cook/{COOK}/record.pdf"
    assert worker.get(address).status_code == 404
    digest, _ = shown(worker)
    keep(worker, digest)
    answer = worker.get(address)
    assert answer["Content-Type"] == "application/pdf"
    reader = PdfReader(BytesIO(answer.content))
    words = re.sub(r"\s+", " ", " ".join(page.extract_text() for page in reader.pages))
    assert "Long enough: F0 158.2 min in the slowest core" in words
    judged = cook_verdicts.cook_of(COOK).verdicts[0].judged
    for probe in judged["probes"]:
        band = f"{probe['f0_low']:.1f} to {probe['f0_high']:.1f}"
        row = f"{probe['f0_min']:.1f} {band} {probe['f0_above_110_min']:.1f} {probe['max_c']:.1f}"
        assert row in words
    for line in (
        judged["method"],
        judged["rule"],
        judged["file"],
        f"{judged['readings']} readings",
    ):
        assert line in words
    assert "Enough from" in words
    assert "core [°C]: temperature, core, °C" in words
    assert "Decided by: the maker's rating" in words
    assert digest in words
    assert "not a proof" in words
    assert f"page 1 of {len(reader.pages)}" in words
    assert worker.get(address).content == answer.content
    assert worker.get(address, {"paper": "letter"}).content != answer.content
    assert worker.get(address, {"paper": "napkin"}).status_code == 422


@pytest.mark.usefixtures("vessels")
def test_record_of_a_judgement_by_hand_says_so(worker: Client) -> None:
    given = {"client_id": secrets.token_hex(16), "verdict": "pass", "reason": "watched the gauge"}
    worker.post(f"/heat/cook/{COOK}/by-hand/", given)
    answer = worker.get(f"/heat/cook/{COOK}/record.pdf")
    words = PdfReader(BytesIO(answer.content)).pages[0].extract_text()
    assert "judged by hand without a log" in words
    assert "watched the gauge" in words


def test_overdue_calibration_stands_on_the_page_and_on_the_verdict(
    worker: Client, vessels: str, shed: Shed
) -> None:
    del vessels
    old = Instrument(
        "core", "Core probe", InstrumentKind.PROBE, "core [°C]", 0.2, date(2020, 1, 2), "ice"
    )
    register_store.write([old], shed.day - timedelta(days=30), "", now_utc() - timedelta(hours=2))
    assert "The calibration of Core probe is overdue since 2021-01-01" in text(worker.get("/heat/"))
    digest, page = shown(worker)
    assert "overdue since 2021-01-01" in page
    assert "± 0.2 K" in page
    assert "compared with ice on 2020-01-02" in text(keep(worker, digest))


def with_rule(shed: Shed, rule: str) -> None:
    """Give the steriliser of the cook the farm's own rule."""
    kettle = Steriliser(
        "kettle", "Kettle", "lab", (CookKind("grain", 5.0, 40, 90, 300.0, rule),), 9.0, 2
    )
    register_store.write(
        [kettle], shed.day - timedelta(days=30), "", now_utc() - timedelta(hours=2)
    )


def test_farms_own_rule_counts_whatever_is_typed(worker: Client, vessels: str, shed: Shed) -> None:
    del vessels
    with_rule(shed, "f0=500")
    digest, page = shown(worker, rule="f0=1")
    assert "Too short" in page
    assert "the farm's own rule" in page.replace("&#39;", "'")
    assert keep(worker, digest, rule="f0=1").status_code == 422
    assert not Entry.objects.filter(kind="verdict").exists()
    keep(worker, digest, rule="")
    assert Entry.objects.get(kind="verdict").details["verdict"] == "fail"


def dated(days: int) -> SimpleUploadedFile:
    """A log whose stamps begin some days from now."""
    begin = now_utc() + timedelta(days=days)
    rows = zip(LOG.seconds, LOG.chamber_c, LOG.core_c, strict=True)
    lines = ["time,chamber [°C],core [°C]"]
    lines += [
        f"{(begin + timedelta(seconds=float(s))).isoformat(timespec='seconds')},{a:.2f},{b:.2f}"
        for s, a, b in rows
    ]
    return SimpleUploadedFile("kettle.csv", "\n".join(lines).encode())


@pytest.mark.usefixtures("vessels")
@pytest.mark.parametrize(("days", "times"), [(-9, 1), (0, 0), (9, 1)])
def test_log_of_another_day_is_asked_about(worker: Client, days: int, times: int) -> None:
    given = {"file": dated(days), "rule": "f0=15", "cook": COOK}
    page = text(worker.post("/heat/judge/", given, follow=True))
    assert page.count("Is the file of another cook") == times


@pytest.mark.usefixtures("vessels")
def test_file_kept_with_another_cook_is_asked_about(worker: Client, shed: Shed) -> None:
    digest, page = shown(worker)
    assert "is kept with" not in page
    keep(worker, digest)
    cooked(shed.day, "kettle-20260311-0900")
    given = {"file": log(), "rule": "f0=15", "cook": "kettle-20260311-0900"}
    assert f"kept with {COOK} already" in text(worker.post("/heat/judge/", given, follow=True))
    _, again = shown(worker)
    assert "is kept with" not in again


@pytest.mark.usefixtures("vessels")
def test_a_verdict_by_nobody_named_says_so_on_paper(worker: Client) -> None:
    data = log_bytes()
    judged, _ = judge_for(COOK, data, "kettle.csv", "f0=15")
    keep_verdict(secrets.token_hex(16), "", COOK, judged, data, "kettle.csv")
    reader = PdfReader(BytesIO(worker.get(f"/heat/cook/{COOK}/record.pdf").content))
    words = re.sub(r"\s+", " ", " ".join(page.extract_text() for page in reader.pages))
    assert "Judged by not said, " in words


def test_differences_are_fahrenheit_on_a_us_farm() -> None:
    with shown_in("us"):
        assert difference(0.5) == "0.9 °F"
        assert difference(-1.0, "+") == "-1.8 °F"
    assert difference(0.5) == "0.5 K"


@pytest.mark.usefixtures("vessels")
def test_the_error_of_a_probe_stands_below_its_row_not_in_one_column_more(worker: Client) -> None:
    _, page = shown(worker)
    table = page[page.index("What each probe says") :]
    head = table[table.index("<thead>") : table.index("</thead>")]
    assert head.count("<th ") == 8
    assert page.count('<td colspan="8">Error ± ') == 2


@pytest.mark.usefixtures("vessels")
def test_paper_says_why_a_log_was_set_aside_by_a_verdict_that_does_not_rule(worker: Client) -> None:
    """The slowest pass rules; a quicker one sets the short log aside, with the reason."""
    for off_k in (0.0, -25.0):
        digest, _ = shown(worker, core_c=LOG.core_c + off_k)
        keep(worker, digest)
    [short] = Entry.objects.filter(kind="verdict", details__verdict="fail")
    digest, _ = shown(worker, core_c=LOG.core_c + 0.4)
    why = "its probe slipped out of the bag"
    keep(worker, digest, aside=short.client_id, aside_reason=why)
    view = cook_verdicts.cook_of(COOK)
    assert view.standing is not None
    assert view.standing.verdict == "pass"
    assert not view.standing.aside_because
    reader = PdfReader(BytesIO(worker.get(f"/heat/cook/{COOK}/record.pdf").content))
    words = re.sub(r"\s+", " ", " ".join(page.extract_text() for page in reader.pages))
    assert f"Counts against an earlier one because: {why}." in words
    assert re.search(rf"too short.*Set aside by [^ ]+, because: {why}\.", words)
    assert f"because: {why}." in of_cook(worker)


@pytest.mark.usefixtures("vessels")
def test_the_whole_log_takes_the_place_of_its_beginning(worker: Client) -> None:
    lines = log_bytes().split(b"\n")
    waiting = [
        cook_incoming.keep(b"\n".join(part), name)
        for part, name in ((lines[:141], "part.csv"), (lines, "whole.csv"))
    ]
    keep(worker, waiting[0])
    assert cook_verdicts.cook_of(COOK).line.verdict == "unjudged"
    page = text(worker.get(f"/heat/judge/{waiting[1]}/", {"cook": COOK, "rule": "f0=15"}))
    assert "part.csv is the beginning of this log, with the same readings." in page
    assert "Earlier verdicts that stand against passing" not in page
    kept = text(keep(worker, waiting[1]))
    assert "It takes the place of its own beginning: part.csv says not judged yet" in kept
    assert cook_verdicts.cook_of(COOK).line.verdict == "pass"
    assert "Replaced by whole.csv, the whole log of which it was the beginning." in of_cook(worker)
    other = cook_incoming.keep(b"\n".join([*lines[:40], *lines[60:141]]), "other.csv")
    page = text(worker.get(f"/heat/judge/{other}/", {"cook": COOK, "rule": "f0=15"}))
    assert "is the beginning of this log" not in page


@pytest.mark.usefixtures("vessels")
def test_a_reason_with_nothing_ticked_is_asked_about_and_the_form_is_kept(worker: Client) -> None:
    digest, _ = shown(worker, core_c=LOG.core_c - 25.0)
    keep(worker, digest)
    digest, page = shown(worker)
    name = cook_verdicts.cook_of(COOK).verdicts[0].log_name
    assert f"{name} says too short" in page, "a file's name as it is"
    count = Entry.objects.filter(kind="verdict").count()
    why = "its probe slipped"
    by_hand = {"client_id": secrets.token_hex(16), "verdict": "pass", "reason": "the gauge"}
    for answer in (
        keep(worker, digest, aside_reason=why),
        worker.post(f"/heat/cook/{COOK}/by-hand/", {**by_hand, "aside_reason": why}),
    ):
        assert answer.status_code == 422
        assert "Nothing is ticked" in text(answer)
        assert f'value="{why}"' in text(answer)
        assert "no such earlier verdict" not in text(answer)
    assert 'value="the gauge"' in text(answer)
    assert Entry.objects.filter(kind="verdict").count() == count
