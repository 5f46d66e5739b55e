"""`pinset mix`: the card, its correction, paper, and the cheapest blend."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest
from click.testing import CliRunner

from cli.conftest import Terminal
from pinset.cli.main import main

MIX = ("--of", "hardwood-sawdust", "--of", "wheat-bran=20", "--of", "gypsum=1")
TODAY = ("--today", "hardwood-sawdust=39%", "--today", "wheat-bran=12.5%")
OFFERS = ("--of", "hardwood-sawdust", "--of", "wheat-bran")
PRICES = ("--price", "hardwood-sawdust=0.06", "--price", "wheat-bran=8/25kg")


def run(*arguments: str) -> tuple[int, str, str]:
    result = CliRunner().invoke(main, ["mix", *arguments])
    return result.exit_code, result.stdout, result.stderr


def test_the_card_in_words() -> None:
    status, out, _ = run("weigh", *MIX, *TODAY, "--for", "wood-lovers")
    assert status == 0
    assert out.startswith("For 40 bags: 59.05 kg hardwood sawdust, 10.40 kg wheat bran")
    assert out.index("0.64 % nitrogen") < out.index("C:N")
    assert "0.6 to 1.2 % nitrogen" in out
    assert out.rstrip().splitlines()[-1].startswith("Caution: ")


def test_for_programs_and_the_same_in_pounds() -> None:
    kilograms = json.loads(run("weigh", *MIX, *TODAY, "--json")[1])
    assert kilograms["lines"][0]["kg"] == 59.05
    assert kilograms["nitrogen"]["low"] < kilograms["nitrogen"]["middle"]
    pounds = ("--fill", "6.6138679lb", "--step", "1.7636981oz")  # 3 kg and 50 g
    again = json.loads(run("weigh", *MIX, *TODAY, *pounds, "--json")[1])
    assert again["lines"][0]["kg"] == pytest.approx(59.05, rel=1e-4)


def test_what_was_really_weighed() -> None:
    found = json.loads(
        run("weigh", *MIX, *TODAY, "--weighed", "wheat-bran=11kg", "--water-in", "40L", "--json")[1]
    )
    assert found["correction"]["more_kg"] > 0
    assert "Add " in run("weigh", *MIX, *TODAY, "--weighed", "wheat-bran=11kg")[1]


def test_on_paper(tmp_path: Path) -> None:
    file = tmp_path / "card.pdf"
    status, out, err = run("weigh", *MIX, "--pdf", str(file), "--json")
    assert status == 0
    assert json.loads(out)["units"] == 40
    assert "written" in err
    assert file.read_bytes().startswith(b"%PDF")
    status, _, err = run("weigh", *MIX, "--pdf", str(tmp_path / "no" / "card.pdf"))
    assert status == 1
    assert "cannot be written" in err


def test_it_needs_no_farm_not_even_on_paper(tmp_path: Path) -> None:
    file = tmp_path / "card.pdf"
    alone = {name: text for name, text in os.environ.items() if not name.startswith("DJANGO")}
    command = [
        sys.executable,
        "-c",
        "from pinset.cli.main import main; main()",
        "mix",
        "weigh",
        *MIX,
        "--pdf",
        str(file),
    ]
    done = subprocess.run(command, env=alone, cwd=tmp_path, capture_output=True, check=False)
    assert done.returncode == 0, done.stderr
    assert file.read_bytes().startswith(b"%PDF")


def test_something_else_with_its_analysis() -> None:
    malt = ("--of", "malt=5", "--nitrogen", "malt=4", "--ash", "malt=6", "--today", "malt=8%")
    status, out, _ = run("weigh", *MIX, *malt)
    assert status == 0
    assert "malt" in out


def test_the_cheapest_blend_and_that_nothing_fits() -> None:
    status, out, _ = run("cheapest", *OFFERS, *PRICES, "--nitrogen-least", "0.6")
    assert status == 0
    assert "At least 0.6 % nitrogen: 0.1 points less would save" in out
    assert "Without wheat bran" in out
    none = ("--nitrogen-least", "1.2", "--supplement-most", "15")
    status, out, _ = run("cheapest", *OFFERS, *PRICES, *none)
    assert status == 1
    assert "the most is 0.51 %" in out
    status, out, _ = run("cheapest", *OFFERS, *PRICES, *none, "--json")
    assert status == 1
    assert json.loads(out)["fits"] is False


def test_the_ingredients() -> None:
    assert "wheat-bran" in run("ingredients")[1]
    found = json.loads(run("ingredients", "--json")[1])["ingredients"]
    bran = next(each for each in found if each["key"] == "wheat-bran")
    assert {value["quality"] for value in bran["values"]} == {"memory"}


def test_on_a_farm_prices_have_its_currency(pinset: Terminal) -> None:
    said = pinset("mix", "cheapest", *OFFERS, *PRICES)
    assert said.startswith("EUR ")


@pytest.mark.parametrize(
    ("asked", "why"),
    [
        (("weigh", *MIX, "--today", "wheat-bran=105%"), "--today wheat-bran: '105%'"),
        (("weigh", *MIX, "--today", "wheat-bran=105/120"), "may be swapped"),
        (("weigh", *MIX, "--today", "oats=5"), "one of the mix: hardwood-sawdust"),
        (("weigh", *MIX, "--today", "wheat-bran"), "KEY=VALUE"),
        (("weigh", *MIX, "--of", "gypsum=1"), "each ingredient once"),
        (("weigh", *MIX, "--of", "malt=5"), "--of malt: 'malt'"),
        (("weigh", *MIX, "--units", "0"), "--units: '0'"),
        (("weigh", *MIX, "--water-step", "0"), "--water-step"),
        (("weigh", "--of", "rye=50", "--of", "oats=40"), "--of: '90 %'"),
        (("weigh", *MIX, "--moisture", "30%"), "Let the hardwood sawdust dry"),
        (("cheapest", *OFFERS), "--price hardwood-sawdust: nothing is given"),
        (("cheapest", *OFFERS, *PRICES, "--nitrogen-least", "-1"), "--nitrogen-least"),
    ],
)
def test_what_is_refused(asked: tuple[str, ...], why: str) -> None:
    status, _, err = run(*asked)
    assert status == 1
    assert why in err
