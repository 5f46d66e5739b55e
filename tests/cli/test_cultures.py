"""The cold shelf in the terminal."""

from __future__ import annotations

from pathlib import Path

from cli.conftest import Terminal


def test_the_shelf_is_told_and_written_down(described: Path, tmp_path: Path) -> None:
    pinset = Terminal(tmp_path / "farm")
    pinset("load", described)
    said = pinset("cultures")
    assert "Nothing is due on the shelf." in said
    assert "of 5 transfers" in said
    shelf = pinset.json("cultures")
    [culture] = [each for each in shelf["cultures"] if each["tubes"]]
    [tube] = culture["tubes"]
    [plate] = culture["working"]
    assert tube["keeps_until"] > tube["on"]

    woken = ("--pieces", 2, "--grew", 2, "--days", 2, "--person", "me")
    said = pinset("cultures", "woken", tube["lot"], *woken, "--id", "a" * 32)
    assert "woken, 2 of 2 pieces grew, seen after 2 days." in said
    assert pinset.json("cultures", "woken", tube["lot"], *woken, "--id", "a" * 32)["already"]
    assert "2 of 2 pieces grew" in pinset("cultures")

    read = ("--radius", 32, "--before", 12, "--before-at", "2026-03-05T09:00")
    moment = ("--at", "2026-03-09T09:00", "--reason", "written on paper")
    said = pinset("cultures", "measure", plate["lot"], *read, *moment)
    assert "5.0 mm a day, give or take 0.4" in said
    [line] = [each for each in pinset.json("cultures")["cultures"] if each["plates"]]
    assert line["plates"][0]["mm_per_day"] == 5.0
    assert "plate 1 measured: 12 mm, then 32 mm" in pinset("show", plate["lot"])

    for wrong, words in (
        (("measure", plate["lot"], "--radius", 1), "another number"),
        (("measure", tube["lot"], "--radius", 10), "Only plates"),
        (("measure", plate["lot"], "--radius", 40, "--before", 3), "both, or neither"),
        (("woken", tube["lot"], "--pieces", 1, "--grew", 2), "of those set on plates"),
        (("clear", culture["code"], "--origin", "farm"), "cleared for use already"),
    ):
        assert words in pinset("cultures", *wrong, status=1), wrong


def test_what_would_be_lost_with_the_fridge(described: Path, tmp_path: Path) -> None:
    pinset = Terminal(tmp_path / "farm")
    pinset("load", described)
    assert "would be lost" in pinset("cultures", "fridge")
    [room] = pinset.json("cultures", "fridge")["rooms"]
    assert all(each["is_only_here"] for each in room["at_risk"])


def test_new_tubes_and_a_clone(described: Path, tmp_path: Path) -> None:
    pinset = Terminal(tmp_path / "farm")
    pinset("load", described)
    lots = pinset.json("lots")["lots"]
    tube = next(lot["lot"] for lot in lots if lot["stage"] == "tube")
    fruiting = next(lot["lot"] for lot in lots if lot["fruits"])

    made = pinset.json("cultures", "renew", tube, "--count", 3, "--place", "warm-1")
    [new] = made["new_lots"]
    assert f"3 tubes {new} made of it" in made["sentence"]
    cloned = ("cultures", "clone", fruiting, "fine-one", "--count", 3, "--place", "warm-1")
    said = pinset(*cloned)
    assert "held back as culture fine-one" in said
    assert "an expert and a gene test" in said
    assert "no culture has yet" in pinset(*cloned, status=1)
    assert "NOT CLEARED" in pinset("cultures")
    clear = ("cultures", "clear", "fine-one", "--origin")
    assert "nothing was picked of it" in pinset(*clear, "farm", status=1)
    assert "gene test" in pinset(*clear, "wild", "--reason", "it looks right", status=1)
    said = pinset(*clear, "farm", "--reason", "invented, for this test")
    assert "fine-one is cleared for use; 1 lot of it offered." in said
