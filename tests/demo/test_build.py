"""The whole build, through the door, in processes of its own: twice the same, once another."""

import json
import os
import sqlite3
import subprocess
import sys
from contextlib import closing
from datetime import date
from math import log, sqrt
from pathlib import Path
from typing import Any

import pytest

from demo.history import SEED, TODAY, told
from pinset.demo.build import build, check_wishes, clear, refuse_unfit
from pinset.demo.growing import FLUSH_LOG_SD
from pinset.demo.truth import read_truth
from pinset.errors import InputError, PinsetError, RefusedError
from pinset.services.farms.one_at_a_time import only_one

SCRIPT = Path(__file__).with_name("build_and_look.py")


def quiet(_share: float, _text: str) -> None:
    """Say nothing."""


def bare_environment() -> dict[str, str]:
    return {
        name: value
        for name, value in os.environ.items()
        if not name.startswith(("PINSET_", "DJANGO_", "PYTEST_"))
    }


def start(folder: Path, *more: str) -> "subprocess.Popen[bytes]":
    command = [
        sys.executable,
        "-W",
        "error",
        str(SCRIPT),
        str(folder),
        str(TODAY),
        str(SEED),
        *more,
    ]
    return subprocess.Popen(command, stdout=subprocess.PIPE, env=bare_environment())


@pytest.fixture(scope="module")
def twice(tmp_path_factory: pytest.TempPathFactory) -> tuple[list[Path], list[dict[str, Any]]]:
    folders = [tmp_path_factory.mktemp("demo") / name for name in ("one", "other")]
    running = [start(folders[0], "check"), start(folders[1])]
    answers = [process.communicate(timeout=300)[0] for process in running]
    assert [process.returncode for process in running] == [0, 0]
    return folders, [json.loads(answer) for answer in answers]


def dump(folder: Path) -> list[str]:
    with closing(sqlite3.connect(folder / "farm.sqlite3")) as database:
        return list(database.iterdump())


Twice = tuple[list[Path], list[dict[str, Any]]]


def test_the_same_day_and_seed_give_the_same_farm_to_the_byte(twice: Twice) -> None:
    folders, (one, other) = twice
    assert one == other
    first, second = (dump(folder) for folder in folders)
    assert len(first) > 50_000
    assert first == second
    truths = [(folder / "hidden-truth.json").read_bytes() for folder in folders]
    assert truths[0] == truths[1]


def test_the_ledger_checks_clean_and_holds_the_whole_history(twice: Twice) -> None:
    _, (found, _) = twice
    assert found["findings"] == []
    assert found["entries"] == len(told().entries)
    assert len(found["last_hash"]) == 64


def test_what_is_read_back_is_a_farm_under_way(twice: Twice) -> None:
    _, (found, _) = twice
    steps = {
        (variety, step.code)
        for variety, route in told().world.routes.items()
        for step in route.steps
    }
    assert {tuple(pair) for pair in found["living"]} == steps
    assert found["cold_tubes"] > 20
    assert found["generations"] == 2


@pytest.fixture(scope="module")
def figures(twice: Twice) -> dict[str, Any]:
    folders, _ = twice
    command = [sys.executable, str(SCRIPT.with_name("figures_of.py")), str(folders[0]), str(TODAY)]
    done = subprocess.run(command, capture_output=True, check=True, env=bare_environment())
    found: dict[str, Any] = json.loads(done.stdout)
    return found


SOUND = ("grey-oyster", "golden-oyster", "king-oyster", "shiitake", "pioppino")
YIELD_SD = 0.2
"""Between lots of the demo farm, of the logarithm."""


@pytest.mark.parametrize("variety", SOUND)
def test_own_figures_of_sound_cultures_are_near_the_truth(
    figures: dict[str, Any], variety: str
) -> None:
    borne = figures["all"][f"{variety} fruiting yield 0"]
    assert borne["lots"] > 60
    errors = abs(log(borne["own"] / borne["route"])) / (borne["spread"] / sqrt(borne["lots"]))
    assert errors < 4.0
    # the logarithm of a lot's yield varies by its own draw and by that of each flush, weighted by
    # what the flush brings; the standard error of a standard deviation is sd / sqrt(2 n) (textbook)
    shares = [flush.share for flush in told().world.routes[variety].steps[-1].flushes]
    weights = [share / sum(shares) for share in shares]
    spread = sqrt(YIELD_SD**2 + FLUSH_LOG_SD**2 * sum(each**2 for each in weights))
    assert abs(borne["spread"] - spread) < 4.0 * spread / sqrt(2.0 * borne["lots"])
    days = figures["all"][f"{variety} fruiting days 0"]
    # whole days are taken half a day back, and nobody picks on Sundays
    assert days["own"] == pytest.approx(days["route"], abs=1.0)
    first = figures["all"][f"{variety} fruiting shares 1"]
    assert first["low"] - 0.01 <= first["route"] <= first["high"] + 0.01


def test_the_tired_culture_yields_less_and_loses_more(figures: dict[str, Any]) -> None:
    truth = told().truth.tired
    name = "lions-mane fruiting yield 0"
    tired, sound = figures["tired"][name], figures["sound"][name]
    assert min(tired["lots"], sound["lots"]) >= 15
    assert tired["high"] < sound["low"]
    assert tired["own"] / sound["own"] == pytest.approx(truth.yields, abs=0.07)
    lost = "lions-mane block loss 0"
    assert figures["tired"][lost]["low"] > figures["sound"][lost]["high"]
    # an owner who plans by all lots plans by the tired ones, too
    assert tired["own"] < figures["all"][name]["own"] < sound["own"]


