"""Books, Cultures: the shelf is seen by all, written on by tap, and cleared by an owner."""

from __future__ import annotations

import re
from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from django.test import Client

from pinset.chain.lotcode import encode
from pinset.chain.register import Culture
from pinset.farm import register_store
from pinset.farm.models import Entry
from pinset.farm.queries.alive import living
from pinset.services.clock import now_utc
from web.asking import BAD, FORBIDDEN, FOUND, MISSING, NO_METHOD, UNFIT, sent_to_sign_in, words
from web.shed import ZONE, Shed, today

TUBE = encode(1)
ADDRESS = f"/books/cultures/{TUBE}/"


def post(client: Client, what: str, tap: str, code: str = TUBE, **sent: object):  # noqa: ANN201
    return client.post(f"/books/cultures/{code}/say/{what}/", {"client_id": tap, **sent})


@pytest.fixture
def wild(shed: Shed) -> str:
    record = Culture("clone-1", "oyster", "a stump by the invented brook", cleared=False)
    register_store.write([record], today() - timedelta(days=1), "", now_utc())
    assert shed.plates
    return record.code


def test_the_shelf_is_told_by_culture_with_the_map(worker: Client, shed: Shed) -> None:
    said = words(worker.get("/books/cultures/"))
    for part in (TUBE, shed.plates, "of 5 transfers", "wake a piece on a plate", "invented source"):
        assert part in said
    assert "If Fridge failed, 1 culture of 1 would be lost." in said
    assert "Stands only here:" in said
    assert shed.jars not in said


def test_strangers_see_nothing_and_strange_lots_are_not_found(
    stranger: Client, worker: Client, shed: Shed, tap: str
) -> None:
    for address in ("/books/cultures/", ADDRESS):
        assert sent_to_sign_in(stranger, address)
    assert sent_to_sign_in(stranger, f"{ADDRESS}say/woken/", post=True)
    assert worker.get(f"/books/cultures/{shed.jars}/").status_code == MISSING
    assert post(worker, "sung", tap).status_code == MISSING
    assert worker.get(f"{ADDRESS}say/woken/").status_code == NO_METHOD


def test_a_lots_page_has_its_forms(worker: Client, shed: Shed) -> None:
    tube, plate = words(worker.get(ADDRESS)), words(worker.get(f"/books/cultures/{shed.plates}/"))
    assert "Woken on a plate" in tube
    assert "Move it into new tubes" in tube
    assert "Measure a plate" not in tube
    assert "Measure a plate" in plate
    assert "Move it into new tubes" not in plate


def test_a_test_is_one_tap_with_what_it_means(worker: Client, shed: Shed, tap: str) -> None:  # noqa: ARG001
    sent = {"pieces": "2", "grew": "2", "days": "2"}
    response = post(worker, "woken", tap, **sent)
    assert response.status_code == FOUND
    assert response.headers["Location"] == ADDRESS
    assert "2 of 2 pieces grew, seen after 2 days" in words(worker.get(ADDRESS))
    assert post(worker, "woken", tap, **sent).status_code == FOUND, "a double tap"
    entry = Entry.objects.get(kind="judge")
    assert entry.person is not None
    assert entry.person.code == "ben"
    assert post(worker, "woken", "c" * 32, pieces="2", grew="0", days="2").status_code == FOUND
    assert "Due. Today: no sound tube moved fewer times stands here" in words(worker.get(ADDRESS))


def test_a_plate_is_measured_with_what_stood_on_paper(worker: Client, shed: Shed, tap: str) -> None:
    hour = f"{now_utc().astimezone(ZoneInfo(ZONE)):%H:%M}"
    day = (today() - timedelta(days=4)).isoformat()
    before = {"before": "12", "before_on": day, "before_at": hour}
    sent = {"radius": "32", "plate": "1"}
    assert post(worker, "measure", tap, shed.plates, **sent, **before).status_code == FOUND
    page = words(worker.get(f"/books/cultures/{shed.plates}/"))
    assert "5.0 mm a day, give or take 0.4" in page
    assert "Plate 1: 32.0 mm" in page
    shelf = words(worker.get("/books/cultures/"))
    assert f"Growth, mm a day Stood at {shed.plates}" in shelf
    assert "5.0 ± 0.4" in shelf


def test_without_the_hour_the_growth_says_so_much_less(
    worker: Client, shed: Shed, tap: str
) -> None:
    day = (today() - timedelta(days=4)).isoformat()
    sent = {"radius": "32", "plate": "1", "before": "12", "before_on": day}
    assert post(worker, "measure", tap, shed.plates, **sent).status_code == FOUND
    told = re.search(
        r"give or take (\d\.\d)", words(worker.get("/books/cultures/" + shed.plates + "/"))
    )
    assert told is not None
    assert float(told[1]) >= 0.7
    [[at, mm, hours], now] = Entry.objects.get(client_id=tap).details["radii"]
    assert (mm, hours, len(now)) == (12.0, 12.0, 2)
    assert datetime.fromisoformat(at).astimezone(ZoneInfo(ZONE)).hour == 12
    wrong = post(worker, "measure", "d" * 32, shed.plates, radius="33", before_at="07:40")
    assert wrong.status_code == UNFIT


