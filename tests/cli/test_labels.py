"""In the terminal: labels of lots and units, the paper there is, and what is refused."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from paper.label_looking import pages, seen
from pinset.cli import labels as command
from pinset.farm.models import LabelPrint
from web import shed as sheds

Say = Callable[..., Result]


@pytest.fixture
def shed(db: None) -> sheds.Shed:  # noqa: ARG001
    return sheds.build()


@pytest.fixture
def say(monkeypatch: pytest.MonkeyPatch, tmp_path: Path, shed: sheds.Shed) -> Say:  # noqa: ARG001
    monkeypatch.setattr(command, "open_chosen", lambda _context: None)
    monkeypatch.chdir(tmp_path)
    return lambda *words: CliRunner().invoke(command.labels, list(words), obj={})


def test_a_lot_is_printed_into_a_file_of_its_name(say: Say, shed: sheds.Shed) -> None:
    said = say(shed.jars)
    assert said.exit_code == 0, said.output
    assert f"labels-{shed.jars}.pdf written: 10 labels on 1 sheet; the next free place is 11." in (
        said.output
    )
    assert "A4, 3 × 8, 70 × 37 mm. Print at actual size" in said.output
    read = seen(pages(Path(f"labels-{shed.jars}.pdf").read_bytes(), 150)[0])
    assert sorted(read) == sorted(f"{shed.jars}/{unit}" for unit in range(1, 11))


def test_layout_skip_count_and_file(say: Say, shed: sheds.Shed) -> None:
    words = ("--layout", "a4-2x4", "--skip", "3", "--count", "2", "-o", "mine.pdf", "--json")
    said = json.loads(say(shed.jars, shed.plates, *words).output)
    assert said == {
        "file": "mine.pdf",
        "layout": "a4-2x4",
        "labels": 4,
        "pages": 1,
        "skip": 3,
        "next_place": 7,
        "units": [f"{shed.jars}/1-2", f"{shed.plates}/1-2"],
    }
    assert len(seen(pages(Path("mine.pdf").read_bytes(), 150)[0])) == 4


def test_the_next_labels_go_on_where_the_last_ended(say: Say, shed: sheds.Shed) -> None:
    say(shed.jars, "--count", "4")
    said = json.loads(say(shed.jars, "--json").output)
    assert (said["skip"], said["units"]) == (4, [f"{shed.jars}/5-12"])


def test_a_unit_is_printed_again(say: Say, shed: sheds.Shed) -> None:
    say(shed.jars)
    again = say(f"{shed.jars}/7", "--skip", "0", "-o", "one.pdf")
    assert again.exit_code == 0, again.output
    assert seen(pages(Path("one.pdf").read_bytes(), 150)[0]) == [f"{shed.jars}/7"]


def test_a_trial_counts_nothing(say: Say, shed: sheds.Shed) -> None:
    assert say(shed.jars, "--trial").exit_code == 0
    assert not LabelPrint.objects.exists()


def test_the_paper_there_is(say: Say) -> None:
    said = say("--layouts").output
    assert "a4-3x8" in said
    assert "Roll, 57 × 32 mm" in said
    assert {"code", "columns", "left_mm"} <= json.loads(say("--layouts", "--json").output)[0].keys()


@pytest.mark.parametrize(
    ("words", "said"),
    [
        ((), "at least one lot"),
        (("--made-today",), "at least one lot"),
        (("{}", "--layout", "none"), "one of a4-3x8"),
        (("{}", "--skip", "24"), "0 to 23 of a sheet"),
        (("{}", "--count", "0"), "a whole number from 1"),
        (("{}/40",), "so many were made"),
        (("{}", "-o", "no/such/folder.pdf"), "cannot be written"),
    ],
)
def test_what_cannot_be_is_one_line(
    say: Say, shed: sheds.Shed, words: tuple[str, ...], said: str
) -> None:
    answer = say(*(word.format(shed.jars) for word in words))
    assert answer.exit_code == 1
    assert said in answer.output
    assert answer.output.count("\n") == 1
    assert not LabelPrint.objects.exists()
