"""`pinset cook judge FILE` without a farm, by files as loggers write them."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from click.testing import CliRunner

from files.logger_files import cook, stamps
from pinset.cli.main import main

COOK = cook(361)


@pytest.fixture
def german_file(tmp_path: Path) -> Path:
    """A log with date, decimal comma and gauge pressure, as from a logger set to German."""
    columns = (COOK.chamber_c, COOK.core_c, COOK.gauge_kpa / 100.0)
    lines = ["Beutel 12;;;", "Zeit;Kammer °C;Kern °C;Druck bar Ü"]
    for when, *row in zip(stamps("%d.%m.%Y %H:%M:%S", COOK.seconds), *columns, strict=True):
        lines.append(";".join([when, *(f"{each:.2f}".replace(".", ",") for each in row)]))
    file = tmp_path / "charge.csv"
    file.write_text("\n".join(lines), "cp1252")
    return file


def run(*arguments: str) -> tuple[int, str, str]:
    result = CliRunner().invoke(main, ["cook", "judge", *arguments])
    return result.exit_code, result.stdout, result.stderr


def test_verdict_in_words(german_file: Path) -> None:
    status, out, _ = run(str(german_file), "--rule", "f0=15")
    assert status == 0
    assert out.startswith("Long enough: F0 ")
    assert "Caution: " in out


def test_verdict_for_programs(german_file: Path) -> None:
    status, out, _ = run(str(german_file), "--json", "--rule", "f0=500")
    said = json.loads(out)
    assert status == 1
    assert said["verdict"] == "fail"
    assert [each["role"] for each in said["probes"]] == ["chamber", "core"]
    assert said["steam"]["is_steam"]
    assert all({"id", "sentence"} <= set(each) for each in said["findings"])


def test_without_a_rule_nothing_is_wrong(german_file: Path) -> None:
    status, out, _ = run(str(german_file), "--json")
    assert status == 0
    assert json.loads(out)["verdict"] == "unjudged"


def test_what_is_said_by_hand_counts(german_file: Path) -> None:
    status, out, _ = run(
        str(german_file), "--json", "--read", "column.2.role=core", "--read", "column.3.use=nothing"
    )
    assert status == 0
    assert [each["role"] for each in json.loads(out)["probes"]] == ["core"]


def test_a_file_without_a_log_is_said_in_words_and_for_programs(tmp_path: Path) -> None:
    file = tmp_path / "empty.csv"
    file.write_bytes(b"")
    status, out, err = run(str(file), "--json", "--rule", "f0=15")
    said = json.loads(out)
    assert status == 1
    assert said["verdict"] == "unjudged"
    assert said["findings"][0]["id"] == "log.unreadable"
    assert "an empty file" in err


@pytest.mark.parametrize(
    "arguments",
    [("--rule", "fast"), ("--altitude", "90000"), ("--read", "core"), ("--read", "x=y")],
)
def test_wrong_options_are_said_in_one_line(german_file: Path, arguments: tuple[str, str]) -> None:
    status, _, err = run(str(german_file), *arguments)
    assert status == 1
    assert err.startswith("pinset: ")
    assert "accepted is" in err


def test_a_missing_file_is_said_in_one_line(tmp_path: Path) -> None:
    status, _, err = run(str(tmp_path / "none.csv"))
    assert status == 1
    assert err.startswith("pinset: FILE: ")


def test_a_gauge_without_an_altitude_says_what_was_taken(german_file: Path) -> None:
    _, out, _ = run(str(german_file), "--rule", "f0=15")
    assert "read as at 0 m" in out
    assert "--altitude 4900ft" in out
    _, said, _ = run(str(german_file), "--rule", "f0=15", "--altitude", "0")
    assert "read as at 0 m" not in said


def test_an_altitude_is_said_in_feet_or_metres(german_file: Path) -> None:
    found = [
        json.loads(run(str(german_file), "--json", "--altitude", each)[1])
        for each in ("4921.26ft", "1500m", "1500")
    ]
    assert {round(each["altitude_m"], 3) for each in found} == {1500.0}


def test_a_hold_in_fahrenheit_is_said_to_a_tenth(german_file: Path) -> None:
    _, out, _ = run(str(german_file), "--rule", "hold=250F/15")
    assert "121.1 °C" in out
    assert "121.11" not in out


def test_the_row_of_names_is_listed(german_file: Path) -> None:
    _, out, _ = run(str(german_file))
    assert "header_row" in out


def test_setting_a_verdict_aside_is_said_of_a_cook(german_file: Path) -> None:
    status, _, err = run(str(german_file), "--set-aside", "its probe slipped")
    assert status == 1
    assert "--cook" in err


def test_come_up_hold_and_options_stand_in_the_text(tmp_path: Path) -> None:
    rows = zip(COOK.seconds / 60.0, COOK.chamber_c, COOK.core_c, strict=True)
    lines = ["min,probe a,probe b", *(f"{m:.0f},{a:.2f},{b:.2f}" for m, a, b in rows)]
    file = tmp_path / "kettle.csv"
    file.write_text("\n".join(lines))
    status, out, _ = run(str(file), "--rule", "f0=15")
    assert status == 1
    assert "At the terminal: --read column.3.role=core" in out
    assert "come-up min  held min" in out
    assert "Come-up and hold are the time to 121.1 °C" in out
    _, out, _ = run(str(file), "--rule", "f0=15", "--json")
    found = json.loads(out)
    assert found["wanted_c"] == 121.1
    assert all(each["hold_min"] is not None for each in found["probes"])
    assert found["probes"][0]["come_up_min"] is not None


def test_a_unit_that_is_asked_for_is_said_at_the_terminal(tmp_path: Path) -> None:
    rows = zip(COOK.seconds / 60.0, COOK.chamber_c, COOK.core_c, strict=True)
    file = tmp_path / "straw.csv"
    lines = ["min,Water °C,Straw core °C", *(f"{m:.0f},{a:.2f},{b:.2f}" for m, a, b in rows)]
    file.write_text("\n".join(lines), "utf-8")
    status, out, _ = run(str(file), "--rule", "hold=60C/60")
    assert status == 1
    assert "At the terminal: --read column.2.unit=C --read column.3.unit=C" in out
    said = ("--read", "column.2.unit=C", "--read", "column.3.unit=C")
    status, out, _ = run(str(file), "--rule", "hold=60C/60", *said)
    assert status == 0, out
    assert out.startswith("Long enough: ")
