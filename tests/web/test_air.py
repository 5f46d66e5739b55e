"""The pages of Air: filled from the farm's records, answered, kept when refused."""

from __future__ import annotations

import pytest
from django.test import Client

from web.asking import OK, UNFIT, sent_to_sign_in, words
from web.shed import Shed

ROOM = "/air/room/warm/"
FILLED = {
    "volume": "60",
    "temperature": "16 C",
    "humidity": "90",
    "co2": "1000",
    "outside": "5",
    "outside-humidity": "60",
    "outdoor-co2": "420",
    "other-kg": "500",
    "other": "oyster.fruiting",
    "mist": "cold",
    "mist-water": "12",
    "coil": "4",
    "fan-pressure": "150",
    "fan-share": "40",
}


def test_air_stands_in_the_menu_and_lists_the_rooms(owner: Client, worker: Client) -> None:
    for client in (owner, worker):
        said = client.get("/air/").content.decode()
        assert 'href="/air/"' in said
        assert 'href="/air/room/warm/"' in said
    assert 'href="/air/"' in worker.get("/more/").content.decode()


def test_the_form_is_filled_from_the_ledger(worker: Client) -> None:
    page = worker.get(ROOM).content.decode()
    assert 'name="temperature"' in page
    assert "Grey oyster" in page
    assert 'id="verdict"' not in page


def test_a_filled_form_is_answered_with_its_cautions(worker: Client) -> None:
    response = worker.get(ROOM, FILLED)
    assert response.status_code == OK
    said = words(response)
    assert "of fresh air holds 1,000 ppm" in said
    assert "Worth measuring first." in said
    assert "never go in alone" in said
    assert "A prediction and no proof." in said
    assert 'value="16 C"' in response.content.decode()


@pytest.mark.parametrize(
    ("field", "typed", "why"),
    [
        ("humidity", "0", "1 to 100 % relative humidity"),
        ("volume", "", "Air in the room is still empty"),
        ("least-fresh", "-5", "0 m³/h or more"),
        ("coil", "18", "below the room"),
        ("other", "cow.fruiting", "one of those listed"),
    ],
)
def test_what_is_refused_is_kept(worker: Client, field: str, typed: str, why: str) -> None:
    response = worker.get(ROOM, {**FILLED, field: typed})
    assert response.status_code == UNFIT
    assert why in words(response)
    assert 'value="500"' in response.content.decode()


def test_an_unknown_room_is_told(worker: Client) -> None:
    assert worker.get("/air/room/nowhere/").status_code != OK


def test_stranger_is_sent_to_sign_in(stranger: Client, shed: Shed) -> None:  # noqa: ARG001
    assert sent_to_sign_in(stranger, "/air/")
    assert sent_to_sign_in(stranger, ROOM)


CLEAN = {
    "volume": "30",
    "fresh": "600",
    "leak-in": "20",
    "filter": "filter.h14",
    "people": "1",
    "clothes": "clean-clothes",
    "mixing": "2",
    "target": "7",
}
READINGS = "\n".join(f"{minute} {800 + 30 * minute}" for minute in range(0, 16, 2))


def test_clean_room_is_answered_and_refused(worker: Client) -> None:
    assert "What changes cost" in words(worker.get("/air/clean/"))
    said = words(worker.get("/air/clean/", CLEAN))
    assert "At work this room" in said
    assert "What helps most" in said
    assert "First air: nothing, hands included" in said
    response = worker.get("/air/clean/", {**CLEAN, "fresh": "-1"})
    assert response.status_code == UNFIT
    assert "0 m³/h or more" in words(response)


def test_closed_vent_test_is_answered_and_kept_when_refused(worker: Client) -> None:
    form = {"readings": READINGS, "volume": "60", "temperature": "18", "outdoor-co2": "420"}
    said = words(worker.get("/air/vents/", form))
    assert "This room gives off" in said
    assert "as measured CO2 on the page of the room" in said
    assert "never go in alone" in said
    response = worker.get("/air/vents/", {**form, "volume": ""})
    assert response.status_code == UNFIT
    assert "14 1220" in response.content.decode()


def test_bench_is_answered_and_refused(worker: Client) -> None:
    said = words(worker.get("/air/bench/", {"speeds": "0.45 0.3"}))
    assert "1 of the points are out of the window" in said
    response = worker.get("/air/bench/", {"speeds": "-1 0.4"})
    assert response.status_code == UNFIT
    assert "-1 0.4" in response.content.decode()
