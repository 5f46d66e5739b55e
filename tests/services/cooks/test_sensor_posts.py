"""Readings a sensor sends: by the farm's key, not too often, each once."""

from __future__ import annotations

import secrets
from dataclasses import replace
from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest
from django.test import override_settings

from pinset.errors import InputError, RefusedError
from pinset.farm import watch_store
from pinset.services.clock import now_utc
from pinset.services.cooks.loads import LoadPlan
from pinset.services.cooks.watch import sensor_posts
from pinset.services.cooks.watch import view as cook_watch_view
from pinset.services.cooks.watch import watching as cook_watching
from pinset.services.cooks.watch.sensor_posts import TooManyError, WrongKeyError

LOAD = LoadPlan(rating_bar=1.4)


@pytest.fixture(autouse=True)
def folder(tmp_path: Path) -> object:
    with override_settings(LOGGER_FOLDER=tmp_path):
        yield tmp_path


def begin() -> str:
    return cook_watching.begin(secrets.token_hex(16), "ada", "kettle:grain", LOAD, "f0=15")


@pytest.mark.usefixtures("farm")
def test_only_the_newest_key_opens() -> None:
    assert sensor_posts.key_since() is None
    with pytest.raises(WrongKeyError, match="Nothing was written"):
        sensor_posts.let_in("", "192.0.2.7")
    first = sensor_posts.new_key("ada")
    sensor_posts.let_in(first, "192.0.2.7")
    second = sensor_posts.new_key("ada")
    assert first != second
    assert sensor_posts.key_since() is not None
    with pytest.raises(WrongKeyError):
        sensor_posts.let_in(first, "192.0.2.7")
    sensor_posts.let_in(second, "192.0.2.7")
    sensor_posts.no_key("ada")
    with pytest.raises(WrongKeyError):
        sensor_posts.let_in(second, "192.0.2.7")


@pytest.mark.usefixtures("farm")
def test_guessing_is_slowed_down_for_the_address_that_guesses() -> None:
    key = sensor_posts.new_key("ada")
    for _ in range(sensor_posts.MOST_WRONG):
        with pytest.raises(WrongKeyError):
            sensor_posts.let_in("guess", "192.0.2.7")
    with pytest.raises(TooManyError, match="quarter of an hour"):
        sensor_posts.let_in(key, "192.0.2.7")
    sensor_posts.let_in(key, "192.0.2.8")


@pytest.mark.usefixtures("farm")
def test_too_many_readings_in_a_minute_are_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    begin()
    monkeypatch.setattr(sensor_posts, "MOST_A_MINUTE", 3)
    for value in range(3):
        sensor_posts.take({"chamber_c": 20.0 + value})
    with pytest.raises(TooManyError, match="3 values"):
        sensor_posts.take({"chamber_c": 23.0})


def held(count: int, since_min: float) -> list[dict[str, Any]]:
    began = now_utc() - timedelta(minutes=since_min)
    return [
        {"chamber_c": 60.0, "core_c": 50.0, "gauge_bar": 0.1,
         "at": (began + timedelta(seconds=number)).isoformat()}
        for number in range(count)
    ]  # fmt: skip


