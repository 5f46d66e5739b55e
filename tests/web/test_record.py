from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from html.parser import HTMLParser

import pytest
from django.test import Client

from pinset.farm import register_store
from pinset.farm.models.register import RegisterKind
from pinset.services import memory
from pinset.services.clock import now_utc
from pinset.services.plans import planning_day
from web.asking import CONFLICT, FORBIDDEN, FOUND, MISSING, UNFIT, sent_to_sign_in, words
from web.shed import Shed, book_of


class _Filled(HTMLParser):
    """Reads a form as a browser would send it."""

    def __init__(self) -> None:
        super().__init__()
        self.values: dict[str, str] = {}
        self._select = ""

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        given = {name: value or "" for name, value in attrs}
        name = given.get("name", "")
        if tag == "input" and name and name != "csrfmiddlewaretoken":
            self.values[name] = given.get("value", "")
        elif tag == "select":
            self._select = name
            self.values[name] = ""
        elif tag == "option" and self._select and "selected" in given:
            self.values[self._select] = given.get("value", "")
            self._open_option = "value" not in given

    def handle_data(self, data: str) -> None:
        if getattr(self, "_open_option", False) and data.strip():
            self.values[self._select] = data.strip()
            self._open_option = False


def filled(client: Client, address: str) -> dict[str, str]:
    """Return what the form at that address would send untouched."""
    reader = _Filled()
    reader.feed(client.get(address).content.decode())
    return reader.values


def test_saving_untouched_forms_changes_nothing(owner: Client) -> None:
    before, _ = planning_day.farm_book()
    for address in (
        "/settings/farm/farm/",
        "/settings/room/warm/",
        "/settings/steriliser/steamer/",
        "/settings/route/oyster-blocks/",
        "/settings/variety/oyster/",
        "/settings/worker/ben/",
    ):
        assert owner.post(address, filled(owner, address)).status_code == FOUND, address
    after, _ = planning_day.farm_book()
    assert after == before


def test_a_farm_written_down_under_a_code_of_its_own_is_changed_too(
    owner: Client, shed: Shed
) -> None:
    farm = replace(book_of(shed.day).farm, code="the-shed")
    register_store.write([farm], shed.day, "", now_utc(), retire=[(RegisterKind.FARM, "farm")])
    memory.forget_all()
    address = "/settings/farm/farm/"
    sent = filled(owner, address)
    assert sent["altitude_m"]
    assert owner.post(address, sent | {"altitude_m": "812"}).status_code == FOUND
    changed, _ = planning_day.farm_book()
    assert (changed.farm.altitude_m, changed.farm.code) == (812.0, "the-shed")


def test_owner_says_the_season_of_a_variety(owner: Client) -> None:
    address = "/settings/variety/oyster/"
    sent = filled(owner, address)
    twelve = "1 1 1 0.9 0.8 0.7 0.6 0.7 0.9 1 1 1"
    assert owner.post(address, sent | {"season": twelve}).status_code == FOUND
    book, _ = planning_day.farm_book()
    [variety] = [each for each in book.varieties if each.code == "oyster"]
    assert variety.season[5:7] == (0.7, 0.6)
    assert filled(owner, address)["season"] == twelve.replace(" ", ", ")
    response = owner.post(address, sent | {"season": "1 1 1"})
    assert response.status_code == UNFIT
    assert "January to December" in words(response)


def test_owner_changes_a_room_and_adds_a_shelf(owner: Client) -> None:
    address = "/settings/room/warm/"
    sent = filled(owner, address)
    sent |= {"temperature_c": "24,5", "shelves.2.code": "warm-3", "shelves.2.holds": "40"}
    assert owner.post(address, sent).status_code == FOUND
    book, _ = planning_day.farm_book()
    [room] = [each for each in book.rooms if each.code == "warm"]
    assert room.temperature_c == 24.5
    assert [shelf.code for shelf in room.shelves] == ["warm-1", "warm-2", "warm-3"]


def test_a_shelf_with_living_lots_stays(owner: Client, shed: Shed) -> None:
    address = "/settings/room/warm/"
    sent = filled(owner, address) | {"shelves.0.code": "", "shelves.0.holds": ""}
    before, _ = planning_day.farm_book()
    response = owner.post(address, sent)
    assert response.status_code == UNFIT
    said = words(response)
    assert f"Lot {shed.jars}: 10 units of it need the shelf warm-1." in said
    assert "Keep the shelf, or move or end the lot first." in said
    assert planning_day.farm_book()[0] == before


