from __future__ import annotations

import pytest
from django.test import Client

from pinset.farm.models import Entry
from pinset.services.answers.lot_counts import places_to_count
from web.asking import CONFLICT, FOUND, MISSING, UNFIT, sent_to_sign_in, words
from web.shed import Shed

WAYS = {
    "lose": ({"count": "2", "reason": "green mould"}, "lose"),
    "cull": ({"count": "1", "reason": "broken"}, "cull"),
    "move": ({"count": "10", "place": "warm-2"}, "move"),
    "recount": ({"count": "9"}, "correct"),
    "hold": ({"reason": "smells sour"}, "judge"),
    "ready": ({"ready_on": "2026-12-24"}, "judge"),
    "note": ({"note": "a little wet"}, "note"),
}


@pytest.mark.parametrize("way", WAYS)
def test_owner_and_worker_say_it_and_the_lots_page_shows_it(
    owner: Client, worker: Client, shed: Shed, tap: str, way: str
) -> None:
    sent, kind = WAYS[way]
    address = f"/books/lots/{shed.jars}/"
    before = Entry.objects.count()
    for client, at in ((worker, tap), (worker, tap)):
        response = client.post(f"{address}say/{way}/", {"client_id": at, **sent})
        assert response.status_code == FOUND
    assert Entry.objects.count() == before + 1, "a double tap is one entry"
    entry = Entry.objects.get(client_id=tap)
    assert entry.kind == kind
    assert entry.person is not None
    assert entry.person.code == "ben"
    assert shed.jars in words(owner.get(address))


def test_a_held_lot_can_be_offered_again(worker: Client, shed: Shed, tap: str) -> None:
    address = f"/books/lots/{shed.jars}/"
    worker.post(f"{address}say/hold/", {"client_id": tap, "reason": "smells sour"})
    assert "Held back." in words(worker.get(address))
    worker.post(f"{address}say/release/", {"client_id": tap[::-1]})
    assert "Held back." not in words(worker.get(address))


@pytest.mark.parametrize("way", [*WAYS, "release"])
def test_stranger_says_nothing(stranger: Client, shed: Shed, way: str) -> None:
    assert sent_to_sign_in(stranger, f"/books/lots/{shed.jars}/say/{way}/", post=True)


def test_nonsense_is_refused_and_nothing_is_written(worker: Client, shed: Shed, tap: str) -> None:
    before = Entry.objects.count()
    address = f"/books/lots/{shed.jars}/say/"
    for way, wrong in (
        ("lose", {"count": "0"}),
        ("lose", {"count": "-2"}),
        ("lose", {}),
        ("cull", {"count": "1", "reason": ""}),
        ("move", {"count": "1", "place": "the moon"}),
        ("ready", {"ready_on": ""}),
        ("ready", {"ready_on": "soon"}),
        ("note", {"note": " "}),
        ("hold", {"reason": ""}),
    ):
        response = worker.post(f"{address}{way}/", {"client_id": tap, **wrong})
        assert response.status_code == UNFIT, (way, wrong)
    assert worker.post(f"{address}sing/", {"client_id": tap}).status_code == MISSING
    assert Entry.objects.count() == before


def test_more_than_stands_there_is_asked_about_with_all_that_was_sent(
    worker: Client, shed: Shed, tap: str
) -> None:
    before = Entry.objects.count()
    address = f"/books/lots/{shed.jars}/say/lose/"
    sent = {"client_id": tap, "count": "999", "reason": "green mould"}
    response = worker.post(address, sent)
    assert response.status_code == CONFLICT
    page = response.content.decode()
    assert "999 units are said of" in page
    assert f'<input type="hidden" name="client_id" value="{tap}">' in page
    assert '<input type="hidden" name="count" value="999">' in page
    assert 'name="why"' in page
    assert Entry.objects.count() == before
    assert worker.post(address, {**sent, "why": "an old tray"}).status_code == FOUND
    entry = Entry.objects.get(client_id=tap)
    assert (entry.details["cause"], entry.details["why"]) == ("green mould", "an old tray")
    again = worker.get(f"/books/lots/{shed.jars}/")
    assert "count again" in words(again), "what is unexplained can be counted"
    assert worker.post(address, {**sent, "count": "3"}).status_code == CONFLICT
    assert Entry.objects.count() == before + 1


def test_a_lot_at_two_places_is_asked_for_at_each(worker: Client, shed: Shed, tap: str) -> None:
    address = f"/books/lots/{shed.jars}/"
    worker.post(f"{address}say/move/", {"client_id": tap[::-1], "count": "2", "place": "warm-2"})
    shown = worker.get(address).content.decode()
    names = [f'name="{name}-{number}"' for name in ("place", "count") for number in (0, 1)]
    assert all(name in shown for name in names)
    assert 'id="recount-count"' not in shown
    places = {f"place-{n}": place for n, (place, _) in enumerate(places_to_count(shed.jars))}
    refused = worker.post(f"{address}say/recount/", {"client_id": tap, "count": "9"})
    assert refused.status_code == CONFLICT
    counts = {"count-0": "1", "count-1": "1"}
    sent = {"client_id": tap, **places, **counts}
    assert worker.post(f"{address}say/recount/", sent).status_code == FOUND
    assert {units for _, units in places_to_count(shed.jars)} == {1}


def test_of_what_fruits_the_day_of_the_next_flush_is_said(
    worker: Client, shed: Shed, tap: str
) -> None:
    address = f"/books/lots/{shed.fruiting}/"
    page = words(worker.get(address))
    assert "Its next flush comes on another day" in page
    assert "It will be ready on another day" not in page
    assert "Its next flush" not in words(worker.get(f"/books/lots/{shed.jars}/"))
    sent = {"client_id": tap, "ready_on": "2026-12-24"}
    assert worker.post(f"{address}say/ready/", sent).status_code == FOUND
    assert Entry.objects.get(client_id=tap).kind == "judge"
