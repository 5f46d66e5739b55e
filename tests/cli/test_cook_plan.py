"""`pinset cook plan` without a farm, in metric and in feet, inches and pounds."""

from __future__ import annotations

import json

import pytest
from click.testing import CliRunner

from pinset.cli import cook_plan
from pinset.cli.main import main
from pinset.services.cooks.usual import usual_loads
from pinset.services.frame import Frame
from web import shed as sheds


def run(*arguments: str) -> tuple[int, str, str]:
    result = CliRunner().invoke(main, ["cook", "plan", *arguments])
    return result.exit_code, result.stdout, result.stderr


def test_advice_comes_first_and_cautions_last() -> None:
    status, out, _ = run("--rating", "1.5bar", "--units", "24")
    assert status == 0
    assert out.startswith("Hold ")
    assert "(rules)" in out
    assert out.rstrip().splitlines()[-1].startswith("Caution: ")


def test_feet_inches_and_pounds_are_the_same_cook() -> None:
    metric = ("--rating", "1.0342bar", "--altitude", "1219.2m", "--mass", "2.26796kg")
    inches = ("--rating", "15psi", "--altitude", "4000ft", "--mass", "5lb")
    first, second = (
        json.loads(run("--json", *each)[1])
        for each in ((*metric, "--size", "15.24x20.32cm"), (*inches, "--size", "6x8in"))
    )
    assert first["cases"][0]["hold_min"] == second["cases"][0]["hold_min"]
    assert first["chamber_c"] == pytest.approx(second["chamber_c"], abs=0.001)


def test_bag_pressed_square_heats_by_its_thickness() -> None:
    def hold(size: str) -> float:
        said = json.loads(run("--json", "--rating", "1.5bar", "--size", size)[1])
        return float(said["cases"][0]["hold_min"])

    assert hold("12x18x18cm") < hold("15x18x15cm")


@pytest.mark.parametrize(
    "arguments",
    [
        (),  # pressure without a plate
        ("--rating", "1.1bar", "--size", "big"),
        ("--rating", "1.1bar", "--moisture", "wet"),
        ("--rating", "1.1bar", "--moisture", "60"),
        ("--rating", "1.1bar", "--mass", "20kg"),
        ("--rating", "1.1bar", "--altitude", "20000m"),
        ("--rating", "1.1bar", "--rule", "f0=-3"),
        ("--rating", "1.1bar", "--units", "500", "--vessel", "300L"),
        ("--rating", "1.1bar", "--organism", "the usual"),
    ],
)
def test_what_cannot_be_is_said_in_one_line(arguments: tuple[str, ...]) -> None:
    status, out, err = run(*arguments)
    assert status == 1
    assert out == ""
    assert err.startswith("pinset: ")
    assert "accepted is" in err


def test_a_plate_that_is_not_said_and_a_hold_too_hot_are_said_plainly() -> None:
    result = CliRunner().invoke(main, ["cook", "plan"])
    assert result.exit_code != 0
    assert "rating: 'nothing said'" in result.output
    hot = ["cook", "plan", "--rating", "15psi", "--altitude", "4000ft", "--rule", "hold=250F/15"]
    result = CliRunner().invoke(main, hot)
    assert "a hold below" in result.output
    assert "121.11" not in result.output


def test_one_of_the_farms_loads_brings_its_vessel_and_rule(
    db: None, monkeypatch: pytest.MonkeyPatch
) -> None:
    sheds.build()
    monkeypatch.setattr(cook_plan, "open_chosen", lambda _context: None)
    [first, *_] = usual_loads()
    said = CliRunner().invoke(
        cook_plan.plan, ["--load", first.code, "--rule", "f0=6", "--json"], obj={}
    )
    assert said.exit_code == 0, said.output
    worked_out = json.loads(said.stdout)
    assert worked_out["rule"] == "F0 6 min"
    assert worked_out["flags"] == []
    wrong = CliRunner().invoke(cook_plan.plan, ["--load", "nothing"], obj={})
    assert wrong.exit_code == 1
    assert first.code in wrong.output
    assert db is None


def test_of_a_farm_that_is_named_its_units_and_its_altitude_count(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(cook_plan, "open_chosen", lambda _context: None)
    monkeypatch.setattr(
        "pinset.services.frame.frame", lambda: Frame("A farm", "America/Denver", "us", 1600.0)
    )
    monkeypatch.setenv("PINSET_FARM", "somewhere")
    status, out, _ = run("--rating", "20psi")
    assert status == 0
    assert "(250.0 °F)" in out
    assert " °C" not in out
    assert "at 5249 ft" in out
    assert "No altitude was said" not in out
    assert "at 0 ft" in run("--rating", "20psi", "--altitude", "0ft")[1]


def test_without_an_altitude_what_was_taken_is_said() -> None:
    _, out, _ = run("--rating", "1.5bar")
    assert "No altitude was said, and 0 m is taken" in out
    assert "2.7 °C colder" in out
    [flag] = json.loads(run("--json", "--heat", "open", "--rule", "hold=70C/120")[1])["flags"]
    assert "at 1500 m water boils at 95.0 °C" in flag
    assert "No altitude" not in run("--rating", "1.5bar", "--altitude", "0m")[1]


def test_a_time_of_cooling_in_free_air_is_no_time_to_open() -> None:
    _, out, _ = run("--rating", "1.5bar", "--filling", "agar")
    assert "Open liquids" not in out
    assert "free in still air of 20 °C" in out
    assert "This is no time to open" in out


def test_a_conductivity_that_was_given_is_no_log() -> None:
    said = CliRunner().invoke(main, ["cook", "plan", "--rating", "1.5bar", "--conductivity", "0.9"])
    assert said.exit_code == 0, said.output
    assert "log taught" not in said.output
    assert "conductivity that was given" in said.output
