"""Pins and outages in the terminal, into the plan and back."""

from __future__ import annotations

from pathlib import Path

from cli.conftest import Terminal


def test_pins_and_outages_are_set_planned_with_and_taken_off(
    described: Path, tmp_path: Path
) -> None:
    pinset = Terminal(tmp_path / "farm")
    pinset("load", described)
    said = pinset("pin", "oyster", "plate", "2026-03-13", 2, "--note", "for a friend")
    assert said == "Pinned as oyster.plate.20260313. The next plan reckons with it: pinset plan.\n"
    assert "is past" in pinset("pin", "oyster", "plate", "2026-03-11", 2, status=1)
    assert "step" in pinset("pin", "oyster", "beech", "2026-03-13", 2, status=1)
    assert "VARIETY STEP DAY COUNT" in pinset("pin", "oyster", status=1)
    assert "accepted is one of steriliser:" in pinset(
        "outage", "steriliser:x", "2026-03-16", status=1
    )
    pinset("outage", "steriliser:steamer", "2026-03-16", "2026-03-17", "--note", "new seal")

    plan = pinset.json("plan", "--seconds", 10)
    [pin] = plan["pins"]
    assert (pin["step"], pin["count"], pin["planned"], pin["words"]) == ("plate", 2.0, 2.0, "")
    assert plan["pins_cost"]
    [outage] = plan["outages"]
    assert (outage["which"], outage["until"]) == ("steamer", "2026-03-17")
    [line] = pinset.json("pin")
    assert (line["note"], line["broken"]) == ("for a friend", "")
    assert "Steamer is out of use from Monday until Tuesday: new seal." in pinset("outage")

    export = tmp_path / "export"
    pinset("export", export)
    assert "oyster.plate.20260313" in (export / "pins.csv").read_text("utf-8-sig")
    assert "already as the files say" in pinset("load", export)

    other = pinset("pin", "oyster", "plate", "2026-03-16", 0)
    assert "Pinned as oyster.plate.20260316." in other
    assert "If nothing else is changed: " in other, "as the board says it"
    again = pinset.json("pin", "oyster", "plate", "2026-03-16", 1)
    assert again["code"] == "oyster.plate.20260316"
    assert again["breaks"]
    pinset("pin", "--off", "oyster.plate.20260316")

    pinset("pin", "--off", "oyster.plate.20260313")
    pinset("outage", "--end", outage["code"])
    assert pinset("pin") == pinset("outage") == ""
