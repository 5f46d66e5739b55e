"""Watching a cook on a farm: typed, from a growing file, ended, and judged as every other log."""

from __future__ import annotations

import os
import secrets
from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from django.test import override_settings

from farm.small_farm import Taps
from pinset.chain.register import FarmBook
from pinset.errors import InputError, RefusedError
from pinset.files.logger.growing_log import newest_file
from pinset.science.steam.gauge import atmosphere
from pinset.science.steam.steam import saturation_pressure
from pinset.services import clock
from pinset.services.cooks.judge.judging import judge_file, read_rule
from pinset.services.cooks.loads import LoadPlan
from pinset.services.cooks.watch import view as cook_watch_view
from pinset.services.cooks.watch import watching as cook_watching
from pinset.services.cooks.watch.csv import csv_of
from pinset.services.cooks.watch.records import Stage, Unsure, WatchReading, What
from pinset.services.cooks.watch.view import lines_of

BEGAN = datetime(2026, 3, 12, 9, 30, tzinfo=UTC)
LOAD = LoadPlan(
    mass_kg=1.0,
    diameter_cm=11.5,
    height_cm=15.0,
    rating_bar=1.4,
    altitude_m=300.0,
    conductivity=2.0,
    surface=500.0,
)
MACHINE = "kettle:grain"
AtMinute = Callable[[float], None]


def tap() -> str:
    return secrets.token_hex(16)


@pytest.fixture
def at(farm: FarmBook, monkeypatch: pytest.MonkeyPatch) -> AtMinute:  # noqa: ARG001
    """Set the clock to so many minutes after the beginning."""

    def set_clock(minute: float) -> None:
        moment = BEGAN + timedelta(minutes=minute)
        monkeypatch.setenv(clock.PRETENDED, moment.isoformat())

    set_clock(0.0)
    return set_clock


@pytest.fixture
def logger(tmp_path: Path) -> object:
    with override_settings(LOGGER_FOLDER=tmp_path):
        yield tmp_path


def begin(**more: object) -> str:
    return cook_watching.begin(tap(), "ada", MACHINE, LOAD, "f0=15", **more)  # type: ignore[arg-type]


def chamber(minute: float) -> float:
    return min(121.1, 20.0 + 101.1 * minute / 30.0)


def gauge(minute: float) -> float:
    """Return what a gauge reads at 300 m where the chamber holds saturated steam. [bar]"""
    return max(0.0, (saturation_pressure(chamber(minute)) - atmosphere(300.0)) / 100.0)


def core(minute: float) -> float:
    return min(120.9, max(20.0, 20.0 + 100.9 * (minute - 5.0) / 50.0))


@pytest.mark.usefixtures("logger")
def test_a_cook_that_is_typed_is_judged_as_it_was_watched(at: AtMinute) -> None:
    code = begin()
    assert code == "kettle-20260312-1030", "by the farm's clock"
    assert cook_watch_view.view(code).state.stage is Stage.WAITING
    for minute in range(0, 101, 4):
        at(minute)
        values = {What.CHAMBER: chamber(minute), What.CORE: core(minute), What.GAUGE: gauge(minute)}
        assert cook_watching.read(code, tap(), "ada", values) == 3
    found = cook_watch_view.view(code)
    assert found.state.stage is Stage.ENOUGH
    assert found.steriliser == "Kettle"
    assert len(found.latest) == 6
    assert found.latest[0].can_remove
    cook_watching.end(code, "ada")
    ended = cook_watch_view.view(code)
    assert ended.feed is None
    assert ended.line.ended_at == BEGAN + timedelta(minutes=100)
    data, name = cook_watching.log_of(code)
    assert name == "kettle-20260312-1030.csv"
    judged, log = judge_file(data, name, read_rule("f0=15"), altitude_m=300.0)
    assert judged.verdict == "pass"
    assert judged.probes[1].role == "core"
    assert judged.probes[1].f0_min == pytest.approx(found.state.f0_min, rel=0.01)
    assert log.start == BEGAN
    assert [line.use for line in log.columns] == ["temperature", "pressure", "temperature"]


@pytest.mark.usefixtures("logger")
def test_a_tap_sent_twice_counts_once(at: AtMinute) -> None:
    client_id = tap()
    first = cook_watching.begin(client_id, "ada", MACHINE, LOAD, "f0=15")
    assert cook_watching.begin(client_id, "ada", MACHINE, LOAD, "f0=15") == first
    at(3.0)
    reading = tap()
    assert cook_watching.read(first, reading, "ada", {What.CHAMBER: 30.0}) == 1
    at(3.2)
    assert cook_watching.read(first, reading, "ada", {What.CHAMBER: 30.0}) == 0
    assert cook_watch_view.view(first).state.readings == 1