def test_new_tubes_are_made_and_their_page_opens(worker: Client, shed: Shed, tap: str) -> None:  # noqa: ARG001
    response = post(worker, "renew", tap, count="3", place="warm-1")
    assert response.status_code == FOUND
    new = re.fullmatch(r"/books/cultures/(\w+)/", response.headers["Location"])
    assert new is not None
    [part] = living(today(), lots=[new[1]])
    assert (part.alive, part.place, part.transfers) == (3, "warm-1", 1)
    assert f"3 tubes {new[1]} made of it" in words(worker.get(f"/books/cultures/{new[1]}/"))


def test_what_cannot_be_is_said_at_its_form_and_writes_nothing(
    worker: Client, shed: Shed, tap: str
) -> None:
    before = Entry.objects.count()
    for what, code, sent in (
        ("woken", TUBE, {}),
        ("woken", TUBE, {"pieces": "2", "grew": "3", "days": "1"}),
        ("woken", TUBE, {"pieces": "2", "grew": "1"}),
        ("measure", shed.plates, {"radius": "900"}),
        ("measure", shed.plates, {"radius": "20", "before": "4"}),
        ("renew", TUBE, {"count": "0", "place": "warm-1"}),
        ("renew", TUBE, {"count": "2", "place": "the moon"}),
    ):
        response = post(worker, what, tap, code, **sent)
        assert response.status_code == UNFIT, (what, sent)
        body = response.content.decode()
        assert body.count('role="alert"') == 1
        assert f'value="{tap}"' in body
    assert Entry.objects.count() == before


def test_a_failed_tube_is_carried_on_only_with_a_reason(
    worker: Client,
    shed: Shed,  # noqa: ARG001
    tap: str,
) -> None:
    post(worker, "woken", "c" * 32, pieces="2", grew="0")
    sent = {"count": "2", "place": "warm-1"}
    response = post(worker, "renew", tap, **sent)
    assert response.status_code == UNFIT
    assert "nothing grew" in words(response)
    assert "Why is it right?" in words(response)
    assert post(worker, "renew", tap, **sent, why="the only one there is").status_code == FOUND


def test_an_owner_clears_a_clone_once_somebody_named_it(
    owner: Client, worker: Client, wild: str, tap: str
) -> None:
    address = f"/books/cultures/{wild}/clear/"
    assert "Clear it for use" not in words(worker.get("/books/cultures/"))
    assert worker.post(address, {"client_id": tap, "origin": "farm"}).status_code == FORBIDDEN
    shown = words(owner.get("/books/cultures/"))
    assert "Not cleared for use." in shown
    assert "Never sell what was cloned from the wild" in shown
    sent = {"client_id": tap, "origin": "wild"}
    assert owner.post(address, sent).status_code == UNFIT
    sent["named_by"] = "an invented expert, ITS"
    response = owner.post(address, sent)
    assert response.status_code == UNFIT
    assert "nothing was picked of it" in words(response)
    sent["why"] = "fruited by the expert"
    assert owner.post(address, sent).status_code == FOUND
    assert "clone-1 is cleared for use" in words(owner.get("/books/cultures/"))


def test_a_clone_is_taken_by_tap_and_waits(worker: Client, shed: Shed, tap: str) -> None:
    address = "/books/cultures/clone/"
    sent = {"client_id": tap, "culture": "fine-one", "count": "3", "place": "warm-1"}
    before = Entry.objects.count()
    for wrong in ({"lot": shed.jars}, {"lot": "22222"}, {"lot": shed.fruiting, "count": "0"}):
        response = worker.post(address, sent | wrong)
        assert response.status_code == UNFIT, wrong
        assert response.content.decode().count('role="alert"') == 1
    assert Entry.objects.count() == before
    response = worker.post(address, sent | {"lot": shed.fruiting})
    assert response.status_code == FOUND
    page = words(worker.get(response.headers["Location"]))
    assert "held back as culture fine-one" in page
    assert "Not cleared for use." in page
    assert "an expert and a gene test" in page
    assert worker.post(address, sent | {"lot": shed.fruiting}).status_code == FOUND, "a double tap"
    assert Entry.objects.count() == before + 1


@pytest.mark.parametrize("code", ["%00", "2222", "MYGU8", "a" * 300, "%3Cb%3E"])
def test_a_code_that_is_none_is_answered_in_words(worker: Client, shed: Shed, code: str) -> None:  # noqa: ARG001
    response = worker.get(f"/books/cultures/{code}/")
    assert response.status_code in {BAD, MISSING, UNFIT}
    assert "<h1>" in response.content.decode()
    sent = {"client_id": "d" * 32, "pieces": "2", "grew": "2", "days": "2"}
    response = worker.post(f"/books/cultures/{code}/say/woken/", sent)
    assert response.status_code in {BAD, MISSING, UNFIT}
    assert not Entry.objects.filter(client_id="d" * 32).exists()