@pytest.mark.parametrize(
    ("kind", "code", "said"),
    [
        ("culture", "{culture}", "units of it need the culture {culture}."),
        ("room", "warm", "units of it need the shelf warm-1."),
    ],
)
def test_what_living_lots_need_cannot_be_ended(
    owner: Client, shed: Shed, kind: str, code: str, said: str
) -> None:
    before, _ = planning_day.farm_book()
    culture = before.cultures[0].code
    response = owner.post(f"/settings/{kind}/{code.format(culture=culture)}/end/")
    assert response.status_code == CONFLICT
    assert said.format(culture=culture) in words(response)
    assert f"Lot {shed.jars}: 10 units" in words(response)
    assert planning_day.farm_book()[0] == before


def test_owner_adds_a_buyer(owner: Client) -> None:
    sent = {"code": "school", "name": "A school (invented)", "deliver_at": "11:00"}
    assert owner.post("/settings/buyer/new/", sent).status_code == FOUND
    assert "A school (invented)" in words(owner.get("/books/buyers/"))
    again = owner.post("/settings/buyer/new/", sent)
    assert again.status_code == UNFIT
    assert "not taken" in words(again)


def test_a_change_is_a_new_version(owner: Client) -> None:
    address = "/settings/buyer/kitchen/"
    owner.post(address, {**filled(owner, address), "name": "The old kitchen (invented)"})
    said = words(owner.get(address))
    assert "version" in said
    assert "Ada" in said


def test_nonsense_is_named_and_kept_on_the_page(owner: Client) -> None:
    before, _ = planning_day.farm_book()
    address = "/settings/room/warm/"
    good = filled(owner, address)
    for wrong in (
        {"temperature_c": "warm"},
        {"temperature_c": "nan"},
        {"temperature_c": "1e999"},
        {"kind": "ballroom"},
        {"shelves.0.holds": "2.5"},
        {"name": "x" * 5000},
        {"code": "another"},
    ):
        response = owner.post(address, {**good, **wrong})
        assert response.status_code == UNFIT, wrong
        assert "Nothing was saved." in words(response)
    assert planning_day.farm_book()[0] == before
    page = owner.post(address, {**good, "temperature_c": "warm"}).content.decode()
    assert 'value="warm"' in page


def test_what_others_need_cannot_be_ended(owner: Client) -> None:
    before, _ = planning_day.farm_book()
    for address in ("/settings/route/oyster-blocks/end/", "/settings/variety/oyster/end/"):
        assert owner.post(address).status_code == CONFLICT
    assert planning_day.farm_book()[0] == before


def test_owner_ends_what_nobody_needs(owner: Client) -> None:
    owner.post("/settings/buyer/new/", {"code": "school", "name": "A school (invented)"})
    assert owner.post("/settings/buyer/school/end/").status_code == FOUND
    assert "A school" not in words(owner.get("/books/buyers/"))


def test_what_is_not_there_is_a_plain_page(owner: Client) -> None:
    for address in (
        "/settings/room/attic/",
        "/settings/nothing/",
        "/settings/nothing/new/",
        "/settings/promise/",
        "/settings/farm/new/",
    ):
        assert owner.get(address).status_code == MISSING, address


def test_worker_may_not_and_stranger_is_sent_to_sign_in(
    worker: Client, stranger: Client, shed: Shed
) -> None:  # fmt: skip
    assert shed.jobs
    before, _ = planning_day.farm_book()
    for address in (
        "/settings/room/warm/",
        "/settings/room/new/",
        "/settings/room/warm/end/",
        "/settings/farm/farm/",
    ):
        assert worker.post(address, {"name": "x"}).status_code == FORBIDDEN
        assert sent_to_sign_in(stranger, address, post=True)
    assert planning_day.farm_book()[0] == before


def test_owner_puts_a_steriliser_out_of_use_and_back(owner: Client) -> None:
    address = "/settings/outage/new/"
    _, today = planning_day.farm_book()
    given = {
        "code": "seal",
        "what": "steriliser",
        "which": "steamer",
        "from_date": today.isoformat(),
        "until": (today + timedelta(days=2)).isoformat(),
        "note": "new seal",
    }
    assert owner.post(address, {**given, "which": "nothing"}).status_code == UNFIT
    assert owner.post(address, given).status_code == FOUND
    book, _ = planning_day.farm_book()
    assert [each.which for each in book.outages] == ["steamer"]
    assert "steamer" in words(owner.get("/settings/outage/"))
    assert owner.post("/settings/outage/seal/end/").status_code == FOUND
    assert planning_day.farm_book()[0].outages == ()
