"""The round of the rooms: readings with units, warnings with cautions, a room's weeks."""

from __future__ import annotations

import re
from datetime import UTC, datetime, timedelta

import pytest
from django.test import Client

from pinset.farm.models import Entry
from pinset.services.looking.readings import Readings
from pinset.services.looking.room_views import RoundRow
from pinset.web.round_svg import lines_of
from web.asking import FOUND, MISSING, NO_METHOD, OK, UNFIT, sent_to_sign_in, words
from web.shed import Shed

AT = datetime(2026, 3, 1, 8, 0, tzinfo=UTC)


def grow_room(client: Client) -> str:
    """Return the code of the grow room, as the page names it."""
    found = re.search(r'name="([\w-]+)-temperature"', client.get("/look/rooms/").content.decode())
    assert found
    return found[1]


def test_a_round_is_written_and_shown_with_its_room(
    owner: Client, worker: Client, shed: Shed, tap: str
) -> None:
    assert shed
    room = grow_room(worker)
    sent = {
        f"{room}-temperature": "70 F",
        f"{room}-humidity": "88 %",
        f"{room}-co2": "0.09 %",
        f"{room}-flies": "12",
        f"{room}-traps": "2",
        f"{room}-days": "3",
        "note": "the fan hums",
    }
    for _time in range(2):
        response = worker.post("/look/rooms/", {"client_id": tap, **sent})
        assert response.status_code == FOUND
    entry = Entry.objects.get(kind="round")
    assert entry.details["measured"]["temperature_c"] == pytest.approx(21.111, abs=1e-3)
    assert entry.details["measured"]["co2_ppm"] == pytest.approx(900)
    assert entry.details["measured"]["flies_per_trap_day"] == 2.0
    said = words(owner.get(f"/look/rooms/{room}/"))
    for word in ("21.1 °C", "88 %", "900 ppm", "the fan hums", "Ben"):
        assert word in said
    assert "21.1 °C" in words(worker.get("/look/rooms/"))


def test_what_is_out_of_range_is_said_once_it_is_written(
    worker: Client, shed: Shed, tap: str
) -> None:
    assert shed
    room = grow_room(worker)
    worker.post("/look/rooms/", {"client_id": tap, f"{room}-co2": "6000"})
    said = words(worker.get("/look/rooms/"))
    assert "at or above the 5,000 ppm" in said
    assert "Air it before anybody stays in it" in said


@pytest.mark.parametrize(
    ("field", "typed", "said"),
    [
        ("temperature", "400", "-10 °C to 60 °C"),
        ("temperature", "warm", "°C, °F, K"),
        ("humidity", "130", "0 to 100 %"),
        ("co2", "a lot", "800 ppm or 0.08 %"),
        ("flies", "-3", "a whole number"),
        ("days", "soon", "a number from 0"),
        ("nothing", "", "something read off"),
    ],
)
def test_absurd_readings_are_refused_and_stand_again(
    worker: Client, shed: Shed, tap: str, field: str, typed: str, said: str
) -> None:
    assert shed
    room = grow_room(worker)
    sent = {"client_id": tap, f"{room}-{field}": typed}
    response = worker.post("/look/rooms/", sent)
    assert response.status_code == UNFIT
    assert "Nothing was saved." in words(response)
    assert said in words(response)
    if typed:
        assert f'value="{typed}"' in response.content.decode()
    assert not Entry.objects.filter(kind="round").exists()


def test_the_page_of_a_room_with_nothing_read_and_of_none(worker: Client, shed: Shed) -> None:
    assert shed
    room = grow_room(worker)
    assert "Nothing was read off here" in words(worker.get(f"/look/rooms/{room}/"))
    assert worker.get("/look/rooms/cellar/").status_code == MISSING
    assert worker.post(f"/look/rooms/{room}/").status_code == NO_METHOD
    assert worker.get("/look/rooms/").status_code == OK
    assert f'href="/look/rooms/{room}/"' in worker.get("/books/rooms/").content.decode()


def test_stranger_sees_nothing(stranger: Client, shed: Shed) -> None:
    assert shed
    assert sent_to_sign_in(stranger, "/look/rooms/")
    assert sent_to_sign_in(stranger, "/look/rooms/warm/")
    assert sent_to_sign_in(stranger, "/look/rooms/", post=True)


def row(days: float, **readings: float) -> RoundRow:
    return RoundRow(AT + timedelta(days=days), "Ben", Readings(**readings), "")  # type: ignore[arg-type]


def test_a_line_runs_from_the_first_reading_to_the_last() -> None:
    [line] = lines_of(
        [row(0, temperature_c=14.0), row(1, temperature_c=18.0), row(4, temperature_c=16.0)]
    )
    assert line.words == "Temperature: 14 °C to 18 °C, last 16 °C"
    xs, ys = zip(*line.dots, strict=True)
    assert xs == (8.0, 84.0, 312.0)  # 8 + 304 * days / 4
    assert ys == (76.0, 8.0, 42.0)  # the lowest at the foot, the highest on top
    assert line.points == "8.0,76.0 84.0,8.0 312.0,42.0"


def test_one_reading_makes_no_line_and_equal_ones_a_flat_one() -> None:
    assert lines_of([row(0, co2_ppm=800.0)]) == ()
    assert lines_of([]) == ()
    [line] = lines_of([row(0, co2_ppm=800.0), row(2, co2_ppm=800.0)])
    assert {y for _x, y in line.dots} == {76.0}
