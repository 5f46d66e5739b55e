"""Requests nobody sends by hand: relays before the first owner, signs no text can hold."""

from __future__ import annotations

import pytest
from django.test import Client

from pinset.farm.models import Entry
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