@pytest.mark.usefixtures("logger")
def test_one_steriliser_is_watched_once_at_a_time(at: AtMinute) -> None:
    code = begin()
    at(150)
    with pytest.raises(RefusedError, match=f"is watched already, since .*{code}") as refused:
        begin()
    assert "end it first" in refused.value.hint
    assert [line.code for line in cook_watch_view.watched()[0]] == [code]
    cook_watching.end(code, "ada")
    assert begin() != code


def test_a_slip_of_the_finger_can_be_taken_back(at: AtMinute) -> None:
    code, slip = begin(), tap()
    at(2.0)
    cook_watching.read(code, tap(), "ada", {What.CHAMBER: 26.7})
    cook_watching.read(code, slip, "ada", {What.CHAMBER: 126.7}, at=BEGAN + timedelta(minutes=1))
    cook_watching.take_back(code, slip)
    assert [each.chamber_c for each in cook_watch_view.view(code).latest] == [26.7]
    with pytest.raises(RefusedError, match="no such reading"):
        cook_watching.take_back(code, tap())


@pytest.mark.usefixtures("logger")
@pytest.mark.parametrize(
    ("values", "later", "words"),
    [
        ({}, 0.0, "chamber, the gauge or a core"),
        ({What.CHAMBER: 250.0}, 0.0, "-30 °C to 160 °C"),
        ({What.CORE: float("nan")}, 0.0, "to 160 °C"),
        ({What.GAUGE: 15.0}, 0.0, "-1 bar to 6 bar"),
        ({What.CHAMBER: 90.0}, 60.0, "until now"),
        ({What.CHAMBER: 90.0}, -72 * 60.0, "from two days ago"),
        ({What.CHAMBER: 90.0}, -24 * 60.0, "since it began, 10:30"),
        ({What.CHAMBER: 90.0}, -80.0, "since it began, 10:30"),
    ],
)
def test_what_cannot_be_is_not_kept(
    at: AtMinute, values: dict[What, float], later: float, words: str
) -> None:
    code = begin()
    at(10.0)
    moment = BEGAN + timedelta(minutes=10.0 + later)
    with pytest.raises(InputError, match=words):
        cook_watching.read(code, tap(), "ada", values, at=moment)
    assert cook_watch_view.view(code).state.readings == 0


@pytest.mark.usefixtures("at", "logger")
def test_nothing_is_read_of_a_cook_that_has_ended() -> None:
    code = begin()
    cook_watching.end(code, "ada")
    cook_watching.end(code, "ben")
    with pytest.raises(RefusedError, match="has ended"):
        cook_watching.read(code, tap(), "ada", {What.CHAMBER: 90.0})
    with pytest.raises(RefusedError, match="Nothing was read"):
        cook_watching.log_of(code)
    going, ended = cook_watch_view.watched()
    assert going == ()
    assert [line.code for line in ended] == [code]


@pytest.mark.usefixtures("at", "logger")
def test_only_this_farms_machines_and_cooks_can_be_watched() -> None:
    with pytest.raises(InputError, match="sterilisers"):
        cook_watching.begin(tap(), "ada", "drum:straw", LOAD, "f0=15")
    with pytest.raises(RefusedError):
        begin(cook="kettle-19990101-0000")
    with pytest.raises(InputError, match="f0=MINUTES"):
        cook_watching.begin(tap(), "ada", MACHINE, LOAD, "long")
    with pytest.raises(RefusedError, match="is watched here"):
        cook_watch_view.view("nothing")


def test_a_file_that_grows_is_followed(at: AtMinute, logger: Path) -> None:
    code = begin()
    assert cook_watch_view.view(code).feed == cook_watch_view.Feed(str(logger), "", None, ())
    text = "time,chamber [°C],core [°C]\n"
    path = logger / "today.csv"
    for minute in range(-10, 21):
        local = (BEGAN + timedelta(minutes=minute + 60)).strftime("%Y-%m-%d %H:%M:%S")
        text += f"{local},{chamber(max(minute, 0)):.2f},{core(minute):.2f}\n"
    path.write_text(text + "2026-03-12 10:5")
    at(20.0)
    found = cook_watch_view.view(code)
    assert found.feed is not None
    assert found.feed.file == "today.csv"
    assert found.feed.problems == ()
    assert found.feed.last_at == BEGAN + timedelta(minutes=20)
    assert found.state.readings == 21, "what was written before the cook began is left out"
    assert found.state.core_by == "measured"
    assert not found.latest[0].can_remove
    again = cook_watch_view.view(code)
    assert again.state.readings == 21
    path.write_text(text + "2026-03-12 10:51:00,91.0,50.0\n")
    os.utime(path, ns=(1, path.stat().st_mtime_ns + 1_000_000_000))
    at(21.0)
    assert cook_watch_view.view(code).state.readings == 22


