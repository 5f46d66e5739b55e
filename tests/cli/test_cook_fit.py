"""`pinset cook fit FILE` without a farm."""

from __future__ import annotations

import json
from pathlib import Path

import numpy as np
import pytest
from click.testing import CliRunner

from pinset.cli.main import main
from science.finite_elements import Stuff, temperatures

SECONDS = 60.0 * np.arange(361)
CHAMBER = np.interp(SECONDS / 60.0, [0, 30, 260, 280, 360], [20, 121.3, 121.3, 98, 40])


@pytest.fixture(scope="module")
def log(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A log from scikit-fem: 15 cm by 20 cm, 0.6 W/(m K), 2 MJ/(m3 K), 100 W/(m2 K)."""
    core = temperatures(
        0.075,
        [Stuff(0.2, 0.6, 2.0e6)],
        (100.0, 100.0, 100.0),
        SECONDS,
        (CHAMBER, CHAMBER, CHAMBER),
        20.0,
        [(0.0, 0.1)],
    )[:, 0]
    file = tmp_path_factory.mktemp("fit") / "cook.csv"
    rows = zip(SECONDS / 60.0, CHAMBER, core, strict=True)
    lines = ["min,chamber [C],core [C]", *(f"{m:.0f},{a:.2f},{b:.2f}" for m, a, b in rows)]
    file.write_text("\n".join(lines))
    return file


def run(*arguments: str) -> tuple[int, str, str]:
    result = CliRunner().invoke(main, ["cook", "fit", *arguments])
    return result.exit_code, result.stdout, result.stderr


def test_conductivity_is_found_and_can_be_planned_by(log: Path) -> None:
    status, out, _ = run(str(log), "--mass", "2.3kg", "--moisture", "60%", "--size", "15x20cm")
    assert status == 0
    assert "--conductivity 0.6" in out
    said = json.loads(run(str(log), "--json")[1])
    assert said["fits"][0]["learnt"]["conductivity"] == pytest.approx(0.6, rel=0.05)


def test_a_bag_that_cannot_be_is_said_in_one_line(log: Path) -> None:
    status, out, err = run(str(log), "--mass", "9kg")
    assert (status, out) == (1, "")
    assert err.startswith("pinset: mass_kg")


def test_an_altitude_nobody_said_is_told(log: Path) -> None:
    unit = (str(log), "--mass", "2.3kg", "--moisture", "60%", "--size", "15x20cm")
    assert "Taken: 0 m, since no altitude was said." in run(*unit)[1]
    assert "Taken: 0 m" not in run(*unit, "--altitude", "300m")[1]
    found = json.loads(run(*unit, "--json")[1])["findings"]
    assert "cook.altitude-taken" in {each["id"] for each in found}
