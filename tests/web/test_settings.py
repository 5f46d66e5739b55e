from __future__ import annotations

import pytest
from django.test import Client

from web.asking import FORBIDDEN, OK, sent_to_sign_in, words
from web.shed import Shed

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
    monkeypatch.setattr("pinset.services.settings_page.remarks", lambda: (said,))
    assert said in owner.get("/settings/").content.decode()
