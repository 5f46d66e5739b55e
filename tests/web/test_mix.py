"""Mix: the card of an address, what was really weighed, the cheapest blend, and plain refusals."""

from __future__ import annotations

import re
from html import unescape
from io import BytesIO

import pytest
from django.test import Client
from pypdf import PdfReader

from pinset.services.frame import Frame
from web.asking import NO_METHOD, OK, UNFIT, sent_to_sign_in, words
from web.shed import Shed

BLOCKS = {
    "what-1": "hardwood-sawdust",
    "moisture-1": "39 %",
    "what-2": "wheat-bran",
    "share-2": "20",
    "moisture-2": "12.5 %",
    "what-3": "gypsum",
    "share-3": "1",
    "units": "40",
    "fill": "3 kg",
    "moisture": "62 %",
    "step": "50 g",
}
OFFERS = {
    "what-1": "hardwood-sawdust",
    "price-1": "0.06",
    "what-2": "wheat-bran",
    "price-2": "0.32",
    "units": "40",
    "fill": "3 kg",
    "moisture": "62 %",
}


def test_a_stranger_sees_nothing(stranger: Client, shed: Shed) -> None:  # noqa: ARG001
    for address in ("/mix/", "/mix/card.pdf", "/mix/cheapest/"):
        assert sent_to_sign_in(stranger, address)


def test_owner_and_worker_find_a_form_that_is_filled(owner: Client, worker: Client) -> None:
    for client in (owner, worker):
        answer = client.get("/mix/")
        assert answer.status_code == OK
        page, said = answer.content.decode(), words(answer)
        assert '<option value="hardwood-sawdust" selected>' in page
        assert "Dust of grain" in said
        assert "For 40 bags" not in said
        assert 'href="/mix/" aria-current="page"' in page
        assert client.post("/mix/").status_code == NO_METHOD
    assert 'href="/mix/"' in worker.get("/more/").content.decode()


def test_the_card_says_nitrogen_before_the_ratio(worker: Client) -> None:
    answer = worker.get("/mix/", BLOCKS)
    said = words(answer)
    assert "For 40 bags: 59.05 kg hardwood sawdust, 10.40 kg wheat bran and 0.45 kg gypsum" in said
    assert said.index("0.64 % nitrogen (") < said.index("C:N")
    assert "narrows it most" in said
    assert "less than 20 steps of a scale" in said
    assert "1.5 to 1.8 % nitrogen" in said
    assert "Common practice in the trade; no source" in said
    assert 'value="59.05' not in answer.content.decode()  # nothing is written into the form


def test_the_address_is_the_mix(worker: Client) -> None:
    page = worker.get("/mix/", BLOCKS).content.decode()
    link = re.search(r'href="(/mix/card\.pdf\?[^"]*)"', page)
    assert link is not None
    printed = worker.get(unescape(link[1]))
    assert printed.headers["Content-Type"] == "application/pdf"
    assert "mix-" in printed.headers["Content-Disposition"]
    said = " ".join(each.extract_text() for each in PdfReader(BytesIO(printed.content)).pages)
    for part in ("Mix for 40 bags", "59.05 kg", "0.64 % nitrogen", "really weighed", "Dust of"):
        assert part in said
    letter = worker.get("/mix/card.pdf", {**BLOCKS, "paper": "letter"})
    assert float(PdfReader(BytesIO(letter.content)).pages[0].mediabox.width) == 612.0
    assert worker.get("/mix/card.pdf", {**BLOCKS, "paper": "a3"}).status_code == UNFIT
    assert worker.get("/mix/card.pdf", {**BLOCKS, "units": "0"}).status_code == UNFIT


def test_what_was_really_weighed(worker: Client) -> None:
    answer = worker.get("/mix/", {**BLOCKS, "weighed-1": "62", "water-in": "40 L"})
    page, said = answer.content.decode(), words(answer)
    assert re.search(r"Add [\d.]+ L more of water: then it is 62 % wet", said)
    assert 'name="weighed-1" type="text" value="62"' in page
    assert 'type="hidden" name="share-2" value="20"' in page
    assert "too wet" in words(worker.get("/mix/", {**BLOCKS, "water-in": "70"}))