def test_each_steriliser_may_have_a_folder_of_its_own(at: AtMinute, logger: Path) -> None:
    (logger / "kettle").mkdir()
    (logger / "other.csv").write_text("time,chamber [°C]\n2026-03-12 10:31:00,80\n")
    code = begin()
    at(5.0)
    found = cook_watch_view.view(code)
    assert found.feed is not None
    assert found.feed.folder == str(logger / "kettle")
    assert newest_file(logger / "kettle") is None
    assert found.state.readings == 0


def test_a_logger_whose_clock_is_ahead_is_not_believed(at: AtMinute, logger: Path) -> None:
    code = begin()
    at(10.0)
    rows = "".join(f"2026-03-12 12:{minute:02d}:00,80,40\n" for minute in range(10))
    (logger / "a.csv").write_text("time,chamber [°C],core [°C]\n" + rows)
    found = cook_watch_view.view(code)
    assert found.feed is not None
    assert found.feed.problems[0] == "The logger's clock is 89 min ahead; set it right."
    assert found.state.readings == 0


def logged(minutes: range, shift_min: float = 0.0) -> str:
    """Return rows of a logger's file; the cook of these tests, so many minutes off its clock."""
    rows = []
    for minute in minutes:
        local = BEGAN + timedelta(minutes=minute + 60 + shift_min)
        rows.append(f"{local:%Y-%m-%d %H:%M:%S},{chamber(minute):.2f},{core(minute):.2f}\n")
    return "time,chamber [°C],core [°C]\n" + "".join(rows)


def test_a_watch_begun_in_the_heat_asks_since_when_and_promises_no_end(
    at: AtMinute, logger: Path
) -> None:
    at(30.0)
    code = begin()
    (logger / "a.csv").write_text(logged(range(30, 46)))
    at(45.0)
    found = cook_watch_view.view(code)
    assert found.state.unsure is Unsure.SINCE
    assert found.state.end_at is None
    assert found.state.inoculate_at is None
    assert found.state.latest_at is not None
    assert found.state.sentence.startswith("How long to hold is not known well: it was at 121.1 °C")
    assert "nobody said since when it is heated. Hold another " in found.state.sentence
    assert " at the most at 121.1 °C" in found.state.sentence
    assert "watch.since" in {each.id for each in found.state.findings}
    assert cook_watch_view.watched()[0][0].sentence == found.state.sentence
    cook_watching.heated_since(code, BEGAN)
    told = cook_watch_view.view(code).state
    assert told.unsure is Unsure.BEFORE, "the core does not bear that out yet"
    assert told.end_at is None
    assert told.latest_at is not None
    assert "the core does not show yet that it was heated as was said. Hold " in told.sentence
    assert "watch.before" in {each.id for each in told.findings}


def test_since_when_is_said_of_the_time_before_the_first_reading(at: AtMinute) -> None:
    code = begin()
    at(10.0)
    cook_watching.read(code, tap(), "ada", {What.CHAMBER: 90.0}, at=BEGAN + timedelta(minutes=4))
    for minute, words in ((8.0, "until its first reading, 10:34"), (-72.0 * 60.0, "two days ago")):
        with pytest.raises(InputError, match=words):
            cook_watching.heated_since(code, BEGAN + timedelta(minutes=minute))
    cook_watching.end(code, "ada")
    with pytest.raises(RefusedError, match="has ended"):
        cook_watching.heated_since(code, BEGAN)


def test_what_a_file_holds_of_before_is_offered_and_taken(at: AtMinute, logger: Path) -> None:
    at(40.0)
    code = begin()
    (logger / "a.csv").write_text(logged(range(61)))
    at(60.0)
    found = cook_watch_view.view(code)
    assert found.feed is not None
    assert found.feed.heated_since == BEGAN + timedelta(minutes=4), "the last row that is cold"
    assert found.state.readings == 21
    cook_watching.heated_since(code, found.feed.heated_since)
    taken = cook_watch_view.view(code)
    assert taken.state.readings == 57
    assert taken.feed is not None
    assert taken.feed.heated_since is None
    assert taken.state.unsure is None
    assert cook_watch_view.view(code).state.readings == 57


