from __future__ import annotations

import re

import pytest
from django.test import Client

from pinset.services.books import settings_page
from pinset.services.cooks.taken_over import with_preset
from pinset.services.plans import planning_day
from web.asking import FORBIDDEN, FOUND, MISSING, OK, sent_to_sign_in, words
from web.shed import Shed, book_of

KINDS = (
    "room",
    "steriliser",
    "bench",
    "worker",
    "vessel",
    "variety",
    "route",
    "culture",
    "buyer",
)


def test_owner_sees_every_kind_of_record(owner: Client) -> None:
    page = owner.get("/settings/").content.decode()
    for kind in KINDS:
        assert f'href="/settings/{kind}/"' in page
        assert owner.get(f"/settings/{kind}/").status_code == OK
        assert owner.get(f"/settings/{kind}/new/").status_code == OK
    assert 'href="/settings/farm/farm/"' in page
    assert 'href="/settings/people/"' in page


def test_worker_may_not(worker: Client) -> None:
    for address in ("/settings/", "/settings/room/", "/settings/room/lab/", "/settings/room/new/"):
        response = worker.get(address)
        assert response.status_code == FORBIDDEN
        assert "Only an owner may do this." in words(response)


def test_stranger_is_sent_to_sign_in(stranger: Client, shed: Shed) -> None:  # noqa: ARG001
    for address in ("/settings/", "/settings/room/", "/settings/room/lab/"):
        assert sent_to_sign_in(stranger, address)


def test_what_somebody_should_know_of_the_farm_stands_above(
    owner: Client, monkeypatch: pytest.MonkeyPatch
) -> None:
    said = "Pink oyster: Its spawn dies below 10 °C, and the cold store stands at 4 °C."
    monkeypatch.setattr("pinset.services.books.settings_page.remarks", lambda: (said,))
    assert said in owner.get("/settings/").content.decode()


def test_a_cook_of_practice_is_taken_over_into_a_steriliser_and_changed(
    owner: Client, shed: Shed
) -> None:
    code = book_of(shed.day).sterilisers[0].code
    place = f"/settings/steriliser/{code}/"
    plain = owner.get(place).content.decode()
    assert "Grain in quart jars (0.95 L): 90 min (60 to 120), common practice, no source" in plain
    assert 'value="grain-quart-jars"' in plain
    form = with_preset(settings_page.record_form("steriliser", code).form, "grain-quart-jars")
    [cooks] = [each for each in form.tables if each.path == "cooks"]
    [row] = [each for each in cooks.rows if each[0].value == "grain-quart-jars"]
    shown = owner.get(place, {"preset": "grain-quart-jars"}).content.decode()
    for each in row:
        if each.value:
            assert re.search(f'name="{each.path}"[^>]*value="{each.value}"', shown)
    own = {"hours": "4", "hands_minutes": "30", "hold_minutes": "100", "litres": "60"}
    typed = {each.path: each.value for table in form.tables for line in table.rows for each in line}
    typed |= {each.path: each.value for each in form.fields}
    prefix = row[0].path.rsplit(".", 1)[0]
    typed |= {f"{prefix}.{name}": value for name, value in own.items()}
    assert owner.post(place, typed).status_code == FOUND
    kinds = planning_day.farm_book()[0].sterilisers[0].cooks
    [taken] = [each for each in kinds if each.code == "grain-quart-jars"]
    assert (taken.hold_minutes, taken.rule) == (100, "")
    assert owner.get(place, {"preset": "nothing"}).status_code == MISSING


def test_hours_by_the_clock_are_filled_in_for_each_day(owner: Client) -> None:
    page = owner.get("/settings/worker/ben/").content.decode()
    assert 'name="hours.0"' in page
    assert "Hours on Monday" in page
    sent = {"code": "ben", "name": "Ben", "laboratory": "yes", "role": "worker"}
    hours = {f"hours.{day}": "17:00-20:30" for day in range(5)}
    bad = owner.post("/settings/worker/ben/", {**sent, **hours, "hours.5": "22:00-02:00"})
    assert "goes past midnight: write 22:00-24:00 here" in words(bad)
    owner.post("/settings/worker/ben/", {**sent, **hours, "hours.5": "7:00-11:00, 16:00-18:00"})
    book, _ = planning_day.farm_book()
    [ben] = [worker for worker in book.workers if worker.code == "ben"]
    assert ben.hours == (*("17:00-20:30",) * 5, "07:00-11:00, 16:00-18:00", 0.0)
