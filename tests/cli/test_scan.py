"""`pinset scan`: labels, typed or on a photo, with what can happen next; recorded with --do."""

from __future__ import annotations

from pathlib import Path

import pytest
import segno

from cli.conftest import Terminal


@pytest.fixture
def lot(pinset: Terminal) -> str:
    lots = pinset.json("lots", "--stage", "grain")["lots"]
    return str(lots[0]["lot"])


def test_a_code_is_shown_with_its_next_things(pinset: Terminal, lot: str) -> None:
    said = pinset("scan", f"{lot.lower()}/2")
    assert said.startswith(f"{lot}/2  ")
    assert "What can happen next" in said
    assert "Looked over, nothing seen" in said
    hand = pinset.json("scan", lot)["hand"]
    assert hand["lots"][0]["held"] == {"lot": lot, "units": []}
    assert [thing["is_usual"] for thing in hand["things"]].count(True) == 1


def test_a_photo_is_read(pinset: Terminal, lot: str, tmp_path: Path) -> None:
    photo = tmp_path / "label.png"
    segno.make(f"{lot}/1", error="q").save(str(photo), scale=8)
    read = pinset.json("scan", photo)["read"]
    assert read["held"] == [{"lot": lot, "units": [1]}]


def test_what_is_done_is_recorded(pinset: Terminal, lot: str) -> None:
    said = pinset("scan", f"{lot}/1", "--do", "look", "--person", "me")
    assert said.strip() == f"1 of {lot} (unit 1): looked over, nothing seen."
    assert "1 unit looked over, nothing seen yet at day 12, unit 1" in pinset("show", lot)


def test_the_shelf_that_is_said_is_the_one_that_counts(pinset: Terminal, lot: str) -> None:
    lose = ("scan", lot, "--do", "lose", "--count", "1", "--choice", "green-dust", "--shelf")
    assert "where it stands" in pinset(*lose, "nowhere", status=1)
    assert "lost" in pinset(*lose, pinset.json("show", lot)["line"]["place"])


def test_what_cannot_be_is_said(pinset: Terminal, lot: str) -> None:
    wrong = lot[:-1] + ("2" if lot[-1] != "2" else "3")
    said = pinset("scan", wrong, status=1)
    assert "cannot be right" in said
    assert lot in said
    assert "no label of this farm" in pinset("scan", "https://example.org/", status=1)
    assert "accepted is" in pinset("scan", lot, "--do", "fly", status=1)
    assert "reason" in pinset("scan", lot, "--do", "look", "--count", 9999, status=1)
