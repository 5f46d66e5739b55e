"""A round is written room by room, answers the day's round and says what is out of range."""

from __future__ import annotations

import secrets
from collections.abc import Callable
from dataclasses import replace
from datetime import timedelta

import pytest

from farm.small_farm import NOW, TODAY
from pinset.chain.register import FarmBook, Room, RoomKind, Shelf
from pinset.errors import InputError, RefusedError
from pinset.farm import job_store, register_store
from pinset.farm.check import check
from pinset.farm.models import Entry
from pinset.farm.queries.rounds import rounds_between
from pinset.services.answers import claims, recording
from pinset.services.jobs.records import JobKind
from pinset.services.looking.readings import Readings
from pinset.services.looking.room_views import room_history, rooms_to_read
from pinset.services.looking.walked import RoomRead, Walk, walked

LayJob = Callable[..., str]
MILD = Readings(temperature_c=15.0, humidity_percent=87.0, co2_ppm=800.0)


def walk(client_id: str = "", **more: object) -> Walk:
    return Walk("ben", client_id or secrets.token_hex(16), **more)  # type: ignore[arg-type]


def grow(readings: Readings = MILD) -> list[RoomRead]:
    return [RoomRead("grow", readings)]


def past() -> list[tuple[str, dict[str, float]]]:
    found = rounds_between(NOW - timedelta(days=90), NOW + timedelta(days=9))
    return [(each.room, dict(each.readings)) for each in found]


def test_each_room_is_an_entry_with_what_was_read_off(stock: dict[str, str]) -> None:
    assert stock
    flies = Readings(flies=0, traps=3, trap_days=7.0)
    done = walked(walk(note="the fan hums"), [*grow(), RoomRead("inc", flies)])
    assert done.sentence == "Written down: Grow room and Incubation."
    assert done.findings == ()
    assert past() == [
        ("grow", {"temperature_c": 15.0, "humidity_percent": 87.0, "co2_ppm": 800.0}),
        ("inc", {"flies": 0, "traps": 3, "trap_days": 7.0, "flies_per_trap_day": 0.0}),
    ]
    assert check() == ()


def test_the_same_tap_is_one_round_and_another_answer_is_refused(stock: dict[str, str]) -> None:
    assert stock
    tap = secrets.token_hex(16)
    walked(walk(tap), grow())
    assert walked(walk(tap), grow()).already
    assert Entry.objects.filter(kind="round").count() == 1
    with pytest.raises(RefusedError, match="sent before"):
        walked(walk(tap), grow(replace(MILD, temperature_c=16.0)))


def test_a_round_somebody_else_has_in_hand_is_answered_and_said(
    lay: LayJob, stock: dict[str, str]
) -> None:
    assert stock
    job = lay(JobKind.ROUND, count=1, unit="rooms", variety="")
    claims.claim(job, "ada")
    assert walked(walk(), grow()).findings == ("Ada has that job in hand: say that it is done.",)


def test_it_answers_the_round_of_the_day(lay: LayJob, stock: dict[str, str]) -> None:
    assert stock
    job = lay(JobKind.ROUND, count=1, unit="rooms", variety="")
    walked(walk(), [RoomRead("inc", MILD)])
    row = job_store.job_by_code(job)
    assert row is not None
    assert not row.is_closed, "an incubation room is not what the round asks for"
    walked(walk(), grow())
    row = job_store.job_by_code(job)
    assert row is not None
    assert row.is_closed
    assert [entry.count for entry in job_store.entries_of([job])] == [1]
    walked(walk(), grow())
    assert len(job_store.entries_of([job])) == 1


def test_a_room_read_twice_counts_once_for_the_round(lay: LayJob, stock: dict[str, str]) -> None:
    assert stock
    job = lay(JobKind.ROUND, count=2, unit="rooms", variety="")
    walked(walk(), grow())
    walked(walk(), grow())
    row = job_store.job_by_code(job)
    assert row is not None
    assert not row.is_closed
    recording.done(job, person="ada", client_id=secrets.token_hex(16))
    assert past() == [("grow", past()[0][1])] * 2, "a walk without readings is no reading"


OUT: dict[str, tuple[Readings, tuple[str, ...]]] = {
    "warm": (
        Readings(temperature_c=24.0),
        ("24 °C is above the 10 °C to 20 °C in which Grey oyster fruits", "Stamets"),
    ),
    "cold": (Readings(temperature_c=4.0), ("4 °C is below the 10 °C to 20 °C",)),
    "dry": (Readings(humidity_percent=60.0), ("60 % humidity is below the 85 %",)),
    "stuffy": (
        Readings(co2_ppm=1800.0),
        ("1,800 ppm carbon dioxide is above the up to 1,000 ppm carbon dioxide",),
    ),
    "bad for people": (
        Readings(co2_ppm=5000.0),
        ("at or above the 5,000 ppm", "Look at the meter at the door", "Decided by:"),
    ),
    "deadly": (Readings(co2_ppm=30000.0), ("Nobody goes in.", "at 30,000 ppm nobody goes in")),
    "a broken meter": (Readings(co2_ppm=40.0), ("less than fresh air has",)),
}
"""Oyster: Stamets 1993 and the spawn maker's sheets, as in the table of room air; people: the
limits of the table of practice (OSHA, NIOSH, from memory)."""


