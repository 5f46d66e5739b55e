from __future__ import annotations

from datetime import timedelta

from django.test import Client

from pinset.services.plans import planning_day
from web.asking import FORBIDDEN, FOUND, MISSING, OK, UNFIT, sent_to_sign_in, words
from web.shed import Shed

WEEKLY = {
    "buyer": "market",
    "variety": "oyster",
    "step": "picked",
    "amount": "2.5",
    "weekday": "wed",
}
ADDRESSES = ("/promises/new/", "/promises/kitchen-friday/", "/promises/kitchen-friday/end/")


def _promises() -> dict[str, tuple[int, str]]:
    book, _ = planning_day.farm_book()
    return {each.code: (each.amount, each.measure) for each in book.promises}


def test_owner_adds_a_weekly_promise(owner: Client) -> None:
    assert owner.get("/promises/new/").status_code == OK
    assert owner.post("/promises/new/", WEEKLY).status_code == FOUND
    assert _promises()["market-oyster"] == (2500, "gram")


def test_owner_adds_a_single_one_in_units(owner: Client, shed: Shed) -> None:
    on = (shed.day + timedelta(days=30)).isoformat()
    sent = {**WEEKLY, "step": "block", "amount": "12", "weekday": "", "on_date": on}
    assert owner.post("/promises/new/", sent).status_code == FOUND
    assert (12, "unit") in _promises().values()


def test_owner_changes_and_ends_one(owner: Client) -> None:
    page = owner.get("/promises/kitchen-friday/").content.decode()
    assert 'value="4"' in page
    sent = {**WEEKLY, "buyer": "kitchen", "amount": "5 kg", "weekday": "fri"}
    assert owner.post("/promises/kitchen-friday/", sent).status_code == FOUND
    assert _promises()["kitchen-friday"] == (5000, "gram")
    assert owner.post("/promises/kitchen-friday/end/").status_code == FOUND
    assert owner.get("/promises/nothing/").status_code == MISSING


def test_worker_may_not(worker: Client) -> None:
    for address in ADDRESSES:
        assert worker.post(address, WEEKLY).status_code == FORBIDDEN
    assert worker.get("/promises/new/").status_code == FORBIDDEN
    assert "market-oyster" not in _promises()


def test_stranger_is_sent_to_sign_in(stranger: Client, shed: Shed) -> None:  # noqa: ARG001
    for address in ADDRESSES:
        assert sent_to_sign_in(stranger, address, post=True)


def test_nonsense_is_named_and_nothing_is_saved(owner: Client, shed: Shed) -> None:
    before = _promises()
    past = (shed.day - timedelta(days=1)).isoformat()
    for wrong in (
        {"amount": "-3"},
        {"amount": "0"},
        {"amount": ""},
        {"amount": "five"},
        {"amount": "3 bar"},
        {"step": "block", "amount": "2.5"},
        {"buyer": "nobody"},
        {"variety": "gold"},
        {"step": "nothing"},
        {"weekday": ""},
        {"weekday": "someday"},
        {"weekday": "", "on_date": past},
        {"weekday": "", "on_date": "3000-01-01"},
        {"weekday": "", "on_date": "31.12.2026"},
        {"on_date": (shed.day + timedelta(days=3)).isoformat()},
        {"until": past},
        {"price": "-1"},
    ):
        response = owner.post("/promises/new/", {**WEEKLY, **wrong})
        assert response.status_code == UNFIT, wrong
        assert "Nothing was saved." in words(response)
    assert _promises() == before


def test_what_was_typed_is_kept_and_the_field_is_marked(owner: Client) -> None:
    page = owner.post("/promises/new/", {**WEEKLY, "amount": "lots"}).content.decode()
    assert 'value="lots"' in page
    assert 'aria-invalid="true"' in page
    assert 'id="f-amount-wrong"' in page


def test_only_what_a_route_makes_is_offered_and_accepted(owner: Client) -> None:
    page = owner.get("/promises/new/").content.decode()
    offered = page.split('name="step"')[1].split("</select>")[0]
    assert 'value="picked"' in offered
    assert 'value="block"' in offered
    assert 'value="fruiting"' not in offered
    response = owner.post("/promises/new/", {**WEEKLY, "step": "fruiting", "amount": "12"})
    assert response.status_code == UNFIT
    assert "What: “fruiting” is not accepted." in words(response)
    assert "market-oyster" not in _promises()


def test_a_refused_day_is_named_by_its_screen_name(owner: Client, shed: Shed) -> None:
    past = (shed.day - timedelta(days=1)).isoformat()
    said = words(owner.post("/promises/new/", {**WEEKLY, "weekday": "", "on_date": past}))
    assert f"or once, on: “{past}” is not accepted." in said
    assert "on_date" not in said