@pytest.mark.usefixtures("farm")
@pytest.mark.parametrize("sent_as", ["list", "one by one"])
def test_a_backlog_never_stops_the_newest_reading(
    sent_as: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    code, is_list = begin(), sent_as == "list"
    monkeypatch.setattr(sensor_posts, "MOST_HELD_A_MINUTE", 60)
    monkeypatch.setattr(sensor_posts, "MOST_A_MINUTE", 6)
    first, second = held(20, 60.0), held(20, 30.0)
    for each in [first] if is_list else first:
        sensor_posts.take(each)
    with pytest.raises(TooManyError, match="send the newest reading alone") as refused:
        sensor_posts.take(second if is_list else second[0])
    assert refused.value.wait_s == 60
    taken = sensor_posts.take({"chamber_c": 118.7, "core_c": 96.4})
    assert taken == sensor_posts.Taken(code, 2)
    assert cook_watch_view.view(code).latest[0].core_c == 96.4
    later = now_utc() + timedelta(seconds=61)
    monkeypatch.setattr(sensor_posts, "now_utc", lambda: later)
    assert sensor_posts.take(second if is_list else second[0]).new == (60 if is_list else 3)


@pytest.mark.usefixtures("farm")
def test_a_day_of_readings_held_back_comes_in_within_minutes() -> None:
    begin()
    for number in range(5):
        assert sensor_posts.take(held(200, 100.0 - 10.0 * number)).new == 600
    with pytest.raises(TooManyError):
        sensor_posts.take(held(200, 20.0))


@pytest.mark.usefixtures("farm")
def test_what_is_sent_is_kept_in_the_units_of_the_inside() -> None:
    code = begin()
    taken = sensor_posts.take({"chamber_f": 250.0, "gauge_psi": 15, "core_c": "98.5"})
    assert taken == sensor_posts.Taken(code, 3)
    [found] = cook_watch_view.view(code).latest
    assert found.chamber_c == pytest.approx(121.11, abs=0.01)
    assert found.gauge_bar == pytest.approx(1.034, abs=0.001)  # 1 psi is 6894.757 Pa
    assert found.core_c == 98.5
    assert (found.source, found.can_remove) == ("sensor", False)


@pytest.mark.usefixtures("farm")
def test_a_reading_sent_again_counts_once() -> None:
    begin()
    at = (now_utc() - timedelta(minutes=3)).isoformat()
    assert sensor_posts.take({"chamber_c": 98.0, "at": at}).new == 1
    assert sensor_posts.take({"chamber_c": 98.0, "at": at}).new == 0
    own = {"chamber_c": 99.0, "id": "ab" * 16}
    assert sensor_posts.take(own).new == 1
    assert sensor_posts.take(own).new == 0


@pytest.mark.usefixtures("farm")
def test_what_was_held_back_while_the_network_was_away_comes_at_once() -> None:
    code = begin()
    held = [
        {"chamber_c": 90.0 + m, "at": (now_utc() - timedelta(minutes=9 - m)).isoformat()}
        for m in range(9)
    ]
    assert sensor_posts.take(held).new == 9
    assert cook_watch_view.view(code).state.chamber_c == 98.0


@pytest.mark.usefixtures("farm")
def test_it_must_be_clear_which_cook_is_meant() -> None:
    with pytest.raises(RefusedError, match="No such cook"):
        sensor_posts.take({"chamber_c": 98.0})
    first = begin()
    other = replace(cook_watching.row_of(first), code="drum-1", steriliser="drum")
    second = watch_store.begin(secrets.token_hex(16), other).code
    with pytest.raises(RefusedError, match="Several cooks"):
        sensor_posts.take({"chamber_c": 98.0})
    assert sensor_posts.take({"chamber_c": 98.0, "cook": second}).cook == second
    cook_watching.end(second, "ada")
    assert sensor_posts.take({"chamber_c": 98.0, "steriliser": "kettle"}).cook == first


@pytest.mark.usefixtures("farm")
@pytest.mark.parametrize(
    "sent",
    [
        {},
        [],
        "98",
        None,
        [3],
        {"chamber": 98.0},
        {"chamber_c": True},
        {"chamber_c": "hot"},
        {"chamber_c": float("nan")},
        {"chamber_c": 1e300},
        {"chamber_c": [98.0]},
        {"chamber_c": 98.0, "at": "noon"},
        {"chamber_c": 98.0, "at": "1999-01-01T00:00:00Z"},
        {"chamber_c": 98.0, "id": "short"},
        [{"chamber_c": 98.0}] * 201,
    ],
)
def test_nonsense_is_refused_in_one_sentence(sent: Any) -> None:
    code = begin()
    with pytest.raises(InputError):
        sensor_posts.take(sent)
    assert cook_watch_view.view(code).state.readings == 0
