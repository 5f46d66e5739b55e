"""`pinset losses` in words and for programs."""

from __future__ import annotations

from cli.conftest import Terminal


def test_a_young_farm_says_that_it_knows_little(pinset: Terminal) -> None:
    said = pinset("losses")
    assert "look" in said
    assert "never a proof" in said
    assert "Do not open a mouldy unit" in said


def test_for_programs(pinset: Terminal) -> None:
    view = pinset.json("losses")
    assert {"sentence", "as_of", "suspects", "alarms", "sisters", "rooms", "stages"} <= view.keys()


def test_a_suspect_nobody_knows(pinset: Terminal) -> None:
    assert "one that the page of losses names" in pinset(
        "losses", "--suspect", "cook", "none", status=1
    )


def test_how_many_to_check(pinset: Terminal) -> None:
    lot = "SBQRW"
    plan = pinset.json("losses", "--check", lot, "--bad", "20")
    assert plan["lot"] == lot
    assert plan["bad"] >= 1
    assert plan["check"] is None or 1 <= plan["check"] <= plan["units"]
    assert "Do not open a mouldy unit" in pinset("losses", "--check", lot)


def test_what_to_do_with_a_lot(pinset: Terminal) -> None:
    lot = "SBQRW"
    answer = pinset.json("losses", "--lot", lot)
    assert [line["key"] for line in answer["lines"]] == ["watch", "use first", "hold", "cull"]
    assert answer["proposed"] in {line["key"] for line in answer["lines"]}
    said = pinset("losses", "--lot", lot)
    assert f"To do so: pinset lot watch {lot} --on 2026-" in said
    assert f'pinset lot hold {lot} --cause "..."' in said
    assert "nobody has looked at yet" in said
    assert "by its route alone" in said
    assert answer["proposed"] == "watch"
    assert "(proposed)" in said
    assert "You decide." in said
    assert "ZZZZZ" in pinset("losses", "--lot", "ZZZZZ", status=1)
