"""The page of a load of several mixes asks how many of each went in."""

from __future__ import annotations

import pytest
from django.test import Client

from pinset.chain.plain import to_plain
from pinset.farm import job_store
from pinset.farm.job_store import JobToLay
from pinset.farm.models import Entry, Lot
from pinset.services.jobs.records import JobKind, LotAmount, PlannedJob
from web.asking import CONFLICT, FOUND, OK, UNFIT, words
from web.shed import Shed, book_of

SAWDUST = "beech sawdust with bran"


@pytest.fixture
def load(shed: Shed) -> str:
    """A load of ten jars of rye and four bags of sawdust."""
    book = book_of(shed.day)
    steriliser, route = book.sterilisers[0], book.routes[0].code
    job = PlannedJob(
        "cook:both", JobKind.COOK, "load", shed.day, 14, "units", "vessels into the steamer",
        "steriliser", steriliser=steriliser.code, cook_kind=steriliser.cooks[0].code, step="grain",
        feeds=(LotAmount("", 10, "grain", route), LotAmount("", 4, "block", route)),
    )  # fmt: skip
    row = JobToLay("", job.day, job.kind.value, to_plain(job), "", "grain", 14, "")
    [code] = job_store.add([row])
    return code


def test_each_mix_has_its_number_and_is_booked(worker: Client, load: str, tap: str) -> None:
    page = words(worker.get(f"/jobs/{load}/"))
    assert "How many of each went in?" in page
    assert f"blocks, {SAWDUST} 4 to load" in page
    assert "How many were done?" not in page
    sent = {"client_id": tap, "how": "part", "mix-rye": "3", f"mix-{SAWDUST}": "4"}
    assert worker.post(f"/jobs/{load}/done/", sent).status_code == FOUND
    [entry] = Entry.objects.filter(job=load)
    assert {lot.step for lot in Lot.objects.filter(made_by=entry)} == {"grain", "block"}
    assert [feed["units"] for feed in entry.details["feeds"]] == [3, 4]
    again = words(worker.get(f"/jobs/{load}/"))
    assert "7 of 14 done, 7 left." in again
    assert "grain jars, rye 7 to load" in again


def test_one_tap_loads_all_of_it(worker: Client, load: str, tap: str) -> None:
    assert worker.post(f"/jobs/{load}/done/", {"client_id": tap}).status_code == FOUND
    [entry] = Entry.objects.filter(job=load)
    assert [feed["units"] for feed in entry.details["feeds"]] == [10, 4]


@pytest.mark.parametrize(
    ("sent", "status", "said"),
    [
        ({"mix-rye": "some"}, UNFIT, "a whole number"),
        ({"mix-oats": "2"}, UNFIT, f"rye or {SAWDUST}"),
        ({"count": "9", "how": "part"}, CONFLICT, "Say how many of each"),
    ],
)
def test_what_cannot_be_is_said_on_the_page(
    worker: Client, load: str, tap: str, sent: dict[str, str], status: int, said: str
) -> None:
    response = worker.post(f"/jobs/{load}/done/", {"client_id": tap, **sent})
    assert response.status_code == status
    assert said in words(response)
    assert not Entry.objects.filter(job=load).exists()
    assert worker.get(f"/jobs/{load}/").status_code == OK
