"""Where a moment is unlikely the form asks for a reason in a field of its own; a note is none."""

from __future__ import annotations

import re
from datetime import timedelta

import pytest
from django.test import Client

from pinset.farm.models import Entry
from pinset.services.clock import now_utc
from web.asking import FOUND, OK
from web.shed import Shed

WHY = 'name="why"'


def _addresses(client: Client, shed: Shed) -> dict[str, tuple[str, dict[str, str]]]:
    rooms = client.get("/look/rooms/").content.decode()
    found = re.search(r'name="([\w-]+)-temperature"', rooms)
    assert found
    return {
        "look": (f"/look/{shed.jars}/", {"well": "yes"}),
        "round": ("/look/rooms/", {f"{found[1]}-temperature": "15"}),
        "lot": (f"/books/lots/{shed.jars}/say/lose/", {"count": "1", "reason": "green-dust"}),
        "chore": ("/books/upkeep/chore/bench-clean/done/", {"how": "done"}),
    }


@pytest.mark.parametrize("form", ["look", "round", "lot", "chore"])
def test_the_reason_is_asked_in_its_own_field(
    worker: Client, shed: Shed, tap: str, form: str
) -> None:
    address, sent = _addresses(worker, shed)[form]
    shown = worker.get(re.sub(r"(say/lose|done)/$", "", address))
    assert shown.status_code == OK
    assert WHY not in shown.content.decode()
    at = (now_utc() - timedelta(days=300)).isoformat()
    sent |= {"client_id": tap, "at": at, "note": "copied from paper"}
    before = Entry.objects.count()
    asked = worker.post(address, sent)
    page = asked.content.decode()
    assert asked.status_code in {409, 422}
    assert "300 days ago" in page
    assert WHY in page
    assert tap in page
    assert at in page, "the moment is sent again with the reason"
    assert Entry.objects.count() == before
    assert worker.post(address, {**sent, "why": "found the old book"}).status_code == FOUND
    assert Entry.objects.count() > before