def test_a_clock_set_forward_while_it_heated_offers_no_time(at: AtMinute, logger: Path) -> None:
    at(55.0)
    code = begin()
    later = logged(range(21, 46), shift_min=15.0).split("\n", 1)[1]
    (logger / "a.csv").write_text(logged(range(21)) + later)
    at(60.0)
    found = cook_watch_view.view(code)
    assert found.feed is not None
    assert found.feed.heated_since is None, "nobody knows by it since when"
    assert found.state.unsure is Unsure.SINCE


def test_a_logger_whose_clock_is_behind_is_said_and_promises_no_end(
    at: AtMinute, logger: Path
) -> None:
    code = begin()
    at(72.0)
    (logger / "a.csv").write_text(logged(range(73), shift_min=-60.0))
    found = cook_watch_view.view(code)
    assert found.feed is not None
    assert found.feed.problems[0].startswith("The logger's clock is 60 min behind, or it writes ")
    assert found.feed.heated_since is None
    assert found.state.end_at is None
    assert found.state.left_min is None
    assert found.state.sentence.startswith("No end is promised: the logger's clock is wrong.")
    assert cook_watch_view.watched()[0][0].sentence == found.state.sentence


def test_a_clock_set_back_in_a_growing_file_promises_no_end(at: AtMinute, logger: Path) -> None:
    code = begin()
    at(50.0)
    path = logger / "a.csv"
    path.write_text(logged(range(51)))
    assert cook_watch_view.view(code).state.end_at is not None
    later = logged(range(51, 71), shift_min=-30.0).split("\n", 1)[1]
    at(70.0)
    path.write_text(logged(range(51)) + later)
    found = cook_watch_view.view(code)
    assert found.feed is not None
    assert "clock" in found.feed.problems[0]
    assert found.state.end_at is None
    assert found.state.sentence.startswith("No end is promised")


def test_an_unplugged_probe_is_left_out_and_said(at: AtMinute, logger: Path) -> None:
    code = begin()
    at(10.0)
    rows = "".join(
        f"2026-03-12 10:{30 + m}:00,{20 + m},{20 + m if m < 9 else 158.0 + m}\n" for m in range(10)
    )
    (logger / "a.csv").write_text("time,chamber [°C],core [°C]\n" + rows)
    found = cook_watch_view.view(code)
    assert found.feed is not None
    assert any("no probe in a cook" in each for each in found.feed.problems)
    assert found.state.chamber_c == 29.0


def test_a_file_that_cannot_be_read_says_why(at: AtMinute, logger: Path) -> None:
    code = begin()
    at(10.0)
    (logger / "a.csv").write_bytes(b"\0\0\0")
    found = cook_watch_view.view(code)
    assert found.feed is not None
    assert found.feed.problems[0].startswith("The logger's file cannot be read: ")


@pytest.mark.usefixtures("logger")
def test_the_cook_in_the_books_is_found(at: AtMinute, stock: dict[str, str], tap: Taps) -> None:
    del stock, tap
    code = begin()
    at(20.0)
    assert cook_watch_view.view(code).cook == ""


@pytest.mark.usefixtures("logger")
def test_what_is_drawn_begins_with_the_first_reading(at: AtMinute) -> None:
    code = begin()
    for minute in (0, 5, 10):
        at(minute)
        cook_watching.read(code, tap(), "ada", {What.CHAMBER: chamber(minute)})
    lines = lines_of(cook_watch_view.view(code).state.curves)
    assert [line.role for line in lines.lines][:2] == ["chamber", "core"]
    assert lines.started == BEGAN.isoformat()


def test_the_log_holds_zone_names_and_units() -> None:
    text = csv_of(
        [WatchReading(BEGAN, 20.0, 0.0), WatchReading(BEGAN + timedelta(minutes=1), None, 0.5)],
        "Europe/Berlin",
    ).decode()
    assert text.splitlines() == [
        "time,chamber [°C],chamber pressure [bar gauge]",
        "2026-03-12T10:30:00+01:00,20.00,0.000",
        "2026-03-12T10:31:00+01:00,,0.500",
    ]


@pytest.mark.parametrize("hour", [0, 1, 2])
def test_a_log_over_the_change_of_the_clocks_keeps_its_order(hour: int) -> None:
    first = datetime(2026, 10, 25, hour, 30, tzinfo=UTC)
    readings = [
        WatchReading(first + timedelta(minutes=m), chamber(m), None, core(m)) for m in range(90)
    ]
    data = csv_of(readings, "Europe/Berlin")
    judged, log = judge_file(data, "log.csv", read_rule("f0=15"))
    assert log.seconds[-1] == 89 * 60.0
    assert judged.readings == 90
