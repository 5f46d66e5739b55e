"""Vessels of a cook that did not pass: asked about in a field of its own on every page."""

from __future__ import annotations

import re
import secrets
from datetime import timedelta

import pytest
from django.test import Client

from pinset.chain.stages import Stage
from pinset.farm import codes, door, trade
from pinset.farm.entries import NewLot
from pinset.farm.models import Entry
from pinset.farm.trade import CookVerdict, Tap
from pinset.services.clock import now_utc
from web.cooked import COOK
from web.shed import Shed, book_of
from web.test_bench import begun, form_to, laid
from web.test_scan import form_of, scan

PART = {"HTTP_HX_REQUEST": "true"}
OTHER, OWN = "ran out of spawn", "as controls on a shelf of their own"
KEY = f"{COOK}:failed"


@pytest.fixture
def failed(shed: Shed) -> str:
    """Twelve jars of a cook that failed, cool since yesterday."""
    book = book_of(shed.day)
    route = book.routes[0].code
    [code] = codes.issue_codes(1)
    made = NewLot(
        code=code, stage=Stage.PREPARED, variety="", step="grain", route=route,
        made_on=shed.day - timedelta(days=1),
    )  # fmt: skip
    begun_at = now_utc() - timedelta(hours=29)
    cook = trade.cook(
        Tap(secrets.token_hex(16), begun_at, "ada"), COOK, [(made, 12)],
        book.rooms[0].shelves[0].code,
        steriliser=book.sterilisers[0].code, cook_kind="grain", hold_minutes=92,
    )  # fmt: skip
    tap = Tap(secrets.token_hex(16), begun_at + timedelta(hours=9), "ada")
    verdict = trade.verdict(tap, cook=COOK, lots=[code], verdict=CookVerdict.FAIL)
    door.record([cook, verdict], now=now_utc())
    return code


def made() -> list[Entry]:
    return list(Entry.objects.filter(kind="inoculate"))


def despite_in(text: str, address: str) -> dict[str, object]:
    form = form_to(text, address, "despite_reason")
    assert form["despite"] == [KEY]
    return form


def kept() -> tuple[str, str]:
    [entry] = made()
    [own] = entry.details["despite"]
    return own["reason"], entry.details.get("reason", "")


def test_on_the_page_of_the_job(worker: Client, shed: Shed, failed: str) -> None:
    address = f"/jobs/{shed.jobs['jars']}/"
    page = worker.get(address).content.decode()
    assert "despite_reason" not in page, "nobody is asked before the doubt is shown"
    form = form_to(page, f"{address}done/") | {"reason": OTHER, "how": "done"}
    answer = worker.post(f"{address}done/", form)
    text = answer.content.decode()
    assert answer.status_code == 409
    assert f"10 vessels would be taken from cook {COOK}" in text
    assert "--" not in re.sub(r"<!--.*?-->|<[^>]*>", "", text)
    assert not made()
    again = despite_in(text, f"{address}done/")
    assert again["reason"] == [OTHER], "what was given for something else is not typed twice"
    empty = worker.post(f"{address}done/", again | {"how": "done", "despite_reason": " "})
    assert empty.status_code == 422
    assert "Why vessels of a cook that did not pass are used" in empty.content.decode()
    despite_in(empty.content.decode(), f"{address}done/")
    worker.post(f"{address}done/", again | {"how": "done", "despite_reason": OWN})
    assert kept() == (OWN, OTHER)
    assert failed


def test_on_a_card_of_today_it_leads_to_the_job(worker: Client, shed: Shed, failed: str) -> None:
    given = {"client_id": secrets.token_hex(16), "reason": OTHER, "how": "done"}
    answer = worker.post(f"/jobs/{shed.jobs['jars']}/done/", given, **PART)  # type: ignore[arg-type]
    assert answer.status_code == 409
    assert "Open the job to say it." in answer.content.decode()
    assert not made()
    assert failed


def test_with_lots_in_hand(worker: Client, shed: Shed, failed: str) -> None:
    form = form_of(scan(worker, shed.plates), "use") | {"reason": OTHER}
    text = worker.post("/scan/do/", form, **PART).content.decode()  # type: ignore[arg-type]
    assert f"cook {COOK}" in text
    assert not made()
    again = despite_in(text, "/scan/do/")
    assert again["reason"] == [OTHER]
    worker.post("/scan/do/", again | {"despite_reason": OWN}, **PART)  # type: ignore[arg-type]
    assert kept() == (OWN, OTHER)
    assert failed


def test_at_the_bench(worker: Client, shed: Shed, failed: str) -> None:
    begun(worker)
    form = form_to(laid(worker, shed.plates), "/bench/make/") | {"reason": OTHER}
    text = worker.post("/bench/make/", form, **PART).content.decode()  # type: ignore[arg-type]
    assert f"cook {COOK}" in text
    assert "only to try" not in text, "no tapped reason stands for it"
    assert not made()
    worker.post("/bench/make/", despite_in(text, "/bench/make/") | {"despite_reason": OWN}, **PART)  # type: ignore[arg-type]
    assert kept() == (OWN, OTHER)
    page = worker.get("/bench/").content.decode()
    assert OWN in page
    assert failed


def test_at_the_bench_by_hand(worker: Client, shed: Shed, failed: str) -> None:
    text = begun(worker)
    form = form_to(text, "/bench/make/", "by-hand")
    form |= {"from": f"{shed.plates} 2", "into": "step:grain", "makes": "7", "reason": OTHER}
    answer = worker.post("/bench/make/", {**form, "vessels": failed})
    assert answer.status_code == 409
    assert not made()
    again = despite_in(answer.content.decode(), "/bench/make/")
    worker.post("/bench/make/", again | {"despite_reason": OWN})
    assert kept() == (OWN, OTHER)
