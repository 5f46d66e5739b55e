"""Bench sessions in the terminal."""

from __future__ import annotations

from cli.conftest import Terminal


def test_a_whole_session(pinset: Terminal) -> None:
    assert pinset("bench") == "No bench session was written down yet.\n"
    plates = next(lot for lot in pinset.json("lots")["lots"] if lot["stage"] == "plate")["lot"]
    assert "bench" in pinset("bench", "begin", "nowhere", "--tick", "all", status=1)
    assert "Not ticked" in pinset("bench", "begin", "bench", "--tick", "washed", status=1)
    begun = ("begin", "bench", "--tick", "all", "--plates", "middle=2", "--person", "me")
    said = pinset("bench", *begun, "--id", "1" * 32)
    assert said.startswith("Session begun at")
    assert pinset.json("bench", *begun, "--id", "1" * 32)["already"]

    [found] = pinset.json("bench")["sessions"]
    session = found["session"]
    given = ("make", session, "--from", f"{plates}=2", "--into", "grain", "--count", 9)
    done = pinset.json("bench", *given, "--person", "me", "--minutes", 12, "--reason", "to try")
    [child] = done["new_lots"]
    pinset("bench", "plates", session, "front=1")
    assert "whole number" in pinset("bench", "plates", session, "front", status=1)
    open_one = ("make", session, "--from", f"{plates}=1", "--into", "grain", "--count", 2)
    pinset("bench", *open_one, "--part", f"{plates}=3", "--reason", "to try")
    pinset("bench", "end", session, "--tick", "all", "--person", "me")

    counted = pinset("bench", "counts", session, "front=2", "--minutes", 30, "--person", "me")
    assert counted.startswith("2 colonies on 1 settle plate.")
    assert "whole number" in pinset("bench", "counts", session, "front=x", status=1)
    [found] = pinset.json("bench", "--session", session)["sessions"]
    assert found["plate_count"]["minutes"] == 30
    assert found["state"] == "ended"
    assert [each["turn"] for each in found["transfers"]] == [1, 2]
    first, second = found["transfers"]
    assert (first["child"], first["count"], first["minutes_open"]) == (child, 9, 12)
    assert [(each["lot"], each["units"]) for each in first["parents"]] == [(plates, 2)]
    assert [each["count"] for each in first["plates"]] == [2]
    assert [(each["where"], each["count"]) for each in second["plates"]] == [("front", 1)]
    assert second["parents"][0]["words"].startswith("part of 1")

    text = pinset("bench")
    assert f"{session}  " in text
    assert f"2 {plates}" in text
    assert f"-> 9 {child}" in " ".join(text.split())
    assert "no bench session" in pinset("bench", "--session", "x", status=1)
    assert pinset("check")