def test_nobody_waits_for_own_figures(figures: dict[str, Any]) -> None:
    assert figures["seconds"] < 3.0  # of the processor; 0.5 where nobody else works


@pytest.fixture(scope="module")
def losses(twice: Twice) -> dict[str, Any]:
    folders, _ = twice
    command = [sys.executable, str(SCRIPT.with_name("losses_of.py")), str(folders[1]), str(TODAY)]
    done = subprocess.run(command, capture_output=True, check=True, env=bare_environment())
    found: dict[str, Any] = json.loads(done.stdout)
    return found


def test_the_leaking_seal_is_named_and_the_careless_session_stands_among_the_first_twenty(
    losses: dict[str, Any],
) -> None:
    """Of some two thousand levels. Its cooks are over, and stand below the short list."""
    named = [tuple(each) for each in losses["named"]]
    assert {("cook", cook) for cook in losses["cooks"]} & set(named)
    assert f"session {losses['session']}" in list(losses["ratios"])[:20]
    assert losses["read_again"]


def test_the_tired_culture_costs_more_than_the_others(losses: dict[str, Any]) -> None:
    """That it costs more than 1 is not certain to 95 %: sound ones count for most of its time."""
    low, ratio = losses["ratios"][f"line {losses['line']}"]
    assert low < ratio
    assert ratio > 1.0
    lines = [told for name, (_, told) in losses["ratios"].items() if name.startswith("line ")]
    assert ratio == max(lines)


def test_what_the_demo_loses_lately_is_what_its_routes_expect(losses: dict[str, Any]) -> None:
    for stage in losses["stages"]:
        assert stage["units"] > 0
        assert stage["found"] <= 2.0 * stage["expected"] + 5.0


def test_three_accounts_with_passwords_of_their_own(twice: Twice) -> None:
    _, (found, _) = twice
    assert [person["role"] for person in found["people"]] == ["owner", "worker", "worker"]
    assert found["passwords_fit"] == [True, True, True]
    passwords = {person["password"] for person in found["people"]}
    assert len(passwords) == 3
    assert all(len(password) >= 10 for password in passwords)


def test_it_says_how_far_it_has_come(twice: Twice) -> None:
    _, (found, _) = twice
    shares = [share for share, _ in found["progress"]]
    assert shares == sorted(shares)
    assert shares[0] == 0.0
    assert shares[-1] == 1.0
    assert len(shares) > 20


def test_the_truth_is_kept_beside_the_farm(twice: Twice) -> None:
    folders, _ = twice
    assert read_truth(folders[0]) == told().truth


def test_a_folder_with_something_else_in_it_is_left_alone(tmp_path: Path) -> None:
    kept = tmp_path / "letter.txt"
    kept.write_text("dear")
    with pytest.raises(RefusedError, match="not empty"):
        build(tmp_path, TODAY, SEED, quiet)
    assert [path.name for path in tmp_path.iterdir()] == ["letter.txt"]


def test_a_file_is_no_folder(tmp_path: Path) -> None:
    kept = tmp_path / "letter.txt"
    kept.write_text("dear")
    with pytest.raises(RefusedError, match="is a file"):
        refuse_unfit(kept)


def test_an_earlier_demo_is_cleared_and_nothing_else_is_touched(tmp_path: Path) -> None:
    for name in ("farm.sqlite3", "farm.sqlite3-wal", "demo-today", "hidden-truth.json", "my.txt"):
        (tmp_path / name).write_text("x")
    refuse_unfit(tmp_path)
    clear(tmp_path)
    assert sorted(path.name for path in tmp_path.iterdir()) == ["hidden-truth.json", "my.txt"]


def test_a_real_farm_is_never_cleared(tmp_path: Path) -> None:
    (tmp_path / "farm.sqlite3").write_text("a real farm")
    with pytest.raises(RefusedError, match="no earlier demo"):
        build(tmp_path, TODAY, SEED, quiet)
    assert (tmp_path / "farm.sqlite3").read_text() == "a real farm"


def test_a_database_server_is_never_filled(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("PINSET_DATABASE", "postgresql://farm@localhost/farm")
    with pytest.raises(RefusedError, match="PINSET_DATABASE"):
        build(tmp_path / "new", TODAY, SEED, quiet)
    assert not (tmp_path / "new").exists()


def test_a_demo_that_is_being_served_is_left_alone(tmp_path: Path) -> None:
    (tmp_path / "hidden-truth.json").write_text("{}")
    (tmp_path / "farm.sqlite3").write_text("served")
    with only_one(tmp_path), pytest.raises(RefusedError, match="being served"):
        build(tmp_path, TODAY, SEED, quiet)
    assert (tmp_path / "farm.sqlite3").read_text() == "served"


def test_a_folder_that_may_not_be_written_is_said(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def refuse(path: Path, *_: object, **__: object) -> None:
        raise PermissionError(13, "Permission denied", str(path))

    monkeypatch.setattr(Path, "mkdir", refuse)
    with pytest.raises(PinsetError, match=r"cannot be used: Permission denied\.$"):
        build(tmp_path / "new", TODAY, SEED, quiet)


@pytest.mark.parametrize("today", [date(1999, 12, 31), date(3000, 1, 1)])
def test_days_out_of_range_are_refused(today: date) -> None:
    with pytest.raises(InputError, match="today"):
        check_wishes(today, 1)


@pytest.mark.parametrize("seed", [-1, 2**32])
def test_seeds_out_of_range_are_refused(seed: int) -> None:
    with pytest.raises(InputError, match="seed"):
        check_wishes(TODAY, seed)
