"""What is said of a lot in the terminal, without a job."""

from __future__ import annotations

from pathlib import Path

from cli.conftest import Terminal


def test_a_lot_is_decided_on(described: Path, tmp_path: Path) -> None:
    pinset = Terminal(tmp_path / "farm")
    pinset("load", described)
    grain = next(lot for lot in pinset.json("lots")["lots"] if lot["stage"] == "grain")
    code, alive = grain["lot"], grain["alive"]

    held = ("lot", "hold", code, "--cause", "shares the session of the 3rd", "--id", "a" * 32)
    assert "held back." in pinset(*held)
    assert pinset.json(*held)["already"]
    assert "shares the session of the 3rd" in pinset("show", code)
    assert "offered again." in pinset("lot", "release", code)
    assert "to be looked at again" in pinset("lot", "watch", code, "--on", "2026-03-13")
    assert "to be used first" in pinset("lot", "use-first", code, "--by", "2026-03-14")
    assert "expected ready" in pinset("lot", "ready", code, "--on", "2026-03-11")
    assert "1 unit taken out." in pinset("lot", "cull", code, "--count", 1, "--cause", "dropped")
    assert "1 unit lost." in pinset("lot", "lose", code, "--count", 1)
    assert "noted." in pinset("lot", "note", code, "smells sweet", "--person", "me")
    assert "smells sweet" in pinset("show", code)
    assert "the books say so, too" in pinset("lot", "recount", code, "--count", alive - 2)
    left = next(lot["alive"] for lot in pinset.json("lots")["lots"] if lot["lot"] == code)
    assert left == alive - 2


def test_units_are_carried_and_counted_by_shelf(described: Path, tmp_path: Path) -> None:
    pinset = Terminal(tmp_path / "farm")
    pinset("load", described)
    grain = next(lot for lot in pinset.json("lots")["lots"] if lot["stage"] == "grain")
    code, shelf = grain["lot"], grain["place"]
    assert "moved to fridge-1." in pinset(
        "lot", "move", code, "--count", 2, "--to", "fridge-1", "--shelf", shelf
    )
    here = grain["alive"] - 2
    said = pinset(
        "lot", "recount", code, "--at-shelf", f"{shelf}={here - 1}", "--at-shelf", "fridge-1=2",
        "--cause", "one fell",
    )  # fmt: skip
    assert f"{here + 1} counted, {here + 2} in the books." in said


def test_what_is_wrong_is_refused_in_words(described: Path, tmp_path: Path) -> None:
    pinset = Terminal(tmp_path / "farm")
    pinset("load", described)
    code = pinset.json("lots")["lots"][0]["lot"]
    entries = len(pinset.json("show", code)["life"])
    for wrong, words in (
        (("hold", code), "a few words on why"),
        (("cull", code, "--count", 1), "a few words on why"),
        (("watch", code, "--on", "2020-01-01"), "a day after today"),
        (("use-first", code, "--by", "3000-01-01"), "within two years"),
        (("recount", code), "--at-shelf for each place"),
        (("recount", code, "--count", 1, "--at-shelf", "x=1"), "--at-shelf for each place"),
        (("recount", code, "--at-shelf", "lab-1"), "SHELF=UNITS"),
        (("lose", code, "--count", 1, "--shelf", "nowhere"), "where it stands"),
        (("lose", "ZZZZZ", "--count", 1), "ZZZZZ"),
        (("note", code, "  "), "a few words"),
    ):
        assert words in pinset("lot", *wrong, status=1), wrong
    assert len(pinset.json("show", code)["life"]) == entries
