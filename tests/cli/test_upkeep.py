"""Upkeep in the terminal."""

from __future__ import annotations

from pathlib import Path

from cli.conftest import Terminal


def test_what_is_due_is_told_and_done(described: Path, tmp_path: Path) -> None:
    pinset = Terminal(tmp_path / "farm")
    pinset("load", described)
    assert "No chore is due." in pinset("upkeep")
    assert "hepa: Main filter" in pinset("upkeep", "--all")

    once = ("--reading", "0.15 kPa", "--person", "me", "--id", "a" * 32)
    assert "done, 150 Pa." in pinset("upkeep", "done", "hepa", *once)
    assert pinset.json("upkeep", "done", "hepa", *once)["already"]
    said = pinset("upkeep", "done", "hepa", "--reading", "250")
    assert "! It is at its limit" in said
    view = pinset.json("upkeep")
    assert [(line["code"], line["asks_change"]) for line in view["due"]] == [("hepa", True)]
    assert "! hepa: Main filter" in pinset("upkeep")
    assert "to be changed or mended" in pinset("upkeep")
    put_off = pinset("upkeep", "later", "hepa", "--reason", "filter ordered", "--days", 5)
    assert "not today" in put_off
    assert "Put off until" in pinset("upkeep")
    pinset("upkeep", "done", "hepa", "--reading", "118", "--changed")
    assert "No chore is due." in pinset("upkeep")

    for wrong, words in (
        (("done", "roof"), "no chore roof"),
        (("done", "hepa"), "a pressure drop"),
        (("done", "hepa", "--reading", "90000"), "at most 2,500 Pa"),
        (("done", "bench-clean", "--amiss"), "what is amiss"),
        (("later", "hepa", "--reason", "x"), "nothing to put off"),
        (("proposed", "--take", "sing"), "one or more of"),
    ):
        assert words in pinset("upkeep", *wrong, status=1), wrong


def test_proposed_chores_are_taken_over(described: Path, tmp_path: Path) -> None:
    pinset = Terminal(tmp_path / "farm")
    pinset("load", described)
    said = pinset("upkeep", "proposed")
    assert "common practice, no source" in said
    assert "(stands in the register)" in said
    assert "Taken over: laundry." in pinset("upkeep", "proposed", "--take", "laundry")
    assert "laundry" in pinset("upkeep", "--all")
    keys = [each["key"] for each in pinset.json("upkeep", "proposed")["proposed"]]
    assert "humidifier-grow" in keys


def test_upkeep_is_taken_into_another_farm_to_the_byte(described: Path, tmp_path: Path) -> None:
    """What was read last, and what is amiss, stands there as here, until it is mended there."""
    here, there = Terminal(tmp_path / "here"), Terminal(tmp_path / "there")
    here("load", described)
    here("upkeep", "proposed", "--take", "lamp-hours-bench")
    here("upkeep", "done", "lamp-hours-bench", "--reading", "1240 h")
    amiss = 'a tear in the gasket; left, "upper" side'
    here("upkeep", "done", "bench-clean", "--amiss", "--note", amiss)
    here("upkeep", "done", "hepa", "--reading", "250")
    here("export", tmp_path / "first")
    there("load", tmp_path / "first")
    for view in (here.json("upkeep"), there.json("upkeep")):
        found = {line["code"]: line["asks_change"] for line in view["due"]}
        assert found == {"bench-clean": True, "hepa": True}
    assert amiss in there("upkeep")
    there("export", tmp_path / "second")
    assert _files(tmp_path / "second") == _files(tmp_path / "first")
    back = ("upkeep", "done", "lamp-hours-bench", "--reading", "900")
    assert "1,240 h or more" in there(*back, status=1)
    there("upkeep", "done", "bench-clean", "--changed")
    there("upkeep", "done", "hepa", "--reading", "118", "--changed")
    assert "No chore is due." in there("upkeep")


def _files(folder: Path) -> dict[str, bytes]:
    return {path.name: path.read_bytes() for path in folder.iterdir()}
