"""Where a lot stands on several shelves, the pages offer them and book where it was said."""

from __future__ import annotations

import pytest
from django.test import Client

from pinset.chain.plain import to_plain
from pinset.farm import job_store, whereabouts
from pinset.farm.job_store import JobToLay
from pinset.services.answers import lot_actions
from pinset.services.jobs.records import JobKind, LotAmount, PlannedJob
from web.asking import FOUND, UNFIT, words
from web.shed import Shed

FIRST, OTHER = "warm-1", "warm-2"


@pytest.fixture
def spread(shed: Shed) -> str:
    """Carry 3 of the jars to another shelf."""
    lot_actions.move(lot_actions.Saying(shed.jars, "ben", "5" * 32), 3, OTHER)
    return shed.jars


@pytest.fixture
def discard(shed: Shed, spread: str) -> str:
    job = PlannedJob(
        "discard:a", JobKind.DISCARD, "discard", shed.day, 2, "units", "jars", "incubation",
        stage="grain", step="grain", lots=(LotAmount(spread, 2, "grain", place=FIRST),),
    )  # fmt: skip
    [code] = job_store.add([JobToLay("", job.day, "discard", to_plain(job), "", "grain", 2, "")])
    return code


def standing(lot: str) -> dict[str, int]:
    return {each.place: each.quantity for each in whereabouts.units_of([lot])[lot]}


def test_the_page_offers_each_shelf_and_begins_with_the_one_meant(
    worker: Client, discard: str, spread: str
) -> None:
    page = worker.get(f"/jobs/{discard}/").content.decode()
    assert f'name="shelf-{spread}"' in page
    assert f"as planned: {FIRST}" in page
    assert f'<option value="{OTHER}">{OTHER}, 3 there</option>' in page


@pytest.mark.parametrize("shelf", [FIRST, OTHER])
def test_of_a_lot_in_hand_the_shelf_is_said_too(
    worker: Client, spread: str, tap: str, shelf: str
) -> None:
    page = worker.get(f"/scan/{spread}/").content.decode()
    assert f'name="shelf-{spread}"' in page
    assert f'<option value="{OTHER}">{OTHER}, 3 there</option>' in page
    before = standing(spread)
    sent = {
        "client_id": tap, "deed": "lose", "held": spread, "one": "yes", "choice": "green-dust",
        f"units-{spread}": "2", f"shelf-{spread}": shelf,
    }  # fmt: skip
    assert worker.post("/scan/do/", sent).status_code == FOUND
    assert standing(spread) == before | {shelf: before[shelf] - 2}


def test_of_a_lot_on_one_shelf_none_is_asked_for(worker: Client, shed: Shed) -> None:
    assert 'name="shelf-' not in worker.get(f"/scan/{shed.jars}/").content.decode()


@pytest.mark.parametrize("shelf", ["", OTHER])
def test_it_is_booked_where_it_was_said(
    worker: Client, discard: str, spread: str, tap: str, shelf: str
) -> None:
    before = standing(spread)
    sent = {
        "client_id": tap, "count": "2", "lots-shown": "yes", "reason": "invented",
        f"lot-{spread}": "2", f"shelf-{spread}": shelf,
    }  # fmt: skip
    assert worker.post(f"/jobs/{discard}/done/", sent).status_code == FOUND
    at = shelf or FIRST
    assert standing(spread) == before | {at: before[at] - 2}


def test_the_shelf_may_stand_behind_a_code_that_is_typed(
    worker: Client, discard: str, spread: str, tap: str
) -> None:
    before = standing(spread)
    typed = {"other-lots": f"{spread}@{OTHER} 1, {spread} @ {FIRST} 1", "reason": "invented"}
    sent = {"client_id": tap, "count": "2", "lots-shown": "yes", **typed}
    assert worker.post(f"/jobs/{discard}/done/", sent).status_code == FOUND
    assert standing(spread) == {place: units - 1 for place, units in before.items()}


def test_too_many_from_a_shelf_are_asked_about_with_all_that_was_typed(
    worker: Client, discard: str, spread: str, tap: str
) -> None:
    before = standing(spread)
    sent = {
        "client_id": tap, "count": "9", "lots-shown": "yes", "reason": "invented",
        f"lot-{spread}": "9", f"shelf-{spread}": OTHER,
    }  # fmt: skip
    response = worker.post(f"/jobs/{discard}/done/", sent)
    assert response.status_code == UNFIT
    assert f"3 on {OTHER}" in words(response)
    assert f'<option value="{OTHER}" selected>' in response.content.decode()
    assert standing(spread) == before


def test_the_page_of_a_lot_asks_from_which_shelf(worker: Client, spread: str, tap: str) -> None:
    before = standing(spread)
    page = words(worker.get(f"/books/lots/{spread}/"))
    assert page.count("From which shelf?") == 3
    sent = {"client_id": tap, "count": "1", "reason": "broken", "shelf": OTHER}
    assert worker.post(f"/books/lots/{spread}/say/cull/", sent).status_code == FOUND
    assert standing(spread) == before | {OTHER: before[OTHER] - 1}


def test_the_page_of_a_lot_on_one_shelf_asks_nothing(worker: Client, shed: Shed) -> None:
    assert "From which shelf?" not in words(worker.get(f"/books/lots/{shed.jars}/"))
