from __future__ import annotations

import pytest
from django.test import Client

from pinset.farm.models import Entry
from web.asking import FOUND, UNFIT, sent_to_sign_in, words
from web.shed import Shed

WAYS = ["not-today", "not-at-all"]


@pytest.mark.parametrize(("way", "kind"), [("not-today", "put off"), ("not-at-all", "drop")])
def test_owner_and_worker_put_a_job_off_with_a_reason(
    owner: Client, worker: Client, shed: Shed, tap: str, way: str, kind: str
) -> None:
    for client, job, at in ((owner, "look", tap), (worker, "soak", tap[::-1])):
        response = client.post(
            f"/jobs/{shed.jobs[job]}/{way}/", {"client_id": at, "reason": "no time left"}
        )
        assert response.status_code == FOUND
        entry = Entry.objects.get(client_id=at)
        assert entry.kind == kind
        assert "no time left" in str(entry.details)


@pytest.mark.parametrize("way", WAYS)
def test_stranger_puts_nothing_off(stranger: Client, shed: Shed, way: str) -> None:
    assert sent_to_sign_in(stranger, f"/jobs/{shed.jobs['look']}/{way}/", post=True)


@pytest.mark.parametrize("way", WAYS)
def test_a_reason_is_needed_and_ones_own_words_will_do(
    worker: Client, shed: Shed, tap: str, way: str
) -> None:
    address = f"/jobs/{shed.jobs['look']}/{way}/"
    response = worker.post(address, {"client_id": tap, "reason": "", "other": " "})
    assert response.status_code == UNFIT
    assert "reason" in words(response)
    worker.post(address, {"client_id": tap, "other": "the lamp is broken"})
    assert "the lamp is broken" in str(Entry.objects.get(client_id=tap).details)


@pytest.mark.parametrize("way", WAYS)
def test_two_taps_are_one_entry(worker: Client, shed: Shed, tap: str, way: str) -> None:
    before = Entry.objects.count()
    for reason in ("no time left", "not ready yet"):
        worker.post(f"/jobs/{shed.jobs['look']}/{way}/", {"client_id": tap, "reason": reason})
    assert Entry.objects.count() == before + 1
