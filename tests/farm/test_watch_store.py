"""Cooks that are watched: begun once, read once, ended once, and forgotten with a person."""

from __future__ import annotations

import secrets
from datetime import timedelta

import pytest

from farm.small_farm import BOOK, NOW, describe
from pinset.errors import InputError
from pinset.farm import watch_store
from pinset.farm.forgetting import forget_person
from pinset.farm.models import Person, WatchedReading
from pinset.farm.watch_store import ReadingRow, WatchRow

ROW = WatchRow("kettle-20260312-1030", "kettle", "grain", "", "", {"units": 12}, "f0=15", NOW,
               "ada", None, "")  # fmt: skip


@pytest.fixture(autouse=True)
def farm(db: None) -> None:  # noqa: ARG001
    describe(BOOK)


def tap() -> str:
    return secrets.token_hex(16)


def read(client_id: str, minute: int, value: float, **more: str) -> ReadingRow:
    given = {"what": "chamber_c", "source": "typed", "by": "ada", **more}
    return ReadingRow(client_id, NOW + timedelta(minutes=minute), given["what"], value,
                      given["source"], given["by"])  # fmt: skip


def test_a_tap_begins_one_cook() -> None:
    client_id = tap()
    first, again = watch_store.begin(client_id, ROW), watch_store.begin(client_id, ROW)
    assert first == again == watch_store.find(ROW.code)
    assert watch_store.going_on() == (first,)
    other = watch_store.begin(tap(), ROW)
    assert other.code == f"{ROW.code}-2"


def test_a_reading_sent_again_counts_once() -> None:
    code = watch_store.begin(tap(), ROW).code
    client_id = tap()
    both = [read(client_id, 5, 98.0), read(client_id, 5, 0.2, what="gauge_bar")]
    assert watch_store.add(code, both, NOW) == 2
    assert watch_store.add(code, both, NOW) == 0
    assert [each.value for each in watch_store.readings(code)] == [98.0, 0.2]


def test_a_reading_typed_wrongly_counts_no_more_even_if_sent_again() -> None:
    code = watch_store.begin(tap(), ROW).code
    client_id = tap()
    watch_store.add(code, [read(client_id, 5, 980.0), read(tap(), 6, 98.0)], NOW)
    assert watch_store.remove(code, client_id)
    watch_store.add(code, [read(client_id, 5, 980.0)], NOW)
    assert [each.value for each in watch_store.readings(code)] == [98.0]
    assert not watch_store.remove(code, tap())


def test_only_what_was_typed_can_be_taken_back() -> None:
    code = watch_store.begin(tap(), ROW).code
    client_id = tap()
    watch_store.add(code, [read(client_id, 5, 98.0, source="sensor", by="")], NOW)
    assert not watch_store.remove(code, client_id)


def test_readings_come_by_time() -> None:
    code = watch_store.begin(tap(), ROW).code
    watch_store.add(code, [read(tap(), minute, minute) for minute in (9, 3, 6)], NOW)
    assert [each.value for each in watch_store.readings(code)] == [3.0, 6.0, 9.0]
    ends = (NOW + timedelta(minutes=3), NOW + timedelta(minutes=9))
    assert watch_store.span_from(code, "typed", "ada") == ends
    assert watch_store.span_from(code, "file", "ada") is None
    assert watch_store.recorded_since("typed", NOW) == 3
    assert watch_store.recorded_since("typed", NOW + timedelta(seconds=1)) == 0


def test_a_cook_ends_once() -> None:
    code = watch_store.begin(tap(), ROW).code
    watch_store.end(code, "ada", NOW + timedelta(hours=4))
    watch_store.end(code, "ben", NOW + timedelta(hours=5))
    [found] = watch_store.ended(10)
    assert (found.ended_at, found.ended_by) == (NOW + timedelta(hours=4), "ada")
    assert watch_store.going_on() == ()


def test_papers_of_long_ago_are_forgotten() -> None:
    old, new = (watch_store.begin(tap(), ROW).code for _ in range(2))
    watch_store.add(old, [read(tap(), 5, 98.0)], NOW)
    watch_store.end(old, "ada", NOW)
    assert watch_store.forget_ended(NOW) == 0
    assert watch_store.forget_ended(NOW + timedelta(seconds=1)) == 1
    assert watch_store.find(old) is None
    assert not WatchedReading.objects.exists()
    assert [row.code for row in watch_store.going_on()] == [new]


def test_a_cook_nobody_watches_takes_no_readings() -> None:
    with pytest.raises(InputError, match="being watched"):
        watch_store.add("nothing", [read(tap(), 1, 20.0)], NOW)


def test_more_readings_than_any_cook_needs_are_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(watch_store, "MOST_READINGS", 3)
    code = watch_store.begin(tap(), ROW).code
    with pytest.raises(InputError, match="at most 3"):
        watch_store.add(code, [read(tap(), minute, 20.0) for minute in range(4)], NOW)
    assert watch_store.readings(code) == ()


def test_one_key_counts() -> None:
    assert watch_store.key() is None
    watch_store.set_key("a" * 64, "ada", NOW)
    watch_store.set_key("b" * 64, "ada", NOW + timedelta(days=1))
    assert watch_store.key() == ("b" * 64, NOW + timedelta(days=1))
    watch_store.set_key("", "ada", NOW)
    assert watch_store.key() is None


def test_forgetting_a_person_forgets_who_watched() -> None:
    Person.objects.get_or_create(code="ada", defaults={"name": "Ada"})
    code = watch_store.begin(tap(), ROW).code
    watch_store.add(code, [read(tap(), 5, 98.0)], NOW)
    watch_store.end(code, "ada", NOW)
    watch_store.set_key("a" * 64, "ada", NOW)
    left = forget_person("ada")
    found = watch_store.find(code)
    assert found is not None
    assert (found.begun_by, found.ended_by) == (left, left)
    assert WatchedReading.objects.get().by == left
