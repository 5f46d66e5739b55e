"""Heat, sensors: only the owner sees the key; only the key opens the address for readings."""

from __future__ import annotations

import json
import re
import secrets
from pathlib import Path
from typing import Any

import pytest
from django.http import HttpResponse
from django.test import Client

from pinset.farm.models import SensorKey, WatchedReading
from pinset.services.cooks.loads import LoadPlan
from pinset.services.cooks.watch import sensor_posts
from pinset.services.cooks.watch import watching as cook_watching
from web.asking import CONFLICT, FORBIDDEN, NO_METHOD, OK, UNFIT, sent_to_sign_in, words
from web.shed import Shed

READING = {"chamber_c": 118.7, "gauge_bar": 1.03}
TOO_MANY = 429


@pytest.fixture(autouse=True)
def folder(settings: object, tmp_path: Path) -> None:
    settings.FARM_FOLDER = str(tmp_path)  # type: ignore[attr-defined]
    settings.LOGGER_FOLDER = tmp_path  # type: ignore[attr-defined]


def begun() -> str:
    machine = cook_watching.machines()[0].code
    return cook_watching.begin(secrets.token_hex(16), "ada", machine, LoadPlan(rating_bar=1.5),
                               "f0=15")  # fmt: skip


def send(client: Client, key: str, body: Any = READING) -> HttpResponse:
    headers = {"Authorization": f"Bearer {key}"} if key else {}
    given = body if isinstance(body, (str, bytes)) else json.dumps(body)
    return client.post("/heat/readings/", given, content_type="application/json", headers=headers)


def test_only_the_owner_sees_how_sensors_come_in(
    owner: Client, worker: Client, stranger: Client
) -> None:
    assert sent_to_sign_in(stranger, "/heat/sensor/")
    assert worker.get("/heat/sensor/").status_code == FORBIDDEN
    assert worker.post("/heat/sensor/").status_code == FORBIDDEN
    answer = owner.get("/heat/sensor/")
    assert answer.status_code == OK
    assert "There is no key" in words(answer)
    assert "curl -H" in words(answer)
    assert "http://testserver/heat/readings/" in words(answer)


def test_a_key_is_shown_once_and_only_its_digest_is_kept(owner: Client) -> None:
    shown = words(owner.post("/heat/sensor/", {"how": "new"}))
    found = re.search(r"shown this once: (\S+)", shown)
    assert found is not None
    sensor_posts.let_in(found[1], "192.0.2.7")
    assert SensorKey.objects.get().digest != found[1]
    again = owner.get("/heat/sensor/")
    assert found[1] not in words(again)
    assert again.headers["Cache-Control"] == "no-store"
    owner.post("/heat/sensor/", {"how": "none"})
    assert not SensorKey.objects.exists()


def test_a_sensor_writes_with_the_key_alone(stranger: Client, shed: Shed) -> None:  # noqa: ARG001
    key, code = sensor_posts.new_key("ada"), begun()
    strict = Client(enforce_csrf_checks=True)
    answer = send(strict, key)
    assert answer.status_code == OK
    assert json.loads(answer.content) == {"cook": code, "new": 2}
    assert set(WatchedReading.objects.values_list("source", flat=True)) == {"sensor"}
    assert WatchedReading.objects.get(what="chamber_c").value == READING["chamber_c"]
    assert stranger.get(f"/heat/during/{code}/").status_code != OK, "the key opens nothing else"


def test_without_the_key_nothing_is_written(
    stranger: Client, worker: Client, owner: Client
) -> None:
    sensor_posts.new_key("ada")
    begun()
    for client in (stranger, worker, owner):
        for key in ("", "guess", "\u00e9"):
            answer = send(client, key.encode("utf-8").decode("latin-1"))
            assert answer.status_code == FORBIDDEN
            assert "Nothing was written." in json.loads(answer.content)["error"]
    assert not WatchedReading.objects.exists()
    assert stranger.get("/heat/readings/").status_code == NO_METHOD


def test_guessing_keys_ends_soon(stranger: Client, shed: Shed) -> None:  # noqa: ARG001
    statuses = [send(stranger, f"guess {n}").status_code for n in range(32)]
    assert statuses[:30] == [FORBIDDEN] * 30
    assert statuses[30:] == [TOO_MANY] * 2


@pytest.mark.parametrize(
    "body",
    [b"", b"chamber=98", b"\xff\xfe", "[" * 20_000, "[]", "{}", '{"chamber_c": "hot"}',
     '{"chamber_c": NaN}', '{"chamber_c": 98' + " " * 70_000 + "}"],
    ids=range(9),
)  # fmt: skip
def test_hostile_bodies_are_refused_in_one_sentence(
    stranger: Client, shed: Shed, body: str | bytes  # noqa: ARG001
) -> None:  # fmt: skip
    key = sensor_posts.new_key("ada")
    begun()
    answer = send(stranger, key, body)
    assert answer.status_code == UNFIT
    assert json.loads(answer.content)["error"]
    assert not WatchedReading.objects.exists()


def test_without_a_cook_it_says_so(stranger: Client, shed: Shed) -> None:  # noqa: ARG001
    answer = send(stranger, sensor_posts.new_key("ada"))
    assert answer.status_code == CONFLICT
    assert "No such cook is watched now." in json.loads(answer.content)["error"]


def test_too_much_says_how_long_to_wait_and_lets_the_newest_through(
    stranger: Client, shed: Shed, monkeypatch: pytest.MonkeyPatch  # noqa: ARG001
) -> None:  # fmt: skip
    key = sensor_posts.new_key("ada")
    begun()
    monkeypatch.setattr(sensor_posts, "MOST_HELD_A_MINUTE", 2)
    backlog = [READING, {"core_c": 40.0}]
    assert send(stranger, key, backlog).status_code == OK
    refused = send(stranger, key, backlog)
    assert (refused.status_code, refused.headers["Retry-After"]) == (TOO_MANY, "60")
    assert send(stranger, key).status_code == OK