def test_one_more_row_and_those_that_are_filled(worker: Client) -> None:
    assert 'name="what-4"' in worker.get("/mix/").content.decode()
    more = worker.get("/mix/", {**BLOCKS, "rows": "6"}).content.decode()
    assert 'name="what-6"' in more
    assert 'name="rows" value="7"' in more
    nine = {**BLOCKS, "what-9": "rye", "share-9": "5"}
    assert 'name="what-9"' in worker.get("/mix/", nine).content.decode()


@pytest.mark.parametrize(
    ("typed", "why", "kept"),
    [
        ({"moisture-1": "105 %"}, "“105 %” is not accepted", 'value="105 %"'),
        ({"moisture-1": "73/120"}, "The two weights may be swapped.", 'value="73/120"'),
        ({"share-1": "70"}, "9 % is missing", 'value="70"'),
        ({"moisture": "30 %"}, "Let the hardwood sawdust dry, or take less of it.", 'value="30 %"'),
        ({"units": "many"}, "a whole number from 1", 'value="many"'),
        ({"nitrogen-2": "lots"}, "Ingredient 2. Nitrogen, own analysis", 'value="lots"'),
        ({"what-3": "other", "name-3": "malt", "moisture-3": "5"}, "No analysis of malt", "malt"),
    ],
)
def test_what_cannot_be_is_said_and_what_was_typed_stays(
    worker: Client, typed: dict[str, str], why: str, kept: str
) -> None:
    answer = worker.get("/mix/", {**BLOCKS, **typed})
    assert answer.status_code == UNFIT
    assert why in words(answer)
    page = answer.content.decode()
    assert kept in page
    assert 'name="share-2" type="text" value="20"' in page


def test_the_cheapest_blend(worker: Client) -> None:
    assert words(worker.get("/mix/cheapest/")).startswith("The cheapest blend")
    answer = worker.get("/mix/cheapest/", {**OFFERS, "nitrogen-least": "0.6"})
    assert answer.status_code == OK
    said = words(answer)
    for part in ("for 40 bags", "At least 0.6 % nitrogen: 0.1 points less would save", "Without"):
        assert part in said
    link = re.search(r'href="(/mix/\?[^"]*)"', answer.content.decode())
    assert link is not None
    assert "0.60 % nitrogen" in words(worker.get(unescape(link[1])))


def test_nothing_fits_is_an_answer(worker: Client) -> None:
    none = {**OFFERS, "nitrogen-least": "1.2", "supplement-most": "15"}
    answer = worker.get("/mix/cheapest/", none)
    assert answer.status_code == OK
    expected = "No mix of these reaches 1.2 % nitrogen under 15 % supplement: the most is 0.51 %."
    assert expected in words(answer)
    assert 'value="1.2"' in answer.content.decode()


def test_a_price_is_asked_for(worker: Client) -> None:
    answer = worker.get("/mix/cheapest/", {**OFFERS, "price-2": ""})
    assert answer.status_code == UNFIT
    assert "what wheat bran costs, 0 if nothing" in words(answer)


def test_a_farm_in_pounds(worker: Client, monkeypatch: pytest.MonkeyPatch) -> None:
    us = Frame("A farm", "Europe/Vienna", "us", 240.0, "USD")
    monkeypatch.setattr("pinset.web.middleware.frame", lambda: us)
    monkeypatch.setattr("pinset.web.views.mix.frame", lambda: us)
    page = worker.get("/mix/").content.decode()
    assert 'value="6 lb"' in page
    assert 'value="0.1 gal"' in page
    own = {name: text for name, text in BLOCKS.items() if name not in {"fill", "step"}}
    said = words(worker.get("/mix/", {**own, "weighed-1": "130", "price-1": "0.05"}))
    assert re.search(r"For 40 bags: [\d.]+ lb hardwood sawdust", said)
    assert re.search(r"Add [\d.]+ gal \([\d.]+ lb\) of water", said)
    assert set(re.findall(r"[\d.]+ kg", said)) == {"1 kg"}  # a litre's
    offers = {name: text for name, text in OFFERS.items() if name != "fill"}
    found = words(worker.get("/mix/cheapest/", offers))
    assert "USD " in found
    assert " lb hardwood sawdust" in found
