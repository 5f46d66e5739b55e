from __future__ import annotations

from django.test import Client

from web.asking import FOUND, sent_to_sign_in, words
from web.shed import Shed


def test_a_claim_shows_to_others_and_only_its_holder_releases_it(
    owner: Client, worker: Client, shed: Shed
) -> None:
    address = f"/jobs/{shed.jobs['jars']}/"
    assert worker.post(f"{address}claim/").status_code == FOUND
    assert "Ben has it" in words(owner.get(address))
    assert "Ben has it" in words(owner.get("/"))
    assert owner.post(f"{address}claim/").status_code == FOUND
    assert "Somebody else has it" in words(owner.get(address))
    owner.post(f"{address}release/")
    assert "Ben has it" in words(owner.get(address))
    worker.post(f"{address}release/")
    assert "Nobody has it yet." in words(owner.get(address))


def test_stranger_claims_nothing(stranger: Client, shed: Shed) -> None:
    for way in ("claim", "release"):
        assert sent_to_sign_in(stranger, f"/jobs/{shed.jobs['jars']}/{way}/", post=True)
