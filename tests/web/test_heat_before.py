"""Heat, before a cook: prefilled from the farm, worked out, what is wrong stands at its field."""

from __future__ import annotations

import re

import pytest
from django.test import Client

from pinset.services.cooks.usual import usual_loads

FILLED = {
    "heat": "pressure",
    "rating": "1.5 bar",
    "filling": "sawdust",
    "units": "72",
    "mass": "2.3 kg",
    "size": "15 x 20 cm",
    "moisture": "60 %",
    "altitude": "1240 m",
    "rule": "f0=15",
}


def text(client: Client, **typed: str) -> str:
    return client.get("/heat/before/", typed).content.decode()


@pytest.mark.usefixtures("shed")
def test_strangers_are_sent_to_the_door(stranger: Client) -> None:
    for path in ("/heat/", "/heat/before/"):
        assert stranger.get(path).status_code == 302


def test_heat_leads_there_and_stands_in_the_menu(worker: Client) -> None:
    page = worker.get("/heat/").content.decode()
    assert 'href="/heat/before/"' in page
    assert 'href="/heat/"' in worker.get("/").content.decode()


def test_farms_own_loads_are_offered_and_fill_the_form(worker: Client) -> None:
    load = next(each for each in usual_loads() if each.typed["filling"] == "sawdust")
    assert load.words in text(worker)
    page = text(worker, load=load.code)
    assert f'value="{load.typed["mass"]}"' in page
    assert "Hold " in page


def test_advice_comes_with_its_cautions(worker: Client) -> None:
    page = text(worker, **FILLED)
    assert re.search(r"Hold 5 h \d+ min at 1\.18 bar gauge", page)
    assert "plate, its maker's manual" in page.replace("&#39;", "'")
    assert "not a proof" in page


def test_what_is_wrong_stands_at_its_field(worker: Client) -> None:
    answer = worker.get("/heat/before/", {**FILLED, "mass": "heavy"})
    page = answer.content.decode()
    assert answer.status_code == 422
    assert 'aria-describedby="f-mass-wrong"' in page
    assert 'value="heavy"' in page
    assert "Hold " not in page
    assert worker.get("/heat/before/", {**FILLED, "mass": "9 kg"}).status_code == 422
    assert worker.get("/heat/before/", {**FILLED, "rule": "long"}).status_code == 422
    assert worker.get("/heat/before/", {**FILLED, "rating": ""}).status_code == 422


def test_hostile_words_do_no_harm(worker: Client) -> None:
    page = text(worker, **{**FILLED, "organism": "<script>alert(1)</script>", "other": "x"})
    assert "<script>alert" not in page


def test_where_no_chance_is_reckoned_no_survivors_are_named(worker: Client) -> None:
    assert "Survivors are reckoned against" in text(worker, **FILLED)
    page = text(worker, **{**FILLED, "heat": "open", "rating": "", "rule": "hold=70C/120"})
    assert "no chance of sterility is reckoned" in page
    for word in ("Survivors", "Bad units", "Geobacillus stearothermophilus in each"):
        assert word not in page


def test_a_time_of_cooling_in_free_air_is_no_time_to_open(worker: Client) -> None:
    agar = {"filling": "agar", "mass": "0.5 kg", "moisture": "97 %", "size": "8 x 10 cm"}
    page = text(worker, **{**FILLED, **agar})
    assert "Open liquids" not in page
    assert "Liquids below 80 °C, if they stood free in air of 20 °C" in page
    assert "only when its gauge stands at zero" in page


@pytest.mark.parametrize(
    ("field", "typed"),
    [("start", "99"), ("mass", "1,5,5"), ("mass", "-2"), ("rating", "12 bar"), ("units", "2,5")],
)
def test_a_refusal_says_the_number_as_it_was_typed(worker: Client, field: str, typed: str) -> None:
    answer = worker.get("/heat/before/", {**FILLED, field: typed})
    page = answer.content.decode()
    assert answer.status_code == 422
    assert f"“{typed}” is not accepted. Accepted is" in page
    assert re.search(rf'name="{field}"[^>]*value="{re.escape(typed)}"', page)
