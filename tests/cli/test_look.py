"""Looks and rounds in the terminal."""

from __future__ import annotations

from pathlib import Path

from PIL import Image

from cli.conftest import Terminal


def test_a_look_and_a_round(described: Path, tmp_path: Path) -> None:
    pinset = Terminal(tmp_path / "farm")
    pinset("load", described)
    lots = pinset.json("lots")["lots"]
    grain = next(lot for lot in lots if lot["stage"] == "grain" and lot["alive"] > 3)
    code, alive = grain["lot"], grain["alive"]

    said = pinset("look", code, "--person", "me")
    assert f"{code}: {alive} units looked over, nothing seen" in said
    assert "to look over today" in pinset("look")
    assert {"due", "others", "sentence"} <= set(pinset.json("look"))

    photo = tmp_path / "seen.png"
    Image.new("RGB", (60, 40), "olive").save(photo)
    words = ("--sign", "green-dust", "--where", "filter", "--count", 2, "--of", 3)
    said = pinset("look", code, *words, "--out", "--photo", photo, "--id", "a" * 32)
    assert "2 of 3 units show green dust at the filter or the closure" in said
    assert "2 units lost." in said
    assert "! Green dust: A leaky seal" in said
    assert "Do not open a mouldy unit" in said
    assert pinset.json("look", code, *words, "--out", "--photo", photo, "--id", "a" * 32)["already"]
    assert "2 of 3 units show green dust" in pinset("show", code)

    before = pinset.json("show", code)["line"]["alive"]
    for wrong, expected in (
        (("--sign", "ghosts", "--count", 1), "green-dust"),
        (("--sign", "green-dst", "--count", 1), "Did you mean green-dust?"),
        (("--sign", "Green dust", "--count", 1), "Did you mean green-dust?"),
        (("--sign", "green-dust"), "how many units show it"),
        (("--sign", "green-dust", "--count", 9999), "of those looked at"),
        (("--of", 9999), "units that stand"),
        (("--sign", "green-dust", "--count", 1, "--photo", described / "no.png"), "No such file"),
        (("--sign", "green-dust", "--count", 1, "--photo", described / "farm.toml"), "JPEG, PNG"),
    ):
        assert expected in pinset("look", code, *wrong, status=1)
    assert pinset.json("show", code)["line"]["alive"] == before == alive - 2
    assert "Nearest valid" in pinset("look", code[:-1] + "#", status=1)

    rooms = pinset("round", "nowhere", "--co2", 800, status=1)
    assert "one of" in rooms
    assert pinset("round", "nowhere", status=1) == rooms
    grow = next(lot for lot in lots if lot["step"] == "fruiting")["place"]
    known = rooms.split("one of ")[1].rstrip(".\n").split(", ")
    room = next(name for name in known if grow.startswith(name))
    said = pinset("round", room, "--temperature", "100 F", "--co2", "0.6 %", "--flies", 0)
    assert said.startswith("Written down:")
    assert "at or above the 5,000 ppm" in said
    assert "Look at the meter at the door" in said
    assert "37.8 °C is above" in said  # (100 - 32) / 1.8
    assert "something read off" in pinset("round", room, status=1)
    assert "-10 °C to 60 °C" in pinset("round", room, "--temperature", 400, status=1)
    assert pinset("check")