@pytest.mark.parametrize("name", OUT)
def test_what_is_out_of_range_is_said_with_its_caution(name: str, stock: dict[str, str]) -> None:
    assert stock
    readings, words = OUT[name]
    findings = " ".join(walked(walk(), grow(readings)).findings)
    for word in words:
        assert word in findings


def test_people_come_before_mushrooms(stock: dict[str, str]) -> None:
    assert stock
    first, *_rest = walked(walk(), grow(Readings(temperature_c=30.0, co2_ppm=6000.0))).findings
    assert "6,000 ppm" in first


def test_a_room_in_which_nothing_fruits_has_no_climate_to_hold(farm: FarmBook) -> None:
    assert farm
    assert walked(walk(), grow(Readings(temperature_c=30.0))).findings == ()


def test_the_farms_own_temperature_is_no_alarm(stock: dict[str, str], farm: FarmBook) -> None:
    """The route asks for 16 °C; a farm that runs at 24 °C on purpose is not told off for it."""
    assert stock
    [room] = [room for room in farm.rooms if room.code == "grow"]
    assert room.temperature_c == 16.0
    assert walked(walk(), grow(Readings(temperature_c=16.0))).findings == ()


WRONG: dict[str, tuple[list[RoomRead], str]] = {
    "nothing read": ([RoomRead("grow", Readings())], "something read off"),
    "no such room": ([RoomRead("cellar", MILD)], "lab, inc, grow"),
    "a room twice": ([*grow(), *grow()], "each room once"),
    "absurd in the second": (
        [*grow(), RoomRead("inc", Readings(temperature_c=400.0))],
        "-10 °C to 60 °C",
    ),
}


@pytest.mark.parametrize("name", WRONG)
def test_what_cannot_be_is_refused_and_no_room_is_written(name: str, stock: dict[str, str]) -> None:
    assert stock
    rooms, words = WRONG[name]
    before = Entry.objects.count()
    with pytest.raises(InputError, match=words):
        walked(walk(), rooms)
    assert Entry.objects.count() == before


def test_a_round_that_lies_ahead_is_refused(stock: dict[str, str]) -> None:
    assert stock
    with pytest.raises(InputError, match="or earlier"):
        walked(walk(at=NOW + timedelta(days=2)), grow())


def test_grow_rooms_in_use_come_first_with_their_last_readings(stock: dict[str, str]) -> None:
    assert stock
    flies = Readings(flies=8, traps=2, trap_days=4.0)
    walked(walk(at=NOW - timedelta(days=2)), grow(flies))
    first, *others = rooms_to_read(NOW)
    assert (first.code, first.stands, first.is_growing) == ("grow", "Grey oyster", True)
    assert first.last == flies
    assert first.trap_days == 2.0
    assert {room.code for room in others} == {"lab", "inc", "pack", "bay"}
    assert all(room.last is None for room in others)


def test_the_weeks_of_a_room(stock: dict[str, str]) -> None:
    assert stock
    for days, degrees in ((3, 15.0), (1, 26.0)):
        walked(walk(at=NOW - timedelta(days=days)), grow(Readings(temperature_c=degrees)))
    view = room_history("grow", NOW)
    assert [row.readings.temperature_c for row in view.rows] == [15.0, 26.0]
    assert [row.by for row in view.rows] == ["Ben", "Ben"]
    assert any("above the 10 °C to 20 °C" in each for each in view.warnings)
    assert any("N95" in each for each in view.cautions)
    assert room_history("inc", NOW).rows == ()
    with pytest.raises(RefusedError, match="no room cellar"):
        room_history("cellar", NOW)


def test_a_room_described_anew_keeps_its_rounds(stock: dict[str, str], farm: FarmBook) -> None:
    assert stock
    walked(walk(at=NOW - timedelta(days=2)), grow())
    changed = Room("grow", "Tunnel one", RoomKind.GROWING, 16.0, (Shelf("grow-1", 200),))
    register_store.write([changed], TODAY, "", NOW)
    assert farm
    assert room_history("grow", NOW).name == "Tunnel one"
    assert len(room_history("grow", NOW).rows) == 1
