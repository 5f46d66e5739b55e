"""A reason on a page stands only for what that page had shown to speak against the work."""

from __future__ import annotations

import pytest
from django.test import Client

from pinset.farm.models import Entry
from pinset.services.answers import lot_actions
from web.asking import CONFLICT, FOUND, UNFIT, shown, words
from web.shed import Shed


@pytest.fixture
def held(shed: Shed) -> Shed:
    """Hold the plates back from which jars are to be made."""
    lot_actions.hold(lot_actions.Saying(shed.plates, "ben", "5" * 32), "smells sour")
    return shed


def test_a_reason_given_beforehand_overrules_nothing_that_was_not_shown(
    worker: Client, held: Shed, tap: str
) -> None:
    address, before = f"/jobs/{held.jobs['jars']}/done/", Entry.objects.count()
    sent = {"client_id": tap, "count": "4", "reason": "fewer lids than jars"}
    unseen = worker.post(address, sent)
    assert unseen.status_code == CONFLICT
    assert "is held back: smells sour" in words(unseen)
    assert "given before this was shown" in words(unseen)
    assert 'value="fewer lids than jars"' in unseen.content.decode()
    assert Entry.objects.count() == before
    seen = worker.post(address, {**sent, **shown(unseen)})
    assert seen.status_code == FOUND
    details = Entry.objects.get(client_id=tap).details
    assert details["reason"] == "fewer lids than jars"
    assert any("smells sour" in said for said in details["against"])


def test_of_two_doubts_the_one_that_was_not_shown_is_asked_about(
    worker: Client, held: Shed, tap: str
) -> None:
    address = f"/jobs/{held.jobs['jars']}/done/"
    sent = {"client_id": tap, "count": "4"}
    first = worker.post(address, sent)
    assert first.status_code == CONFLICT
    assert "smells sour" in words(first)
    more = {**sent, **shown(first), "count": "9000", "reason": "to try"}
    second = worker.post(address, more)
    assert second.status_code == CONFLICT
    assert "9000" in words(second)
    assert "smells sour" in shown(second)["shown"], "what was shown stays shown"


def test_a_reason_where_nothing_speaks_against_it_is_kept(
    worker: Client, shed: Shed, tap: str
) -> None:
    sent = {"client_id": tap, "count": "4", "reason": "fewer lids than jars"}
    assert worker.post(f"/jobs/{shed.jobs['jars']}/done/", sent).status_code == FOUND
    details = Entry.objects.get(client_id=tap).details
    assert details["reason"] == "fewer lids than jars"
    assert "against" not in details


def test_what_a_form_of_another_doubt_showed_does_not_count(
    worker: Client, held: Shed, tap: str
) -> None:
    sent = {"client_id": tap, "count": "4", "reason": "to try", "shown": "Something else."}
    assert worker.post(f"/jobs/{held.jobs['jars']}/done/", sent).status_code in {CONFLICT, UNFIT}
