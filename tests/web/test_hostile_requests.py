"""Requests nobody sends by hand: relays before the first owner, signs no text can hold."""

from __future__ import annotations

import pytest
from django.test import Client

from pinset.farm.models import Entry
from pinset.web.client_ids import new_client_id
from web.shed import Shed


@pytest.mark.parametrize(
    "header", ["X-Real-IP", "Via", "Forwarded", "X-Forwarded-Host", "CF-Connecting-IP"]
)
def test_the_first_owner_is_never_made_through_a_relay(db: None, header: str) -> None:  # noqa: ARG001
    client = Client(headers={header: "10.0.0.9"})
    answer = client.get("/first-owner/")
    assert answer.status_code != 200


@pytest.mark.parametrize(
    "address", ["/jobs/J%00/", "/books/lots/%00/", "/books/lots/?query=%00", "/sign-in/?next=%00"]
)
def test_nul_is_answered_in_words(owner: Client, shed: Shed, address: str) -> None:  # noqa: ARG001
    answer = owner.get(address)
    assert answer.status_code == 400
    assert "cannot be read" in answer.content.decode()


def test_undo_with_a_strange_lot_writes_nothing(owner: Client, shed: Shed) -> None:  # noqa: ARG001
    before = Entry.objects.count()
    entry = Entry.objects.order_by("-id").first()
    assert entry is not None
    answer = owner.post(
        f"/entries/{entry.client_id}/undo/",
        {"client_id": "ab" * 16, "reason": "a slip", "lot": "a/b"},
    )
    assert answer.status_code == 422
    assert Entry.objects.count() == before


ABSURD = ("0", "-1", "1e30", "9" * 20, "9" * 400, "NaN", "inf", "text", "x" * 10_000, "3000-01-01")
ASKED = (
    "/books/lots/?page=",
    "/books/lots/?variety=",
    "/books/lots/?stage=",
    "/heat/?page=",
    "/board/?day=",
    "/can-promise/?from=",
    "/how-big/?kg-oyster=",
    "/heat/before/?mass_kg=",
    "/books/labels/?lot=",
    "/mix/?what-1=rye&moisture-1=",
    "/mix/?what-1=rye&rows=",
    "/mix/?what-1=rye&units=",
    "/mix/?what-1=rye&fill=",
    "/mix/?what-1=rye&step=",
    "/mix/?what-1=rye&weighed-1=",
    "/mix/card.pdf?what-1=rye&nitrogen-1=",
    "/mix/cheapest/?what-1=rye&price-1=",
    "/mix/cheapest/?what-1=rye&price-1=1&stock-1=",
    "/mix/cheapest/?what-1=rye&price-1=1&ratio-most=",
    "/week.pdf?paper=",
    "/plan/",
    "/can-promise/",
    "/scan/7K4MV/",
)


@pytest.mark.parametrize("address", ASKED)
def test_no_address_is_answered_with_an_error_page(
    owner: Client, shed: Shed, address: str  # noqa: ARG001
) -> None:  # fmt: skip
    owner.raise_request_exception = False
    for value in ABSURD:
        end = "" if "?" in address else "/"
        assert owner.get(f"{address}{value}{end}").status_code < 500, value


@pytest.mark.parametrize("field", ["at", "count", "lot-7K4MV", "other-lots", "note", "client_id"])
def test_no_field_is_answered_with_an_error_page(owner: Client, shed: Shed, field: str) -> None:
    owner.raise_request_exception = False
    before = Entry.objects.count()
    edges = ("\x00", "0001-01-01T00:00+14:00", "9999-12-31T23:59-14:00", "0001-01-01T00:00")
    for value in (*ABSURD[1:], *edges):
        sent = {"client_id": new_client_id(), "lots-shown": "yes", field: value}
        answer = owner.post(f"/jobs/{shed.jobs['shake']}/done/", sent)
        assert answer.status_code < 500, value
    if field == "at":
        assert Entry.objects.count() == before
