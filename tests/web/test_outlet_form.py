"""An owner describes an outlet on its page; slips are said at their field."""

from __future__ import annotations

import pytest
from django.test import Client

from pinset.chain.register import Outlet, OutletKind, Weekday
from pinset.services.plans import planning_day
from web.asking import FORBIDDEN, FOUND, MISSING, OK, UNFIT, sent_to_sign_in, words
from web.shed import Shed

STALL = {
    "name": "Stall by the bridge",
    "kind": "market",
    "weekdays": ["sat", "sun"],
    "varieties": ["oyster"],
    "price": "11.50",
    "least": "2",
    "most": "12 kg",
    "deliver_at": "06:30",
    "buyer": "market",
    "note": "cash",
}
ADDRESSES = ("/books/outlets/new/", "/books/outlets/drier/", "/books/outlets/drier/end/")


def outlet(code: str) -> Outlet:
    book, _ = planning_day.farm_book()
    return next(each for each in book.outlets if each.code == code)


def test_owner_adds_one_changes_it_and_ends_it(owner: Client) -> None:
    assert owner.get("/books/outlets/new/").status_code == OK
    assert owner.post("/books/outlets/new/", STALL).status_code == FOUND
    expected = Outlet(
        "stall-by-the-bridge",
        "Stall by the bridge",
        OutletKind.MARKET,
        (Weekday.SAT, Weekday.SUN),
        ("oyster",),
        1150,
        2000,
        12_000,
        "06:30",
        "market",
        note="cash",
    )
    assert outlet("stall-by-the-bridge") == expected
    page = owner.get("/books/outlets/stall-by-the-bridge/").content.decode()
    for shown in ('value="11.5"', 'value="2"', 'value="12"', 'value="sat" checked'):
        assert shown in page
    assert owner.post("/books/outlets/new/", STALL).status_code == FOUND
    assert outlet("stall-by-the-bridge-2").name == "Stall by the bridge"
    changed = {**STALL, "price": "", "most": "", "weekdays": []}
    assert owner.post("/books/outlets/stall-by-the-bridge/", changed).status_code == FOUND
    after = outlet("stall-by-the-bridge")
    assert (after.price_cents_per_kg, after.most_g, after.weekdays) == (None, None, ())
    assert owner.post("/books/outlets/stall-by-the-bridge/end/").status_code == FOUND
    book, _ = planning_day.farm_book()
    assert "stall-by-the-bridge" not in {each.code for each in book.outlets}


def test_drying_keeps_its_ratio_with_its_source(owner: Client) -> None:
    drying = {"name": "Attic", "kind": "drying", "price": "80", "fresh_per_dry": "9,5"}
    assert owner.post("/books/outlets/new/", drying).status_code == FOUND
    assert "9.5 kg fresh for 1 kg dry (common practice, no source)" in words(
        owner.get("/books/outlets/")
    )
    weighed = {**drying, "ratio_source": "weighed here in May"}
    assert owner.post("/books/outlets/attic/", weighed).status_code == FOUND
    assert outlet("attic").ratio_source == "weighed here in May"
    assert "(weighed here in May)" in words(owner.get("/books/outlets/"))


@pytest.mark.parametrize(
    ("changes", "told"),
    [
        ({"name": ""}, "a name"),
        ({"kind": "cellar"}, "market, kitchen, drying"),
        ({"kind": "drying"}, "how much fresh makes one dry"),
        ({"kind": "drying", "fresh_per_dry": "10", "price": ""}, "the price of dry weight"),
        ({"fresh_per_dry": "10"}, "it is not for drying"),
        ({"most": "1"}, "the least or more"),
        ({"weekdays": ["someday"]}, "mon, tue"),
        ({"varieties": ["gold"]}, "oyster"),
        ({"buyer": "nobody"}, "one of the buyers"),
        ({"deliver_at": "7"}, "07:30"),
        ({"from_date": "2026-05-02", "until": "2026-05-01"}, "or later"),
        ({"price": "-1"}, "a number from 0"),
    ],
)
def test_slips_are_said_and_nothing_is_written(
    owner: Client, changes: dict[str, object], told: str
) -> None:
    answer = owner.post("/books/outlets/new/", {**STALL, **changes})
    assert answer.status_code == UNFIT
    assert told in words(answer)
    if "name" not in changes:
        assert 'value="Stall by the bridge"' in answer.content.decode(), "nothing is typed twice"
    book, _ = planning_day.farm_book()
    assert [each.code for each in book.outlets] == ["market-extra", "drier"]


def test_worker_may_not_and_stranger_is_sent_to_sign_in(worker: Client, stranger: Client) -> None:
    for address in ADDRESSES:
        assert worker.post(address, STALL).status_code == FORBIDDEN
        assert sent_to_sign_in(stranger, address, post=True)
    assert worker.get(ADDRESSES[0]).status_code == FORBIDDEN


def test_one_that_is_not_there_is_missing(owner: Client, shed: Shed) -> None:  # noqa: ARG001
    assert owner.get("/books/outlets/gone/").status_code == MISSING
    assert owner.post("/books/outlets/gone/end/").status_code == MISSING
    assert owner.get("/settings/outlet/").status_code == MISSING
